/* settings_write.c: see settings_write.h. */
#include "scenario/settings_write.h"

#include <limits.h>
#include <math.h>
#include <string.h>

/* In quotes, with what needs it escaped. */
static void write_text(FILE *out, const char *text)
{
    fputc('"', out);
    for (; *text != '\0'; text++) {
        if (*text == '"' || *text == '\\') {
            fputc('\\', out);
        }
        fputc(*text, out);
    }
    fputc('"', out);
}

static void write_number(FILE *out, const struct setting *value)
{
    char digits[40];
    if (value->whole) {
        fprintf(out, "%.0f%s", value->number, fabs(value->number) > INT_MAX ? "L" : "");
        return;
    }
    (void)snprintf(digits, sizeof digits, "%.17g", value->number);
    fprintf(out, "%s%s", digits, strpbrk(digits, ".e") == NULL ? ".0" : "");
}

/* No deeper than the scan's NESTING_MOST. */
void setting_write(FILE *out, const struct setting *value)
{
    switch (value->type) {
    case SETTING_TEXT:
        write_text(out, value->text);
        break;
    case SETTING_NUMBER:
        write_number(out, value);
        break;
    case SETTING_FLAG:
        fputs(value->flag ? "true" : "false", out);
        break;
    case SETTING_GROUP:
        fputc('{', out);
        for (size_t i = 0; i < value->count; i++) {
            fprintf(out, " %s = ", value->items[i].name);
            setting_write(out, &value->items[i]);
            fputc(';', out);
        }
        fputs(" }", out);
        break;
    case SETTING_LIST:
        fputs("( ", out);
        for (size_t i = 0; i < value->count; i++) {
            fputs(i > 0 ? ", " : "", out);
            setting_write(out, &value->items[i]);
        }
        fputs(" )", out);
        break;
    }
}

void setting_write_lines(FILE *out, const struct setting *value)
{
    bool is_group = value->type == SETTING_GROUP;
    if (value->count == 0 || (!is_group && value->type != SETTING_LIST)) {
        setting_write(out, value);
        return;
    }
    fputs(is_group ? "{\n" : "(\n", out);
    for (size_t i = 0; i < value->count; i++) {
        fputs("  ", out);
        if (is_group) {
            fprintf(out, "%s = ", value->items[i].name);
        }
        setting_write(out, &value->items[i]);
        fputs(is_group ? ";\n" : i + 1 < value->count ? ",\n" : "\n", out);
    }
    fputc(is_group ? '}' : ')', out);
}
