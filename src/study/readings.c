/* readings.c: see readings.h. */
#include "study/readings.h"

#include "process/species.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>

#define DAY 86400.0
#define ROOM_K 298.15
#define PH_PER_KELVIN 0.033
#define LIMEWATER_PH 12.45
#define ERROR_OF_PH 0.2 /* beyond which a reading is suspect; common practice, no source */

/* What is believed of a vat whose sugar or lime nobody has measured, kg/m3; estimates. */
#define SWEET_LITTLE 0.7
#define SWEET_MUCH 2.5
#define CARAMEL_LITTLE 0.4
#define CARAMEL_MUCH 1.5
#define SOME_SUGAR 1.0
#define UNSMELLED_SUGAR 0.3   /* a vat that smells of none may still hold so much */
#define SUGAR_LASTS (5 * DAY) /* a rested vat older than this smells of none */
#define SOME_LIME 5.0
#define STRIP_RATIO 1.25 /* two standard errors of telling a strip beside a shade card */
#define LIMY_PH 12.0     /* at 25 degC: a liquor as limy as this has lime in its bed */
#define UNLIMY_PH 11.0   /* and one below this has none in reach */

double ph_at_25C(double ph, double temperature_K)
{
    return ph + PH_PER_KELVIN * (temperature_K - ROOM_K);
}

static int believe_sugar(const struct scenario *scenario, double sugar[2])
{
    const struct existing_vat *vat = &scenario->existing;
    sugar[0] = 0.0;
    if (vat->sugar_known) {
        sugar[0] = vat->hexose * MOLAR_HEXOSE / scenario->fill;
        return 1;
    }
    switch (vat->smell) {
    case SMELLED_SWEET:
        sugar[0] = SWEET_LITTLE;
        sugar[1] = SWEET_MUCH;
        return 2;
    case SMELLED_CARAMEL:
        sugar[0] = CARAMEL_LITTLE;
        sugar[1] = CARAMEL_MUCH;
        return 2;
    case SMELLED_FLAT:
    case SMELLED_LIMEY:
        sugar[1] = UNSMELLED_SUGAR;
        return 2;
    case SMELLED_SOUR: /* sour hides sweet, and without lime sugar keeps */
        sugar[1] = SOME_SUGAR;
        return 2;
    case SMELLED_UNKNOWN:
        break;
    }
    sugar[1] = SOME_SUGAR;
    return (isnan(vat->idle) ? vat->age : vat->idle) < SUGAR_LASTS ? 2 : 1;
}

static int believe_lime(const struct scenario *scenario, double lime[2])
{
    const struct existing_vat *vat = &scenario->existing;
    lime[0] = 0.0;
    lime[1] = SOME_LIME;
    if (vat->lime_known) {
        lime[0] = vat->lime_solid * MOLAR_LIME / scenario->fill;
        return 1;
    }
    if (vat->pinch == PINCH_STAYS) {
        lime[0] = SOME_LIME;
        return 1;
    }
    if (vat->pinch != PINCH_UNKNOWN) {
        return 1;
    }
    double ph = ph_at_25C(vat->ph, vat->temperature_K);
    if (ph > LIMY_PH) {
        lime[0] = SOME_LIME;
        return 1;
    }
    return ph < UNLIMY_PH ? 1 : 2; /* NAN: not read, so both */
}

static int believe_leuco(const struct scenario *scenario, double known, double leuco[2])
{
    static const enum constant_id shares[LOOK_COUNT] = {[LOOK_GREEN] = K_LOOK_GREEN_SHARE,
                                                        [LOOK_FAINT_BRONZE] = K_LOOK_FAINT_SHARE,
                                                        [LOOK_BRONZE] = K_LOOK_BRONZE_SHARE};
    const struct existing_vat *vat = &scenario->existing;
    leuco[0] = known;
    if (known > 0.0) {
        leuco[0] = known / STRIP_RATIO;
        leuco[1] = fmin(known * STRIP_RATIO, vat->indigotin);
        return 2;
    }
    if (!isnan(known) || vat->look == LOOK_UNKNOWN || vat->look == LOOK_BLUE) {
        return 1;
    }
    const struct constant *share = &scenario->model.constants[shares[vat->look]];
    leuco[0] = sqrt(share->low * share->nominal) * vat->indigotin;
    leuco[1] = sqrt(share->nominal * share->high) * vat->indigotin;
    return 2;
}

int readings_believe(const struct scenario *scenario, double leuco, struct belief beliefs[BELIEFS_MOST])
{
    double sugar[2];
    double lime[2];
    double dyes[2];
    int sugars = believe_sugar(scenario, sugar);
    int limes = believe_lime(scenario, lime);
    int leucos = believe_leuco(scenario, leuco, dyes);
    int conditions = sugars > leucos ? sugars : leucos;
    int count = 0;
    for (int i = 0; i < conditions; i++) {
        for (int j = 0; j < limes; j++) {
            beliefs[count++] =
                (struct belief){sugar[i < sugars ? i : sugars - 1], lime[j], dyes[i < leucos ? i : leucos - 1]};
        }
    }
    return count;
}

struct existing_vat existing_under(const struct scenario *scenario, const struct belief *belief)
{
    struct existing_vat vat = scenario->existing;
    vat.hexose = belief->hexose * scenario->fill / MOLAR_HEXOSE;
    vat.lime_solid = belief->lime_solid * scenario->fill / MOLAR_LIME;
    vat.leuco = belief->leuco;
    return vat;
}

/* ---- contradictions ---------------------------------------------------------------------------------------------- */

struct suspicion {
    struct suspect *suspects;
    int count;
};

static void suspect(struct suspicion *suspicion, bool is_ph, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

static void suspect(struct suspicion *suspicion, bool is_ph, const char *format, ...)
{
    if (suspicion->count == SUSPECTS_MOST) {
        return;
    }
    struct suspect *next = &suspicion->suspects[suspicion->count++];
    va_list arguments;
    va_start(arguments, format);
    (void)vsnprintf(next->text, sizeof next->text, format, arguments);
    va_end(arguments);
    next->is_ph = is_ph;
}

static void suspect_ph(struct suspicion *suspicion, const struct existing_vat *vat)
{
    double ph = ph_at_25C(vat->ph, vat->temperature_K);
    double most = LIMEWATER_PH - (ph - vat->ph);
    bool bronze = vat->look == LOOK_BRONZE || vat->look == LOOK_FAINT_BRONZE;
    if (ph > LIMEWATER_PH + ERROR_OF_PH) {
        suspect(suspicion, true,
                "pH %.1f cannot be: lime brings this liquor to %.1f at most; the strip or meter is off, or there is "
                "another "
                "alkali in it.",
                vat->ph, most);
    } else if (vat->pinch == PINCH_SUCKED_IN && ph > LIMEWATER_PH - 0.3) {
        suspect(suspicion, true, "A liquor of pH %.1f is nearly full of lime and would not suck a pinch of it in.",
                vat->ph);
    } else if (vat->pinch == PINCH_STAYS && ph < 10.3) {
        suspect(suspicion, true, "At pH %.1f a pinch of lime would vanish at once, not stay.", vat->ph);
    } else if (vat->smell == SMELLED_SOUR && ph > 11.0) {
        suspect(suspicion, true, "A vat of pH %.1f does not smell sour.", vat->ph);
    } else if (vat->smell == SMELLED_LIMEY && ph < 10.5) {
        suspect(suspicion, true, "A vat of pH %.1f does not smell of lime.", vat->ph);
    } else if (bronze && ph < 8.5) {
        suspect(suspicion, true, "At pH %.1f reduced indigo does not stay dissolved, so there can be no bronze film.",
                vat->ph);
    }
}

int readings_suspect(const struct scenario *scenario, struct suspect suspects[SUSPECTS_MOST])
{
    const struct existing_vat *vat = &scenario->existing;
    struct suspicion suspicion = {suspects, 0};
    double lime = vat->lime_solid * MOLAR_LIME / scenario->fill;
    double sugar = vat->hexose * MOLAR_HEXOSE / scenario->fill;
    bool bronze = vat->look == LOOK_BRONZE || vat->look == LOOK_FAINT_BRONZE;
    if (!isnan(vat->ph)) {
        suspect_ph(&suspicion, vat);
    }
    if (vat->idle > vat->age) {
        suspect(&suspicion, false, "It cannot have been idle for longer (%.0f days) than it is old (%.0f days).",
                vat->idle / DAY, vat->age / DAY);
    }
    if (vat->lime_known && lime > 0.5 && vat->pinch == PINCH_SUCKED_IN) {
        suspect(
            &suspicion, false,
            "With lime still undissolved a pinch of lime would not be sucked in: what lies there is chalk, or out of "
            "reach under the bed.");
    }
    if (vat->look == LOOK_BLUE && vat->strip > 0.002) {
        suspect(&suspicion, false,
                "A liquor that looks blue does not dye a strip so deep: look again, by daylight, in a glass.");
    }
    if (bronze && vat->strip < 0.0002) {
        suspect(&suspicion, false,
                "A bronze film with a strip so pale: the film may be old flower, or the indigo is nearly spent.");
    }
    if (vat->sugar_known && sugar > 2.0 && vat->look == LOOK_BLUE && vat->age > 2.0 * DAY &&
        vat->temperature_K > ROOM_K) {
        suspect(
            &suspicion, false,
            "With so much sugar a warm vat would not be blue after days: it was white sugar, or much air comes in.");
    }
    return suspicion.count;
}

int readings_suspect_strip(struct suspect suspects[SUSPECTS_MOST], int count)
{
    struct suspicion suspicion = {suspects, count};
    suspect(
        &suspicion, false,
        "A strip so blue asks for more reduced indigo than the vat is said to hold: it was dipped more than once, or "
        "there is more indigo left.");
    return suspicion.count;
}
