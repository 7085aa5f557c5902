/* telling.c: what a dyer sees, smells and reads of the vat, and of what was just done; see session_parts.h. */
#include "rehearse/session_parts.h"

#include "chem/physics.h"
#include "chem/shade.h"
#include "study/summary_words.h"

#include <math.h>
#include <string.h>

#define WARM_CAUTION_K 313.15
#define LEVEL_STEP 0.5e-3    /* m3: as a marked stick tells, in vats up to a hundred litres */
#define LEVEL_STEP_LARGE 1e-3
#define FLOWER_LITTLE 0.15
#define FLOWER_MUCH 0.5
#define YELLOW 0.6           /* share of the dye still to turn blue by which cloth looks yellow-green, */
#define GREENISH 0.15        /* and green */
#define PIECES_TOLD 8
#define THIRST_SUCKED_IN 0.4 /* of SERIES_LIME_THIRST: a pinch of lime is sucked in at once, */
#define THIRST_SLOW 0.1      /* slowly, or stays; as the readings of advice are tried with */

static double cell(const struct table *table, const char *name, size_t row)
{
    return table_column(table, name)->values[row];
}

/* ---- readings ----------------------------------------------------------------------------------------------------- */

struct seen seen_since(const struct session *session, const struct act *act, size_t row)
{
    const struct table *events = &session->result.events;
    struct seen seen = {.temperature_K = NAN, .ph = NAN, .orp = NAN, .strip = NAN, .look = -1, .smell = -1};
    double now[SERIES_COUNT];
    for (; row < events->rows; row++) {
        if ((int)cell(events, "action", row) != ACTION_READ) {
            continue;
        }
        seen.temperature_K = cell(events, "reading_temperature", row) + CELSIUS_ZERO;
        seen.look = (int)cell(events, "reading_look", row);
        seen.ph = isnan(cell(events, "reading_ph", row)) ? seen.ph : cell(events, "reading_ph", row);
        seen.orp = isnan(cell(events, "reading_orp", row)) ? seen.orp : cell(events, "reading_orp", row);
        seen.strip = isnan(cell(events, "reading_strip", row)) ? seen.strip : cell(events, "reading_strip", row);
    }
    if (seen.look < 0) {
        return seen;
    }
    run_row(session->run, now);
    seen.smell = (int)now[SERIES_SMELL];
    if (act->kind == ACT_PINCH) {
        seen.pinch = now[SERIES_LIME_THIRST] > THIRST_SUCKED_IN ? PINCH_SUCKED_IN
                     : now[SERIES_LIME_THIRST] > THIRST_SLOW    ? PINCH_SLOW
                                                                : PINCH_STAYS;
    }
    return seen;
}

/* "47.5 C (118 F)", as a thermometer in the hand tells. */
static void say_temperature(double kelvin, char *text, size_t size)
{
    double celsius = 0.5 * floor(2.0 * (kelvin - CELSIUS_ZERO) + 0.5);
    (void)snprintf(text, size, "%g C (%.0f F)", celsius, 32.0 + 1.8 * celsius);
}

static void say_smell(const struct session *session, double smell)
{
    char word[WORD_SIZE];
    word_of_list(SMELL_WORDS, smell, word);
    fprintf(session->out, (int)smell == SMELL_FLAT ? "it hardly smells" : "it smells %s", word);
}

static void tell_look(const struct session *session, const double *row)
{
    char look[WORD_SIZE];
    char clarity[WORD_SIZE];
    char hue[WORD_SIZE];
    word_of_list(LOOK_WORDS, row[SERIES_LOOK], look);
    word_of_list(LIQUOR_CLARITY_WORDS, row[SERIES_LIQUOR_CLARITY], clarity);
    word_of_list(LIQUOR_HUE_WORDS, row[SERIES_LIQUOR_HUE], hue);
    fprintf(session->out, "the liquor is %s; in a glass it is %s, %s; ", look_phrase(look), clarity, hue);
    say_smell(session, row[SERIES_SMELL]);
    if (row[SERIES_FLOWER] > FLOWER_LITTLE) {
        fputs(row[SERIES_FLOWER] > FLOWER_MUCH ? "; a head of blue froth stands on it" : "; a little blue froth floats on it",
              session->out);
    }
    fputs(".\n", session->out);
}

void tell_vat(struct session *session)
{
    double row[SERIES_COUNT];
    run_row(session->run, row);
    tell_look(session, row);
}

static void tell_level(const struct session *session, const double *row)
{
    double capacity = run_stand(session->run).capacity;
    double step = 1e3 * (capacity > 0.1 ? LEVEL_STEP_LARGE : LEVEL_STEP);
    fprintf(session->out, "The stick shows %g L", step * floor(row[SERIES_VOLUME] / step + 0.5));
    if (row[SERIES_BED_SHARE] > 0.02) {
        fprintf(session->out, ", of it %.0f cm of sediment", fmax(1.0, floor(row[SERIES_BED_DEPTH] + 0.5)));
    }
    fputs(". ", session->out);
}

static void tell_stand(const struct session *session)
{
    static const char *const lids[] = {"It stands open", "The lid lies on it, loose", "The lid is on tight"};
    static const char *const wraps[] = {"", ", wrapped in a blanket", ", wrapped in foam"};
    struct run_stand stand = run_stand(session->run);
    fprintf(session->out, "%s%s", lids[stand.lid], wraps[stand.wrap]);
    if (session->scenario->place_count > 1) {
        fprintf(session->out, "; place: %s", session->scenario->places[stand.place].name);
    }
    if (stand.heater_power > 0.0 || stand.heater_to_K > 0.0) {
        fprintf(session->out, "; the heater is on, set to %.0f C", stand.heater_to_K - CELSIUS_ZERO);
    }
    fputs(".\n", session->out);
}

/* ---- cloth -------------------------------------------------------------------------------------------------------- */

static void tell_piece_look(const struct session *session, const struct run_piece *piece)
{
    enum shade shade = shade_of_owf(piece->owf);
    if (piece->soaking) {
        fputs("in the vat", session->out);
    } else if (piece->dips == 0) {
        fputs("not dipped yet", session->out);
    } else if (piece->yellow > YELLOW && shade != SHADE_HARDLY_TINTED) {
        fputs("yellow-green, turning", session->out);
    } else if (piece->yellow > GREENISH && shade != SHADE_HARDLY_TINTED) {
        fputs("green, not yet blue", session->out);
    } else {
        fprintf(session->out, "%s%s", shade_name(shade), piece->rinsed ? "" : ", unrinsed");
    }
}

void tell_cloth(struct session *session, bool dipped_only)
{
    const struct scenario *scenario = session->scenario;
    int told = 0;
    int more = 0;
    for (size_t i = 0; i < run_piece_count(session->run); i++) {
        struct run_piece piece = run_piece(session->run, i);
        if (piece.dips == 0 && !piece.soaking) {
            continue;
        }
        if (told == PIECES_TOLD) {
            more++;
            continue;
        }
        const char *name = scenario->cloth[piece.kind].name;
        fprintf(session->out, "%s%s %d (%d dip%s): ", told++ > 0 ? "; " : "", name, piece.number, piece.dips,
                piece.dips == 1 ? "" : "s");
        tell_piece_look(session, &piece);
    }
    if (more > 0) {
        fprintf(session->out, "; and %d more", more);
    }
    if (told > 0) {
        fputs(".\n", session->out);
    }
    if (dipped_only) {
        return;
    }
    for (size_t k = 0; k < scenario->cloth_count; k++) {
        int left = 0;
        char count[2 * NAME_SIZE];
        for (size_t i = 0; i < run_piece_count(session->run); i++) {
            struct run_piece piece = run_piece(session->run, i);
            left += piece.kind == (int)k && piece.dips == 0 && !piece.soaking ? 1 : 0;
        }
        say_count(left, scenario->cloth[k].name, count, sizeof count);
        if (left > 0) {
            fprintf(session->out, "%s not dipped yet; %s, %.0f g each%s%s.\n", count,
                    scenario->model.fibres[scenario->cloth[k].fibre].name, 1e3 * scenario->cloth[k].each,
                    scenario->cloth[k].target[0] != '\0' ? ", to become " : "", scenario->cloth[k].target);
        }
    }
    if (scenario->cloth_count == 0) {
        fputs("There is no cloth in this scenario.\n", session->out);
    }
}

static void tell_dip(const struct session *session, const struct act *act)
{
    const struct cloth_kind *kind = &session->scenario->cloth[act->count];
    const struct fibre *fibre = &session->scenario->model.fibres[kind->fibre];
    struct run_piece piece = {.owf = 0.0};
    for (size_t i = 0; i < run_piece_count(session->run); i++) {
        struct run_piece at = run_piece(session->run, i);
        if (at.kind == act->count && at.number == act->first) {
            piece = at;
        }
    }
    fprintf(session->out, act->pieces > 1 ? "%s %d to %d " : "%s %d ", kind->name, act->first, act->first + act->pieces - 1);
    fprintf(session->out, act->pieces > 1 ? "go in and come out (dip %d): " : "goes in and comes out (dip %d): ", piece.dips);
    tell_piece_look(session, &piece);
    fputs(piece.yellow > GREENISH ? ". Let it air before you judge the blue or dip again.\n" : ".\n", session->out);
    if (!isnan(fibre->ph_limit)) {
        fprintf(session->out, "%s is harmed by liquor above pH %.1f.\n", fibre->name, fibre->ph_limit);
    }
}

/* ---- what was done ------------------------------------------------------------------------------------------------ */

/* Whether a material was handled before event `before` in this session. */
static bool was_added(const struct session *session, int material, size_t before)
{
    for (size_t i = 0; i < before; i++) {
        const struct event_spec *event = &session->scenario->events[i];
        if (event->action == ACTION_ADD && event->dose.material == material) {
            return true;
        }
    }
    return false;
}

static void tell_added(const struct session *session, const struct act *act)
{
    size_t event = session->scenario->event_count - 1;
    const struct event_spec *spec = &session->scenario->events[event];
    const struct material *material = &session->scenario->model.materials[spec->dose.material];
    fprintf(session->out, "In goes %s of %s", act->rest, material->name);
    if (spec->dose.by_volume) {
        char mass[WORD_SIZE];
        say_mass(spec->dose.mass, mass);
        fprintf(session->out, ", about %s (a spoon tells to a quarter; scales are better)", mass);
    }
    fputs(strcmp(material->kind, "lime") == 0 || strcmp(material->kind, "indigo") == 0
              ? ", as a slurry. It sinks unless it is stirred in.\n"
              : ".\n",
          session->out);
    if (material->caution[0] != '\0') {
        if (was_added(session, spec->dose.material, event)) {
            fputs("Care: goggles and gloves.\n", session->out);
        } else {
            fprintf(session->out, "Care, %s: %s.\n", material->name, material->caution);
        }
    }
}

static void tell_warm(const struct session *session, const struct act *act, double begun)
{
    char span[64];
    struct run_stand stand = run_stand(session->run);
    duration_say(session->now - begun, span, sizeof span);
    if (act->stays_on) {
        fprintf(session->out, "The heater is on and will keep it at %.0f C until 'heater off'.\n",
                stand.heater_to_K - CELSIUS_ZERO);
    } else if (session->now > begun) {
        fprintf(session->out, "Warmed, in %s. ", span);
    } else {
        fputs("It is as warm as that already.\n", session->out);
    }
    if (session->now > begun || act->stays_on) {
        fputs("Care: hot liquor scalds; burners outdoors; the heater out before hands go in.\n", session->out);
    }
}

static void tell_overflow(const struct session *session, size_t row)
{
    const struct table *events = &session->result.events;
    for (; row < events->rows; row++) {
        if ((int)cell(events, "action", row) == RUN_ACTION_OVERFLOW) {
            char volume[WORD_SIZE];
            say_volume(cell(events, "water", row), volume);
            fprintf(session->out, "The vat runs over: %s of liquor is lost. Care: it burns eyes and skin.\n", volume);
        }
    }
}

/* What the scenario's own calendar did meanwhile. */
static void tell_done_meanwhile(const struct session *session, double begun, size_t row)
{
    const struct table *events = &session->result.events;
    for (; row < events->rows; row++) {
        double source = cell(events, "source", row);
        int action = (int)cell(events, "action", row);
        if (source < 0.0 || action >= ACTION_COUNT || !(cell(events, "done", row) > 0.0) ||
            (size_t)source >= growth_of_file(session->growth) || !(cell(events, "time", row) >= begun)) {
            continue;
        }
        char moment[64];
        const struct event_spec *spec = &session->scenario->events[(size_t)source];
        session_moment(session, cell(events, "time", row), moment, sizeof moment);
        fprintf(session->out, "%s, by the calendar: %s%s%s.\n", moment, action_words[action], action == ACTION_ADD ? " " : "",
                action == ACTION_ADD ? session->scenario->model.materials[spec->dose.material].name : "");
    }
}

static void tell_reading(const struct session *session, const struct act *act, const struct seen *seen)
{
    char temperature[64];
    say_temperature(seen->temperature_K, temperature, sizeof temperature);
    switch (act->first) {
    case INSTRUMENT_STRIP:
        fprintf(session->out, "The strip shows pH %.1f, as near as its steps of a half tell.\n", seen->ph);
        break;
    case INSTRUMENT_METER:
        fprintf(session->out, "The meter reads pH %.2f at %s.\n", seen->ph, temperature);
        break;
    case INSTRUMENT_ORP:
        fprintf(session->out, "The electrode reads %.0f mV (Ag/AgCl, 3 mol/L KCl).\n", seen->orp);
        break;
    default:
        fprintf(session->out, "The thermometer reads %s.\n", temperature);
        break;
    }
}

static void tell_test_strip(const struct session *session, const struct seen *seen)
{
    fprintf(session->out, "The test strip, 8 min in and 2 min in the air, is %s.\n",
            isnan(seen->strip) ? "not to be had: there is no cotton among the fibres" : shade_name(shade_of_owf(1e-3 * seen->strip)));
}

static void tell_time_passed(const struct session *session, const struct seen *seen)
{
    char moment[64];
    char temperature[64];
    double row[SERIES_COUNT];
    session_moment(session, session->now, moment, sizeof moment);
    say_temperature(seen->temperature_K, temperature, sizeof temperature);
    fprintf(session->out, "It is %s. At %s ", moment, temperature);
    run_row(session->run, row);
    tell_look(session, row);
}

/* What there is to see at once of what was done. */
static void tell_done(struct session *session, const struct act *act, double begun, size_t row, const struct seen *seen)
{
    static const char *const finishes[] = {
        [ACTION_RINSE] = "Rinsed in plain water: what is loose goes.",
        [ACTION_SOUR] = "Soured in weak vinegar and water: the lime goes out of the cloth.",
        [ACTION_WASH] = "Washed with soap: what would rub off goes.",
    };
    const struct event_spec *last =
        session->scenario->event_count > 0 ? &session->scenario->events[session->scenario->event_count - 1] : NULL;
    switch (act->kind) {
    case ACT_ADD:
        tell_added(session, act);
        break;
    case ACT_STIR:
        fputs("Stirred: the film breaks and the sediment comes up. Let it settle before cloth goes in.\n", session->out);
        break;
    case ACT_WARM:
        tell_warm(session, act, begun);
        break;
    case ACT_HEATER_OFF:
        fputs("The heater is off.\n", session->out);
        break;
    case ACT_TOP_UP:
        fprintf(session->out, "%.2g L of water goes in, at %.0f C. ", cell(&session->result.events, "water", row),
                (isnan(last->temperature_K) ? session->scenario->water.temperature_K : last->temperature_K) - CELSIUS_ZERO);
        fputs(last->temperature_K > WARM_CAUTION_K + 1.0 ? "Care: hot water scalds.\n" : "\n", session->out);
        break;
    case ACT_COVER:
    case ACT_WRAP:
    case ACT_MOVE:
        tell_stand(session);
        break;
    case ACT_SKIM:
        fputs("Skimmed: what lay on the liquor is off.\n", session->out);
        break;
    case ACT_RACK: {
        char volume[WORD_SIZE];
        say_volume(cell(&session->result.events, "water", row), volume);
        fprintf(session->out, "The bed is drawn off, and with it %s of liquor. Care: it is limy: goggles and gloves, and not "
                              "down the drain untreated.\n", volume);
        break;
    }
    case ACT_DIP:
        tell_dip(session, act);
        break;
    case ACT_FINISH:
        fprintf(session->out, "%s ", finishes[last->action]);
        tell_cloth(session, true);
        break;
    case ACT_AIR:
        tell_cloth(session, true);
        break;
    case ACT_READ:
        tell_reading(session, act, seen);
        break;
    case ACT_TEST_STRIP:
        tell_test_strip(session, seen);
        break;
    case ACT_PINCH: {
        static const char *const pinches[] = {"", "is sucked in at once", "goes slowly", "stays lying on it"};
        fprintf(session->out, "The pinch of lime %s.\n", pinches[seen->pinch]);
        break;
    }
    default:
        break;
    }
}

void tell_act(struct session *session, const struct act *act, double begun, size_t row)
{
    struct seen seen = seen_since(session, act, row);
    double now[SERIES_COUNT];
    tell_done_meanwhile(session, begun, row);
    tell_overflow(session, row);
    tell_done(session, act, begun, row, &seen);
    if (act->kind == ACT_LOOK) {
        run_row(session->run, now);
        fputs("As you see it, ", session->out);
        tell_look(session, now);
        tell_level(session, now);
        tell_stand(session);
    } else if (session->now > begun) {
        tell_time_passed(session, &seen);
    }
}

/* ---- the beginning, and the story --------------------------------------------------------------------------------- */

void tell_greeting(struct session *session)
{
    const struct scenario *scenario = session->scenario;
    char moment[64];
    char temperature[64];
    double row[SERIES_COUNT];
    run_row(session->run, row);
    session_moment(session, session->now, moment, sizeof moment);
    say_temperature(row[SERIES_TEMPERATURE] + CELSIUS_ZERO, temperature, sizeof temperature);
    fprintf(session->out, "%s. It is %s.\n", scenario->title, moment);
    if (session->said_count > 0) {
        fprintf(session->out, "Taken up again, %zu sentence%s on. ", session->said_count, session->said_count == 1 ? "" : "s");
        tell_stand(session);
        return;
    }
    if (scenario->existing.exists) {
        fprintf(session->out, "A vat that lives already: about %.0f L, at %s. ", row[SERIES_VOLUME], temperature);
    } else {
        fprintf(session->out, "Made this minute: %.0f L of water at %s", 1e3 * scenario->fill, temperature);
        for (size_t i = 0; i < scenario->charge_count; i++) {
            char mass[WORD_SIZE];
            say_mass(scenario->charge[i].mass, mass);
            fprintf(session->out, ", %s of %s", mass, scenario->model.materials[scenario->charge[i].material].name);
        }
        fputs(". ", session->out);
    }
    tell_stand(session);
    tell_cloth(session, false);
    fputs("Lime burns eyes and skin: goggles and gloves, lime into water. Hot liquor scalds.\n"
          "Say what you do, as: stir 2 min, wait 1 hour, look, read strip. 'help' lists all. Time passes only when you say so.\n",
          session->out);
}

void tell_story(struct session *session)
{
    for (size_t i = 0; i < session->said_count; i++) {
        char moment[64];
        session_moment(session, session->said[i].time, moment, sizeof moment);
        fprintf(session->out, "%s  %s\n", moment, session->said[i].sentence);
    }
    if (session->said_count == 0) {
        fputs("Nothing yet.\n", session->out);
    }
}
