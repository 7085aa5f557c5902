/* fuzz_settings.c: any bytes as a settings file: the scan, the grammar and libconfig behind them.
 *
 * Promised: either the file reads, or there is a complaint for each trouble, standing on a line of the file; a text that
 * passed the scan is one that libconfig takes, or complains about.
 */
#include "fuzz/fuzz.h"

#include "scenario/settings.h"

#include <math.h>
#include <string.h>

static void walk(const struct setting *setting, int line_most)
{
    fuzz_expect(setting->file != NULL, "every setting knows its file");
    fuzz_expect(setting->line >= 1 && setting->line <= line_most, "every setting stands on a line of its file");
    fuzz_expect(setting->type != SETTING_NUMBER || isfinite(setting->number), "numbers are finite");
    fuzz_expect(setting->type != SETTING_TEXT || setting->text != NULL, "a text is one");
    for (size_t i = 0; i < setting->count; i++) {
        walk(&setting->items[i], line_most);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct document document;
    struct complaints complaints;
    complaints_init(&complaints);
    const char *path = fuzz_file("settings.conf", data, size);
    struct status status = document_read(path, &document, &complaints);
    int lines = 1;
    for (size_t i = 0; i < size; i++) {
        lines += data[i] == '\n';
    }
    if (status_is_ok(&status)) {
        fuzz_expect(document.parsed == (complaints.count + complaints.dropped == 0),
                    "a file reads, or is complained about, not both");
        for (size_t i = 0; i < complaints.count; i++) {
            fuzz_expect(complaints.items[i].line <= lines, "a complaint stands on a line of the file");
            fuzz_expect(complaints.items[i].text[0] != '\0', "a complaint says something");
        }
        if (document.parsed) {
            walk(&document.root, lines);
        }
        document_free(&document);
    }
    complaints_free(&complaints);
    return 0;
}
