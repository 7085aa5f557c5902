/* png.c: see png.h.
 *
 * librsvg and all it needs are loaded when the first picture is drawn: linked in, they would make every run start later and
 * hold nine megabytes more, half as much again as the vat itself.
 */
#include "record/png.h"

#include <dlfcn.h>
#include <librsvg/rsvg.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What is called of librsvg, cairo and GLib. */
#define PAINTER_FUNCTIONS(X)                                                                                             \
    X(rsvg_handle_new_from_data)                                                                                         \
    X(rsvg_handle_get_intrinsic_size_in_pixels)                                                                          \
    X(rsvg_handle_render_document)                                                                                       \
    X(cairo_image_surface_create)                                                                                        \
    X(cairo_create)                                                                                                      \
    X(cairo_destroy)                                                                                                     \
    X(cairo_surface_write_to_png_stream)                                                                                 \
    X(cairo_surface_destroy)                                                                                             \
    X(cairo_status_to_string)                                                                                            \
    X(g_object_unref)                                                                                                    \
    X(g_clear_error)

struct painter {
#define MEMBER(name) __typeof__(name) *name;
    PAINTER_FUNCTIONS(MEMBER)
#undef MEMBER
};

static struct status painter_load(struct painter *painter)
{
    void *library = dlopen("librsvg-2.so.2", RTLD_NOW | RTLD_LOCAL);
    if (library == NULL) {
        return status_fail(STATUS_IO, "a PNG is drawn with the library librsvg, which cannot be loaded (%.300s); an SVG needs "
                           "no library", dlerror());
    }
    /* It stays loaded: GLib's types, once registered, cannot be taken back. */
#define FIND(name)                                                                                                       \
    symbol = dlsym(library, #name);                                                                                      \
    if (symbol == NULL) {                                                                                                \
        return status_fail(STATUS_IO, "the library librsvg that is installed lacks '%s'", #name);                        \
    }                                                                                                                    \
    memcpy(&painter->name, &symbol, sizeof symbol); /* ISO C has no cast from an object to a function */
    void *symbol;
    PAINTER_FUNCTIONS(FIND)
#undef FIND
    return status_ok();
}

struct bytes {
    unsigned char *data;
    size_t size, room;
};

static cairo_status_t append(void *closure, const unsigned char *data, unsigned int length)
{
    struct bytes *bytes = closure;
    if (bytes->size + length > bytes->room) {
        size_t room = 2 * (bytes->size + length);
        unsigned char *grown = realloc(bytes->data, room);
        if (grown == NULL) {
            return CAIRO_STATUS_NO_MEMORY;
        }
        bytes->data = grown;
        bytes->room = room;
    }
    memcpy(bytes->data + bytes->size, data, length);
    bytes->size += length;
    return CAIRO_STATUS_SUCCESS;
}

/* Moves a GLib error into a status. */
static struct status failed(const struct painter *painter, const char *what, GError *error)
{
    struct status status =
        status_fail(STATUS_IO, "the picture cannot be %s: %s", what, error != NULL ? error->message : "no reason given");
    painter->g_clear_error(&error);
    return status;
}

static struct status render(const struct painter *painter, RsvgHandle *handle, double scale, struct bytes *bytes)
{
    double width;
    double height;
    if (!painter->rsvg_handle_get_intrinsic_size_in_pixels(handle, &width, &height)) {
        return status_fail(STATUS_IO, "the picture has no size of its own");
    }
    const RsvgRectangle whole = {0.0, 0.0, width * scale, height * scale};
    GError *error = NULL;
    cairo_surface_t *surface =
        painter->cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)ceil(whole.width), (int)ceil(whole.height));
    cairo_t *cairo = painter->cairo_create(surface);
    struct status status = status_ok();
    if (!painter->rsvg_handle_render_document(handle, cairo, &whole, &error)) {
        status = failed(painter, "drawn in pixels", error);
    } else {
        cairo_status_t wrote = painter->cairo_surface_write_to_png_stream(surface, append, bytes);
        if (wrote != CAIRO_STATUS_SUCCESS) {
            status = status_fail(wrote == CAIRO_STATUS_NO_MEMORY ? STATUS_MEMORY : STATUS_IO,
                                 "the picture cannot be written as PNG: %s", painter->cairo_status_to_string(wrote));
        }
    }
    painter->cairo_destroy(cairo);
    painter->cairo_surface_destroy(surface);
    return status;
}

struct status png_of_svg(const char *svg, size_t size, double scale, unsigned char **png, size_t *png_size)
{
    struct bytes bytes = {0};
    GError *error = NULL;
    struct painter painter = {0};
    *png = NULL;
    *png_size = 0;
    RETURN_IF_FAILED(painter_load(&painter));
    RsvgHandle *handle = painter.rsvg_handle_new_from_data((const guint8 *)svg, size, &error);
    if (handle == NULL) {
        return failed(&painter, "read again", error);
    }
    struct status status = render(&painter, handle, scale, &bytes);
    painter.g_object_unref(handle);
    if (!status_is_ok(&status)) {
        free(bytes.data);
        return status;
    }
    *png = bytes.data;
    *png_size = bytes.size;
    return status;
}
