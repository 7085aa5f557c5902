/* markup.c: see markup.h. */
#include "record/markup.h"

void markup_write_text(FILE *out, const char *text)
{
    for (const char *c = text; *c != '\0'; c++) {
        switch (*c) {
        case '<': fputs("&lt;", out); break;
        case '>': fputs("&gt;", out); break;
        case '&': fputs("&amp;", out); break;
        case '"': fputs("&quot;", out); break;
        default: fputc((unsigned char)*c < 0x20 || *c == 0x7f ? ' ' : *c, out);
        }
    }
}
