/* fuzz_times.c: any text as a date, a time of day and a time of the calendar.
 *
 * Dates are held against the C library's own calendar (timegm, gmtime_r).
 */
#define _DEFAULT_SOURCE /* timegm */
#include "fuzz/fuzz.h"

#include "scenario/reader.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static void date_expect(const char *text, double unix_s)
{
    struct tm date = {0};
    time_t seconds = (time_t)unix_s;
    fuzz_expect(gmtime_r(&seconds, &date) != NULL, "a date that reads is one to the C library");
    int year = (int)strtol(text + strspn(text, " \t"), NULL, 10);
    fuzz_expect(date.tm_year + 1900 == year, "a date keeps its year");
    fuzz_expect(timegm(&date) == seconds, "a date comes back the same");
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static struct quantities *quantities;
    struct status status = quantities == NULL ? quantities_open(&quantities) : status_ok();
    fuzz_expect(status_is_ok(&status), "the units can be read");
    char *text = fuzz_text(data, size);
    if (text == NULL) {
        return 0;
    }
    double seconds = NAN;
    bool has_clock = false;
    if (date_read(text, &seconds, &has_clock)) {
        date_expect(text, seconds);
    }
    if (clock_read(text, &seconds)) {
        fuzz_expect(seconds >= 0 && seconds < DAY_S, "a time of day is within the day");
    }
    /* 2026-06-01 09:00; or a start that was complained about, and counts as no number */
    struct scenario scenario = {.start_unix = size % 8 == 7 ? (double)NAN : 1780304400.0};
    struct complaints complaints;
    complaints_init(&complaints);
    struct reader reader = {.quantities = quantities, .complaints = &complaints, .scenario = &scenario};
    char file[] = "times.conf";
    const struct setting item = {.type = SETTING_TEXT, .file = file, .line = 1, .text = text};
    for (int part = DAY_AT_START_CLOCK; part <= (int)DAY_ENDS; part++) {
        size_t before = complaints.count;
        char shown[64];
        double time = time_read(&reader, &item, "at", (enum day_part)part);
        fuzz_expect(isnan(time) == (complaints.count > before) || isnan(scenario.start_unix),
                    "a time reads or is complained about");
        time_show(&scenario, time, shown, sizeof shown);
        time_show(&scenario, 3600.0, shown, sizeof shown);
    }
    complaints_free(&complaints);
    free(text);
    return 0;
}
