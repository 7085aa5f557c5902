/* png.h: an SVG picture as a PNG of pixels, for programs that take no SVG. Rendering by librsvg, pixels by cairo. */
#ifndef VATCAST_RECORD_PNG_H
#define VATCAST_RECORD_PNG_H

#include "base/status.h"

#include <stddef.h>

#define PNG_SCALE 2.0 /* pixels for each unit of the SVG: fit for paper */

/* Renders a whole SVG document of `size` bytes, `scale` pixels a unit (0.1 to 10). `png` is owned by the caller (free).
 * Errors: STATUS_MEMORY; STATUS_IO when the document cannot be rendered, with the library's own words. */
struct status png_of_svg(const char *svg, size_t size, double scale, unsigned char **png, size_t *png_size) MUST_USE;

#endif
