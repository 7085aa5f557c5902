/* acts_vat.c: sentences about the vat: adding, stirring, warming, covering, topping up, waiting; part of act.h. */
#include "rehearse/act.h"

#include "chem/physics.h"
#include "scenario/words.h"
#include "study/course.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#define STIR_TIME 120.0     /* s, as of the scenario file */
#define WARM_WATER_K 313.15 /* warm, hot and cold water by hand; common practice, no source */
#define HOT_WATER_K 333.15
#define COLD_WATER_K 285.15
#define KEPT_ON (366 * 86400.0)
#define PLACES_TOLD_MOST 8
#define MOST_OF_LIQUOR 0.5 /* more of anything than this share of the liquor is a slip of the tongue */

/* ---- materials --------------------------------------------------------------------------------------------------- */

void event_quote(const char *from, char *to, size_t size)
{
    size_t used = 0;
    for (; *from != '\0' && used + 3 < size; from++) {
        unsigned char c = (unsigned char)*from;
        if (c == '"' || c == '\\') {
            to[used++] = '\\';
        }
        to[used++] = (char)(c < 0x20 || c == 0x7f ? ' ' : c);
    }
    to[used] = '\0';
}

/* Whether `word` is one of the words of a name, "lime" of "slaked lime"; plural or not. */
static bool has_word(const char *name, const char *word)
{
    size_t length = strlen(word);
    for (const char *at = name; *at != '\0'; at += strcspn(at, " "), at += *at == ' ') {
        size_t of = strcspn(at, " ");
        if (of == length && strncmp(at, word, length) == 0) {
            return true;
        }
    }
    return false;
}

/* Whether what was said can mean this material: its name, a word of its name, or its kind. */
static bool can_mean(const struct material *material, const char *said)
{
    return strcmp(material->name, said) == 0 || has_word(material->name, said) || strcmp(material->kind, said) == 0;
}

const char *material_meant(const struct scenario *scenario, const char *said)
{
    const struct model *model = &scenario->model;
    for (size_t i = 0; i < model->material_count; i++) {
        if (strcmp(model->materials[i].name, said) == 0) {
            return said;
        }
    }
    for (size_t i = 0; i < scenario->charge_count; i++) {
        const struct material *of_vat = &model->materials[scenario->charge[i].material];
        if (can_mean(of_vat, said)) {
            return of_vat->name;
        }
    }
    struct remedies usual = remedies_of(scenario);
    const int indices[] = {usual.sugar, usual.lime, usual.acid};
    for (size_t i = 0; i < sizeof indices / sizeof indices[0]; i++) {
        if (indices[i] >= 0 && can_mean(&model->materials[indices[i]], said)) {
            return model->materials[indices[i]].name;
        }
    }
    for (size_t i = 0; i < model->material_count; i++) {
        if (can_mean(&model->materials[i], said)) {
            return model->materials[i].name;
        }
    }
    return said;
}

/* Purity of the powder that the vat was made with; NAN: not said. */
static double purity_of(const struct scenario *scenario, const char *name)
{
    for (size_t i = 0; i < scenario->charge_count; i++) {
        if (strcmp(scenario->model.materials[scenario->charge[i].material].name, name) == 0) {
            return scenario->charge[i].purity;
        }
    }
    return NAN;
}

/* Takes off the end of what was said how it goes in: "as slurry", "in warm water". */
static void cut_manner(char *said)
{
    static const char *const manners[] = {" as a slurry",   " as slurry",  " slowly",      " in water",
                                          " in warm water", " dissolved",  " slaked",      " as a powder",
                                          " stirred in",    " to the vat", " into the vat"};
    bool again = true;
    while (again) {
        again = false;
        for (size_t i = 0; i < sizeof manners / sizeof manners[0]; i++) {
            size_t end = strlen(manners[i]);
            size_t length = strlen(said);
            if (length > end && strcmp(said + length - end, manners[i]) == 0) {
                said[length - end] = '\0';
                again = true;
            }
        }
    }
}

/* "water", "hot water"; not "old vat liquor" or "lime water". */
static bool is_water(const char *said)
{
    return strcmp(said, "water") == 0 || strcmp(said, "hot water") == 0 || strcmp(said, "warm water") == 0 ||
           strcmp(said, "cold water") == 0;
}

/* kg, or m3 of what is measured by the spoon. */
static bool mass_or_volume(const struct setting_of_act *of, struct phrase *phrase, double *value, bool *is_volume,
                           char amount[AMOUNT_SIZE])
{
    *is_volume = !phrase_amount(phrase, of->quantities, "kg", value, amount);
    return !*is_volume || phrase_amount(phrase, of->quantities, "m3", value, amount);
}

/* "add fructose 200 g": the amount at the end. */
static bool amount_at_end(const struct setting_of_act *of, struct phrase *phrase, double *value, bool *is_volume,
                          char amount[AMOUNT_SIZE])
{
    for (int words = 1; phrase->at + words < phrase->count; words++) {
        struct phrase ahead = *phrase;
        ahead.at += words;
        if (mass_or_volume(of, &ahead, value, is_volume, amount) && phrase_is_over(&ahead)) {
            phrase->count = phrase->at + words;
            return true;
        }
    }
    return false;
}

bool read_add(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    char amount[AMOUNT_SIZE];
    char said[SENTENCE_SIZE];
    double value = 0.0;
    bool is_volume = false;
    bool any =
        mass_or_volume(of, phrase, &value, &is_volume, amount) || amount_at_end(of, phrase, &value, &is_volume, amount);
    (void)phrase_take(phrase, "of");
    (void)phrase_take(phrase, "the");
    phrase_rest(phrase, true, said, sizeof said);
    cut_manner(said);
    if (strcmp(said, "vat") == 0 || strcmp(said, "it") == 0) {
        said[0] = '\0';
    }
    const char *name = material_meant(of->scenario, said);
    if (!any && strrchr(said, ' ') != NULL && name == said) { /* "a handful of lime" */
        name = material_meant(of->scenario, strrchr(said, ' ') + 1);
    }
    if (!any || said[0] == '\0') {
        return hint(of, "%s Say it as: add 50 g %.60s.",
                    said[0] == '\0' ? "Add what?" : "How much of it, in g, kg, oz, lb, tsp, tbsp or cups?",
                    said[0] == '\0' || any ? "fructose" : name);
    }
    if (is_water(said)) {
        return hint(of, "Water is topped up: top up with %s %.40s.", amount, said);
    }
    if (value * (is_volume ? 1e3 : 1.0) > MOST_OF_LIQUOR * 1e3 * of->scenario->fill) {
        return hint(of, "%s is more than such a vat takes. Say it as: add 50 g %.60s.", amount, name);
    }
    char quoted[SENTENCE_SIZE];
    char purity[48] = "";
    event_quote(name, quoted, sizeof quoted);
    double share = purity_of(of->scenario, name);
    if (!isnan(share)) {
        (void)snprintf(purity, sizeof purity, " purity = %.17g;", share);
    }
    (void)snprintf(act->event, EVENT_SIZE, "do = \"add\"; what = \"%.200s\"; amount = \"%s\";%s", quoted, amount,
                   strpbrk(purity, ".e") != NULL || purity[0] == '\0' ? purity : " purity = 1.0;");
    (void)snprintf(act->rest, sizeof act->rest, "%s", amount);
    return true;
}

/* ---- stirring and warmth ------------------------------------------------------------------------------------------ */

bool hint(const struct setting_of_act *of, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    (void)vsnprintf(of->hint, HINT_SIZE, format, arguments);
    va_end(arguments);
    return false;
}

bool is_all_said(const struct setting_of_act *of, const struct phrase *phrase, const char *example)
{
    if (phrase_is_over(phrase)) {
        return true;
    }
    return is_nonsense(of, phrase, example);
}

bool is_nonsense(const struct setting_of_act *of, const struct phrase *phrase, const char *example)
{
    char rest[SENTENCE_SIZE];
    if (phrase_is_over(phrase)) {
        return hint(of, "Something is left out. Say it as: %s.", example);
    }
    phrase_rest(phrase, false, rest, sizeof rest);
    return hint(of, "What does \"%.60s\" mean there? Say it as: %s.", rest, example);
}

bool read_stir(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    enum stir_kind how = STIR_GENTLE;
    act->lasts = STIR_TIME;
    while (!phrase_is_over(phrase)) {
        if (phrase_take(phrase, "gently|slowly|softly|it|the vat|the liquor|well|once|for|up")) {
            continue;
        }
        if (phrase_take(phrase, "briskly|brisk|fast")) {
            how = STIR_BRISK;
        } else if (phrase_take(phrase, "hard|wildly|with a whisk|whip|vigorously")) {
            how = STIR_WHIP;
        } else if (!phrase_duration(phrase, of->quantities, &act->lasts)) {
            return is_nonsense(of, phrase, "stir 2 min, or stir briskly 5 min");
        }
    }
    (void)snprintf(act->event, EVENT_SIZE, "do = \"stir\"; how = \"%s\"; for = \"%.0f s\";", stir_words[how],
                   act->lasts);
    return true;
}

static bool temperature_said(const struct setting_of_act *of, struct phrase *phrase, char text[AMOUNT_SIZE])
{
    double kelvin;
    int bare;
    (void)phrase_take(phrase, "to|at");
    if (phrase_amount(phrase, of->quantities, "K", &kelvin, text)) {
        return true;
    }
    if (phrase_count(phrase, &bare)) {
        return hint(of, "%d of what, C or F? Say it as: warm to %d C, or warm to %d F.", bare, bare, bare);
    }
    return hint(of, "How warm? Say it as: warm to 45 C, or warm to 113 F.");
}

/* The event of a heater that goes on, with its power when the vessel has none of its own. */
static void heat_event(const struct setting_of_act *of, const char *to, const char *power, double held, struct act *act)
{
    char own[32] = "";
    if (power[0] == '\0' && !(of->scenario->vessel.heater_power > 0.0)) {
        (void)snprintf(own, sizeof own, "%.0f W", heater_at_hand(of->scenario));
        power = own;
    }
    (void)snprintf(act->event, EVENT_SIZE, "do = \"heat\"; to = \"%s\";", to);
    size_t used = strlen(act->event);
    if (held > 0.0) {
        used += (size_t)snprintf(act->event + used, EVENT_SIZE - used, " for = \"%.0f s\";", held);
    }
    if (power[0] != '\0') {
        (void)snprintf(act->event + used, EVENT_SIZE - used, " power = \"%s\";", power);
    }
}

bool read_warm(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    char to[AMOUNT_SIZE];
    char power[AMOUNT_SIZE] = "";
    double watts;
    (void)phrase_take(phrase, "it|the vat|the liquor|up");
    (void)phrase_take(phrase, "up|gently|slowly");
    if (!temperature_said(of, phrase, to)) {
        return false;
    }
    while (!phrase_is_over(phrase)) {
        if (phrase_take(phrase, "with") && phrase_amount(phrase, of->quantities, "W", &watts, power)) {
            continue;
        }
        (void)phrase_take(phrase, "and");
        (void)phrase_take(phrase, "hold it|keep it|hold|keep");
        (void)phrase_take(phrase, "there");
        (void)phrase_take(phrase, "for");
        if (!phrase_duration(phrase, of->quantities, &act->lasts)) {
            return is_nonsense(of, phrase, "warm to 45 C, or warm to 45 C and hold 2 hours");
        }
    }
    act->is_warming = true;
    heat_event(of, to, power, act->lasts, act);
    return true;
}

bool read_keep(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    char to[AMOUNT_SIZE];
    (void)phrase_take(phrase, "it|the vat|the liquor");
    (void)phrase_take(phrase, "warm");
    if (!temperature_said(of, phrase, to) || !is_all_said(of, phrase, "keep at 40 C")) {
        return false;
    }
    act->stays_on = true;
    heat_event(of, to, "", KEPT_ON, act);
    return true;
}

bool read_heater_off(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    (void)snprintf(act->event, EVENT_SIZE, "do = \"heat off\";");
    return is_all_said(of, phrase, "heater off");
}

/* ---- lid, wrap, place --------------------------------------------------------------------------------------------- */

static bool lid_event(const struct setting_of_act *of, struct phrase *phrase, enum lid_kind lid, struct act *act)
{
    (void)snprintf(act->event, EVENT_SIZE, "do = \"cover\"; lid = \"%s\";", lid_words[lid]);
    return is_all_said(of, phrase, "cover, cover tightly, or uncover");
}

bool read_cover(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    enum lid_kind lid = LID_LOOSE;
    (void)phrase_take(phrase, "it|the vat");
    (void)phrase_take(phrase, "up");
    (void)phrase_take(phrase, "with");
    (void)phrase_take(phrase, "a|the");
    if (phrase_take(phrase, "tightly|tight lid|tight|well|close")) {
        lid = LID_TIGHT;
    } else {
        (void)phrase_take(phrase, "loosely|loose lid|loose|lid");
    }
    return lid_event(of, phrase, lid, act);
}

bool read_uncover(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    (void)phrase_take(phrase, "it|the vat");
    return lid_event(of, phrase, LID_NONE, act);
}

bool read_wrap(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    (void)phrase_take(phrase, "it|the vat");
    (void)phrase_take(phrase, "in|with");
    (void)phrase_take(phrase, "a|the");
    bool is_foam = phrase_take(phrase, "foam");
    if (!is_foam) {
        (void)phrase_take(phrase, "blankets|blanket");
    }
    (void)snprintf(act->event, EVENT_SIZE, "do = \"wrap\"; wrap = \"%s\";",
                   wrap_words[is_foam ? WRAP_FOAM : WRAP_BLANKET]);
    return is_all_said(of, phrase, "wrap in a blanket, wrap in foam, or unwrap");
}

bool read_unwrap(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    (void)phrase_take(phrase, "it|the vat");
    (void)snprintf(act->event, EVENT_SIZE, "do = \"wrap\"; wrap = \"%s\";", wrap_words[WRAP_NONE]);
    return is_all_said(of, phrase, "unwrap");
}

bool read_move(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    const struct scenario *scenario = of->scenario;
    char said[SENTENCE_SIZE];
    (void)phrase_take(phrase, "it|the vat");
    (void)phrase_take(phrase, "to|into");
    (void)phrase_take(phrase, "the");
    phrase_rest(phrase, false, said, sizeof said);
    for (size_t i = 0; i < scenario->place_count; i++) {
        if (words_equal_ignoring_case(said, scenario->places[i].name)) {
            char quoted[SENTENCE_SIZE];
            event_quote(scenario->places[i].name, quoted, sizeof quoted);
            (void)snprintf(act->event, EVENT_SIZE, "do = \"move\"; place = \"%.200s\";", quoted);
            return true;
        }
    }
    char list[200];
    const char *names[PLACES_TOLD_MOST + 1] = {NULL};
    for (size_t i = 0; i < scenario->place_count && i < PLACES_TOLD_MOST; i++) {
        names[i] = scenario->places[i].name;
    }
    word_list(names, list, sizeof list);
    return hint(of, "Where to? The places of this vat: %s.", list);
}

/* ---- water and bed ------------------------------------------------------------------------------------------------ */

bool read_top_up(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    static const char example[] = "top up to 50 L with warm water, or top up with 3 L";
    char amount[AMOUNT_SIZE] = "";
    char temperature[AMOUNT_SIZE] = "";
    double value;
    bool is_level = false;
    while (!phrase_is_over(phrase)) {
        if (phrase_take(phrase, "it|the vat|with|of|water|by|at|some")) {
            continue;
        }
        bool to = phrase_take(phrase, "to");
        if (phrase_amount(phrase, of->quantities, "m3", &value, amount)) {
            is_level = to;
        } else if (phrase_take(phrase, "warm")) {
            (void)snprintf(temperature, sizeof temperature, "%.0f degC", WARM_WATER_K - CELSIUS_ZERO);
        } else if (phrase_take(phrase, "hot")) {
            (void)snprintf(temperature, sizeof temperature, "%.0f degC", HOT_WATER_K - CELSIUS_ZERO);
        } else if (phrase_take(phrase, "cold")) {
            (void)snprintf(temperature, sizeof temperature, "%.0f degC", COLD_WATER_K - CELSIUS_ZERO);
        } else if (!phrase_amount(phrase, of->quantities, "K", &value, temperature)) {
            return is_nonsense(of, phrase, example);
        }
    }
    (void)snprintf(act->event, EVENT_SIZE, "do = \"top up\";");
    size_t used = strlen(act->event);
    if (amount[0] != '\0') {
        used +=
            (size_t)snprintf(act->event + used, EVENT_SIZE - used, " %s = \"%s\";", is_level ? "to" : "amount", amount);
    }
    if (temperature[0] != '\0') {
        (void)snprintf(act->event + used, EVENT_SIZE - used, " temperature = \"%s\";", temperature);
    }
    return true;
}

bool read_skim(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    (void)phrase_take(phrase, "off");
    (void)phrase_take(phrase, "the film|the froth|the flower|film|froth|it|the vat");
    (void)snprintf(act->event, EVENT_SIZE, "do = \"skim\";");
    return is_all_said(of, phrase, "skim");
}

bool read_rack(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    char amount[AMOUNT_SIZE] = "";
    double value;
    (void)phrase_take(phrase, "off");
    (void)phrase_take(phrase, "the bed|the sediment|it");
    (void)phrase_take(phrase, "with");
    (void)phrase_amount(phrase, of->quantities, "m3", &value, amount);
    (void)phrase_take(phrase, "of liquor|of the liquor");
    (void)snprintf(act->event, EVENT_SIZE, "do = \"rack\";");
    if (amount[0] != '\0') {
        (void)snprintf(act->event, EVENT_SIZE, "do = \"rack\"; amount = \"%s\";", amount);
    }
    return is_all_said(of, phrase, "rack off the bed, or rack off the bed with 2 L");
}

/* ---- time --------------------------------------------------------------------------------------------------------- */

bool read_wait(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    static const char example[] = "wait 2 hours, wait until morning, or wait until day 3 10:00";
    double moment;
    (void)phrase_take(phrase, "it|the vat");
    if (phrase_take(phrase, "until|till|to")) {
        if (!phrase_moment(phrase, of->quantities, of->scenario, of->now, false, &moment)) {
            return hint(of, "Until when? Say it as: %s.", example);
        }
        if (moment <= of->now) {
            return hint(of, "That is past. Time goes on only; 'back to' goes to an earlier moment.");
        }
        act->lasts = moment - of->now;
        return is_all_said(of, phrase, example);
    }
    (void)phrase_take(phrase, "for");
    if (!phrase_duration(phrase, of->quantities, &act->lasts)) {
        if (phrase_take(phrase, "overnight")) {
            return read_overnight(of, phrase, act);
        }
        return hint(of, "How long? Say it as: %s.", example);
    }
    return is_all_said(of, phrase, example);
}

bool read_overnight(const struct setting_of_act *of, struct phrase *phrase, struct act *act)
{
    struct phrase morning;
    double moment = of->now + 86400.0;
    (void)phrase_split(&morning, "morning");
    (void)phrase_moment(&morning, of->quantities, of->scenario, of->now, false, &moment);
    act->lasts = moment - of->now;
    return is_all_said(of, phrase, "wait overnight");
}
