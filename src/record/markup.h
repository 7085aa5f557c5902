/* markup.h: plain text inside HTML or SVG. */
#ifndef VATCAST_RECORD_MARKUP_H
#define VATCAST_RECORD_MARKUP_H

#include <stdio.h>

/* Writes text so that it is shown as it stands, control characters as blanks. Errors are those of the stream. */
void markup_write_text(FILE *out, const char *text);

#endif
