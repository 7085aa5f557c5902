/* measures.c: see measures.h. */
#include "study/measures.h"

#include <math.h>
#include <stdio.h>

#define TEASPOON 4.929e-6 /* m3 */
#define TABLESPOON 14.787e-6
#define CUP 236.59e-6
#define LIQUID_WATER 0.9 /* kg/kg: from here on it is poured, not weighed */

double mass_rounded(double mass)
{
    if (!(mass > 0.0)) {
        return 0.0;
    }
    double step = pow(10.0, floor(log10(mass)) - 1.0);
    return round(mass / step) * step;
}

/* "1 1/2", for a count in quarters. */
static void count_say(double quarters, char *text, size_t size)
{
    static const char *const parts[] = {"", "1/4", "1/2", "3/4"};
    int whole = (int)quarters / 4;
    int part = (int)quarters % 4;
    if (whole == 0) {
        (void)snprintf(text, size, "%s", parts[part]);
    } else {
        (void)snprintf(text, size, "%d%s%s", whole, part > 0 ? " " : "", parts[part]);
    }
}

static void spoons_say(double volume, char *text, size_t size)
{
    char count[32];
    if (volume < 1.4 * TABLESPOON) {
        count_say(fmax(1.0, round(4.0 * volume / TEASPOON)), count, sizeof count);
        (void)snprintf(text, size, "%s tsp", count);
    } else if (volume < 0.6 * CUP) {
        count_say(2.0 * round(2.0 * volume / TABLESPOON), count, sizeof count);
        (void)snprintf(text, size, "%s tbsp", count);
    } else {
        double quarters = round(4.0 * volume / CUP);
        count_say(quarters, count, sizeof count);
        (void)snprintf(text, size, "%s cup%s", count, quarters > 4.0 ? "s" : "");
    }
}

void measure_say(const struct material *material, double mass, char *text, size_t size)
{
    char spoons[48];
    char grams[32];
    double g = 1e3 * mass;
    (void)snprintf(grams, sizeof grams, g < 1e3 ? "%.3g g" : "%.2f kg", g < 1e3 ? g : mass);
    if (isnan(material->bulk_density)) {
        (void)snprintf(text, size, "%s", grams);
        return;
    }
    double volume = mass / material->bulk_density;
    spoons_say(volume, spoons, sizeof spoons);
    if (material->water >= LIQUID_WATER) {
        (void)snprintf(text, size, volume < 1e-3 ? "%.0f mL, about %s" : "%.2f L, about %s",
                       volume < 1e-3 ? 1e6 * volume : 1e3 * volume, spoons);
    } else {
        (void)snprintf(text, size, "%s, about %s", grams, spoons);
    }
}
