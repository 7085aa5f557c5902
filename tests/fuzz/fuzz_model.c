/* fuzz_model.c: any bytes as a model with its tables. A line "%%materials" or "%%fibres" begins the text of that table;
 * a table that is not given is the shipped one.
 *
 * Promised: it reads and every constant is finite and in order, or it is refused with complaints and gives nothing.
 */
#include "fuzz/fuzz.h"

#include "process/registry.h"
#include "scenario/read.h"
#include "scenario/reader.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static void model_expect(const struct model *model)
{
    for (int i = 0; i < CONSTANT_COUNT; i++) {
        const struct constant *constant = &model->constants[i];
        fuzz_expect(isfinite(constant->low) && isfinite(constant->nominal) && isfinite(constant->high),
                    "constants are finite");
        fuzz_expect(constant->low <= constant->nominal && constant->nominal <= constant->high,
                    "constants go from low to high");
    }
    fuzz_expect(model->material_count == 0 || model->materials != NULL, "materials are there");
    fuzz_expect(model->fibre_count == 0 || model->fibres != NULL, "fibres are there");
}

/* Writes the table whose heading stands in the text, or removes what the last input left; cuts the text before it. */
static void table_put(char *text, const char *heading, const char *name)
{
    char *at = strstr(text, heading);
    const char *table = at == NULL ? "" : at + strlen(heading);
    const char *next = strstr(table, "%%");
    const char *path = fuzz_file(name, (const uint8_t *)table, next == NULL ? strlen(table) : (size_t)(next - table));
    if (at == NULL) {
        (void)unlink(path);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static struct quantities *quantities; /* reading the units takes longer than reading a model */
    const char *names[PROCESSES_KNOWN_MOST + 1];
    struct model model = {0};
    struct complaints complaints;
    struct status status = quantities == NULL ? quantities_open(&quantities) : status_ok();
    char *text = fuzz_text(data, size);
    fuzz_expect(status_is_ok(&status), "the units can be read");
    if (text == NULL) {
        return 0;
    }
    table_put(text, "%%materials\n", "materials.conf");
    table_put(text, "%%fibres\n", "fibres.conf");
    char *end = strstr(text, "%%");
    const char *path = fuzz_file("model.conf", data, end == NULL ? size : (size_t)(end - text));
    process_names(names);
    complaints_init(&complaints);
    status = model_read_with(quantities, path, NULL, names, MODELS_DIR, &model, &complaints);
    if (status_is_ok(&status)) {
        fuzz_expect(complaints.count == 0, "what reads is not complained about");
        model_expect(&model);
        model_free(&model);
    } else {
        fuzz_expect(status.code == STATUS_SCENARIO ? complaints.count > 0 : status.message[0] != '\0',
                    "what does not read is complained about");
        fuzz_expect(model.materials == NULL && model.fibres == NULL, "what does not read gives nothing");
    }
    complaints_free(&complaints);
    free(text);
    return 0;
}
