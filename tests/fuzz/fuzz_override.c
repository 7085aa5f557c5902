/* fuzz_override.c: any text as the PATH=VALUE of --set, upon a small file. */
#include "fuzz/fuzz.h"

#include "scenario/settings.h"

#include <stdlib.h>
#include <string.h>

static const char base[] = "title = \"t\";\nvat = { water = { temperature = \"20 degC\"; }; };\n"
                           "calendar = ( { label = \"a\"; do = \"stir\"; }, 3, \"x\", [ 1, 2 ] );\n";

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct document document;
    struct complaints complaints;
    complaints_init(&complaints);
    const char *path = fuzz_file("override.conf", (const uint8_t *)base, sizeof base - 1);
    struct status status = document_read(path, &document, &complaints);
    fuzz_expect(status_is_ok(&status) && document.parsed, "the small file reads");
    char *text = fuzz_text(data, size);
    if (text != NULL) {
        for (int line = 1; line <= 2; line++) { /* twice: the second lands in what the first has made */
            status = setting_override(&document.root, text, line, &complaints);
            fuzz_expect(status_is_ok(&status), "an override is taken or complained about");
        }
    }
    free(text);
    document_free(&document);
    complaints_free(&complaints);
    return 0;
}
