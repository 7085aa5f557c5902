/* fuzz_quantity.c: any text as a quantity, read as each kind that a scenario asks for. */
#include "fuzz/fuzz.h"

#include "scenario/quantity.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static const char *const kinds[] = {"kg", "m3", "K", "m", "s", "kg m-2", "W", "m s-1", "V", "mol m-3", "1"};
    static struct quantities *quantities;
    struct status status = quantities == NULL ? quantities_open(&quantities) : status_ok();
    fuzz_expect(status_is_ok(&status), "the units can be read");
    char *text = fuzz_text(data, size);
    if (text == NULL) {
        return 0;
    }
    int read_as = 0;
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        char unit[80];
        double value = NAN;
        memset(unit, '?', sizeof unit);
        enum quantity_result result = quantity_read(quantities, text, kinds[i], &value, unit, sizeof unit);
        fuzz_expect(memchr(unit, '\0', sizeof unit) != NULL, "the unit as written is a text");
        fuzz_expect(result != QUANTITY_OK || isfinite(value), "what reads is finite");
        read_as += result == QUANTITY_OK;
        (void)unit_is_kitchen_measure(unit);
        (void)unit_is_temperature_scale(unit);
    }
    fuzz_expect(read_as <= 1, "a quantity is of one kind");
    free(text);
    return 0;
}
