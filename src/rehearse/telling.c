/* telling.c: what a dyer sees, smells and reads of the vat and its cloth; see session_parts.h. */
#include "rehearse/telling.h"

#include "chem/physics.h"
#include "chem/shade.h"
#include "study/summary_words.h"

#include <math.h>
#include <string.h>

#define LEVEL_STEP 0.5e-3 /* m3: as a marked stick tells, in vats up to a hundred litres */
#define LEVEL_STEP_LARGE 1e-3
#define BLUEING_SEEN 3.0  /* s: what turns faster is blue at once */
#define BLUEING_STEP 10.0 /* s: as one counts */
#define FLOWER_LITTLE 0.15
#define FLOWER_MUCH 0.5
#define YELLOW 0.6 /* share of the dye still to turn blue by which cloth looks yellow-green */
#define PIECES_TOLD 8
#define THIRST_SUCKED_IN 0.4 /* of SERIES_LIME_THIRST: a pinch of lime is sucked in at once, */
#define THIRST_SLOW 0.1      /* slowly, or stays; as the readings of advice are tried with */

double event_cell(const struct session *session, const char *name, size_t row)
{
    return table_column(&session->result.events, name)->values[row];
}

const struct event_spec *event_added(const struct session *session, size_t row)
{
    double source = event_cell(session, "source", row);
    bool was_added = (int)event_cell(session, "action", row) == ACTION_ADD && event_cell(session, "done", row) > 0.0 &&
                     source >= 0.0 && (size_t)source < session->scenario->event_count;
    return was_added ? &session->scenario->events[(size_t)source] : NULL;
}

/* ---- readings ----------------------------------------------------------------------------------------------------- */

struct seen seen_since(const struct session *session, const struct act *act, size_t row)
{
    const struct table *events = &session->result.events;
    struct seen seen = {.temperature_K = NAN, .ph = NAN, .orp = NAN, .strip = NAN, .look = -1, .smell = -1};
    double now[SERIES_COUNT];
    for (; row < events->rows; row++) {
        if ((int)event_cell(session, "action", row) != ACTION_READ) {
            continue;
        }
        seen.temperature_K = event_cell(session, "reading_temperature", row) + CELSIUS_ZERO;
        seen.look = (int)event_cell(session, "reading_look", row);
        seen.ph = isnan(event_cell(session, "reading_ph", row)) ? seen.ph : event_cell(session, "reading_ph", row);
        seen.orp = isnan(event_cell(session, "reading_orp", row)) ? seen.orp : event_cell(session, "reading_orp", row);
        seen.strip =
            isnan(event_cell(session, "reading_strip", row)) ? seen.strip : event_cell(session, "reading_strip", row);
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
void say_temperature(double kelvin, char *text, size_t size)
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

/* What the words are made of. */
static struct looks looks_of(const double *row)
{
    return (struct looks){(int)row[SERIES_LOOK], (int)row[SERIES_LIQUOR_CLARITY], (int)row[SERIES_LIQUOR_HUE],
                          (int)row[SERIES_SMELL],
                          row[SERIES_FLOWER] > FLOWER_MUCH     ? 2
                          : row[SERIES_FLOWER] > FLOWER_LITTLE ? 1
                                                               : 0};
}

bool looks_as_told(const struct session *session, const double *row)
{
    struct looks now = looks_of(row);
    const struct looks *told = &session->told;
    return now.look == told->look && now.clarity == told->clarity && now.hue == told->hue && now.smell == told->smell &&
           now.flower == told->flower;
}

void tell_look(struct session *session, const double *row)
{
    session->told = looks_of(row);
    char look[WORD_SIZE];
    char clarity[WORD_SIZE];
    char hue[WORD_SIZE];
    word_of_list(LOOK_WORDS, row[SERIES_LOOK], look);
    word_of_list(LIQUOR_CLARITY_WORDS, row[SERIES_LIQUOR_CLARITY], clarity);
    word_of_list(LIQUOR_HUE_WORDS, row[SERIES_LIQUOR_HUE], hue);
    fprintf(session->out, "the liquor is %s; in a glass it is %s, %s; ", look_phrase(look), clarity, hue);
    say_smell(session, row[SERIES_SMELL]);
    if (row[SERIES_FLOWER] > FLOWER_LITTLE) {
        fputs(row[SERIES_FLOWER] > FLOWER_MUCH ? "; a head of blue froth stands on it"
                                               : "; a little blue froth floats on it",
              session->out);
    }
    fputs(".\n", session->out);
}

void tell_vat(struct session *session)
{
    double row[SERIES_COUNT];
    char temperature[64];
    double strip = run_look(session->run).test_strip;
    run_row(session->run, row);
    say_temperature(row[SERIES_TEMPERATURE] + CELSIUS_ZERO, temperature, sizeof temperature);
    fprintf(session->out, "at %s ", temperature);
    if (!isnan(strip)) {
        fprintf(session->out, "a test strip comes out %s; ", shade_name(shade_of_owf(strip)));
    }
    tell_look(session, row);
}

double stick_reads(const struct session *session)
{
    double step = run_stand(session->run).capacity > 0.1 ? LEVEL_STEP_LARGE : LEVEL_STEP;
    return step * floor(run_look(session->run).volume / step + 0.5);
}

void tell_level(const struct session *session, const double *row)
{
    fprintf(session->out, "The stick shows %g L", 1e3 * stick_reads(session));
    if (row[SERIES_BED_SHARE] > 0.02) {
        fprintf(session->out, ", of it %.0f cm of sediment", fmax(1.0, floor(row[SERIES_BED_DEPTH] + 0.5)));
    }
    fputs(". ", session->out);
    if (row[SERIES_LOOK] > LOOK_BLUE && row[SERIES_BLUEING_TIME] > BLUEING_SEEN) {
        fprintf(session->out, "A ladleful held up turns blue in about %.0f s. ",
                BLUEING_STEP * fmax(1.0, floor(row[SERIES_BLUEING_TIME] / BLUEING_STEP + 0.5)));
    }
}

void tell_stand(const struct session *session)
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

void piece_look_say(const struct run_piece *piece, char text[PIECE_LOOK_SIZE])
{
    enum shade shade = shade_of_owf(piece->owf);
    bool is_tinted = shade != SHADE_HARDLY_TINTED;
    (void)snprintf(text, PIECE_LOOK_SIZE, "%s%s",
                   piece->soaking                          ? "in the vat"
                   : piece->dips == 0                      ? "not dipped yet"
                   : piece->yellow > YELLOW && is_tinted   ? "yellow-green, turning"
                   : piece->yellow > GREENISH && is_tinted ? "green, not yet blue"
                                                           : shade_name(shade),
                   piece->soaking || piece->dips == 0 || piece->rinsed || (piece->yellow > GREENISH && is_tinted)
                       ? ""
                       : ", unrinsed");
}

/* How many pieces from this one on are of its kind, dipped as often and look the same. */
static size_t count_alike(const struct session *session, size_t index, const struct run_piece *piece, const char *look)
{
    size_t count = 1;
    for (; index + count < run_piece_count(session->run); count++) {
        char other[PIECE_LOOK_SIZE];
        struct run_piece next = run_piece(session->run, index + count);
        piece_look_say(&next, other);
        if (next.kind != piece->kind || next.dips != piece->dips || strcmp(other, look) != 0) {
            break;
        }
    }
    return count;
}

/* "sashes 1 to 4 (2 dips): light blue". */
static void tell_alike(const struct session *session, const struct run_piece *piece, size_t count, const char *look)
{
    const char *name = session->scenario->cloth[piece->kind].name;
    char many[2 * NAME_SIZE];
    say_count((double)count, name, many, sizeof many);
    if (count > 1) {
        fprintf(session->out, "%s %d to %d", strchr(many, ' ') + 1, piece->number, piece->number + (int)count - 1);
    } else {
        fprintf(session->out, "%s %d", name, piece->number);
    }
    fprintf(session->out, " (%d dip%s): %s", piece->dips, piece->dips == 1 ? "" : "s", look);
}

static void tell_dipped(const struct session *session)
{
    int told = 0;
    for (size_t i = 0; i < run_piece_count(session->run);) {
        char look[PIECE_LOOK_SIZE];
        struct run_piece piece = run_piece(session->run, i);
        piece_look_say(&piece, look);
        size_t count = count_alike(session, i, &piece, look);
        i += count;
        if (piece.dips == 0 && !piece.soaking) {
            continue;
        }
        if (told == PIECES_TOLD) {
            fputs("; and others", session->out);
            break;
        }
        fputs(told++ > 0 ? "; " : "", session->out);
        tell_alike(session, &piece, count, look);
    }
    fputs(told > 0 ? ".\n" : "", session->out);
}

void tell_cloth(struct session *session, bool dipped_only)
{
    const struct scenario *scenario = session->scenario;
    tell_dipped(session);
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
            enum shade target;
            bool has_target = shade_for_word(scenario->cloth[k].target, &target);
            fprintf(session->out, "%s not dipped yet; %s, %.0f g each%s%s.\n", count,
                    scenario->model.fibres[scenario->cloth[k].fibre].name, 1e3 * scenario->cloth[k].each,
                    has_target ? ", to become " : "", has_target ? shade_name(target) : "");
        }
    }
    if (scenario->cloth_count == 0) {
        fputs("There is no cloth in this scenario.\n", session->out);
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
        fprintf(session->out, "Taken up again, %zu sentence%s on. ", session->said_count,
                session->said_count == 1 ? "" : "s");
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
          "Say what you do, as: stir 2 min, wait 1 hour, look, read strip. 'help' lists all. Time passes only when you "
          "say so.\n",
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
