/* notes.c: the story of a run, a line at a time. */
#include "chem/physics.h"
#include "chem/speciation.h"
#include "sim/vat.h"

#include <stdarg.h>
#include <stdio.h>

struct status vat_note(struct vat *vat, enum note_kind kind, const char *format, ...)
{
    char text[sizeof((struct note *)0)->text];
    va_list arguments;
    va_start(arguments, format);
    (void)vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    return result_add_note(vat->result, vat->time, kind, "%s", text);
}

static const struct {
    enum note_kind kind;
    const char *text;
    const char *limit_words; /* NULL: none */
    enum constant_id limit;
    double zero; /* that the limit is told from, in its SI unit */
    const char *unit;
} state_notes[] = {
    [VAT_READY] = {NOTE_INFO, "ready to dye", .limit_words = NULL},
    [VAT_TIRED] = {NOTE_WARNING, "tired: little leuco; rest it, warm it, feed a little sugar", .limit_words = NULL},
    [VAT_OXIDISED] = {NOTE_WARNING, "gone blue: air has taken the leuco; cover it, warm it, feed sugar",
                      .limit_words = NULL},
    [VAT_SUGAR_SPENT] = {NOTE_WARNING, "the sugar is spent and little leuco is left; feed sugar", .limit_words = NULL},
    [VAT_LIME_SHORT] = {NOTE_WARNING, "lime is short; add lime in small steps", "pH below", K_ALKALI_SHORT_PH, 0.0, ""},
    [VAT_LIME_HEAVY] = {NOTE_WARNING, "limier than cloth likes: the dye takes less well", "pH at 25 degC above",
                        K_LIME_HEAVY_PH, 0.0, ""},
    [VAT_OVER_REDUCED] = {NOTE_WARNING, "over-reduced: it may strip dyed cloth; no more sugar for now",
                          .limit_words = NULL},
    [VAT_TOO_COLD] = {NOTE_WARNING, "too cold to work", "below", K_WORK_TEMPERATURE_LOWEST, CELSIUS_ZERO, " degC"},
    [VAT_INDIGO_SPENT] = {NOTE_WARNING, "the indigo is spent; top up with pigment", .limit_words = NULL},
    [VAT_STIRRED_UP] = {NOTE_INFO, "reduced but cloudy: let it settle before dyeing", .limit_words = NULL},
    [VAT_STARTING] = {NOTE_INFO, "reducing, not ready yet", .limit_words = NULL},
    [VAT_FROZEN] = {NOTE_WARNING, "at the freezing point", .limit_words = NULL},
    [VAT_ASLEEP] = {NOTE_WARNING,
                    "asleep: alive but idle; warm it, feed a little bran, stir once a day and wait a week",
                    .limit_words = NULL},
    [VAT_RUNAWAY] = {NOTE_WARNING,
                     "running away: acid is made fast; add soda, potash or lime in small steps, no feed for now",
                     .limit_words = NULL},
    [VAT_PUTRID] = {NOTE_WARNING,
                    "putrid: spoilers have it; lime or soda up to the working pH at once and again, or give it up",
                    .limit_words = NULL},
    [VAT_STALLED] = {NOTE_WARNING,
                     "stalled by alkali: add none; wait, keep it warm, feed bran, or thin it with warm water",
                     .limit_words = NULL},
};

/* What the same diagnosis means where cells do the work. */
static const char *const live_notes[sizeof state_notes / sizeof state_notes[0]] = {
    [VAT_TIRED] = "tired: little leuco; let it rest a day or two, warm, stirred once a day; then a little bran",
    [VAT_OXIDISED] = "gone blue: air has got in; cover it, keep it warm, let it rest",
    [VAT_LIME_SHORT] = "alkali is short, spoilers may come; add soda, potash or lime in small steps",
    [VAT_TOO_COLD] = "too cold for its cells: warm it slowly and keep it steady, nights too",
    [VAT_STARTING] = "fermenting, not ready yet: keep it warm and covered, stir once a day",
};

/* The story of a diagnosis, with the limit it rests on. */
static struct status note_state(struct vat *vat, int state)
{
    const char *text = vat->ferments && live_notes[state] != NULL ? live_notes[state] : state_notes[state].text;
    const char *words = state_notes[state].limit_words;
    if (words == NULL) {
        return vat_note(vat, state_notes[state].kind, "%s", text);
    }
    return vat_note(vat, state_notes[state].kind, "%s (%s %.3g%s)", text, words,
                    vat->constants[state_notes[state].limit] - state_notes[state].zero, state_notes[state].unit);
}

/* Limits of what the model is made for, each told once. Beyond them it goes on: what rests on them is rough. */
struct status vat_watch_range(struct vat *vat, double time, const struct liquor *liquor)
{
    const double temperature = liquor->temperature_K - CELSIUS_ZERO;
    const double ph = liquor->ions.ph;
    const double strength = liquor->ions.ionic_strength;
    const bool warm = !vat->told_of.warmth && temperature > CHEMISTRY_WARMEST;
    const bool outside = !vat->told_of.ph && !(ph >= CHEMISTRY_PH_LOWEST && ph <= CHEMISTRY_PH_HIGHEST);
    const bool strong = !vat->told_of.strength && strength > CHEMISTRY_STRENGTH_MOST;
    if (!warm && !outside && !strong) {
        return status_ok();
    }
    vat->time = time;
    if (warm) {
        vat->told_of.warmth = true;
        RETURN_IF_FAILED(vat_note(vat, NOTE_WARNING,
                                  "at %.0f degC, warmer than the %.0f degC that the model is good to", temperature,
                                  CHEMISTRY_WARMEST));
    }
    if (outside) {
        vat->told_of.ph = true;
        RETURN_IF_FAILED(
            vat_note(vat, NOTE_WARNING,
                     "at pH %.1f, outside the %.0f to %.1f that the model is made for: what it tells is rough", ph,
                     CHEMISTRY_PH_LOWEST, CHEMISTRY_PH_HIGHEST));
    }
    if (strong) {
        vat->told_of.strength = true;
        return vat_note(
            vat, NOTE_WARNING,
            "so much dissolved (ionic strength %.2g mol/L, above %.1f) that pH and what rests on it are rough",
            strength, CHEMISTRY_STRENGTH_MOST);
    }
    return status_ok();
}

struct status vat_watch(struct vat *vat, const double *row)
{
    int state = (int)row[SERIES_STATE];
    if (state != vat->last_state) {
        vat->last_state = state;
        RETURN_IF_FAILED(note_state(vat, state));
    }
    RETURN_IF_FAILED(vat_watch_range(vat, vat->time, &vat->liquor));
    if (!vat->bed_told && row[SERIES_BED_SHARE] > vat->constants[K_BED_TOUCH_DEPTH]) {
        vat->bed_told = true;
        return vat_note(vat, NOTE_WARNING, "the bed takes a third of the depth: hang cloth high, or rack the bed off");
    }
    return status_ok();
}
