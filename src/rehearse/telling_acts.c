/* telling_acts.c: what there is to see at once of what was just done; see session_parts.h. */
#include "rehearse/telling.h"

#include "chem/physics.h"
#include "chem/redox.h"
#include "chem/shade.h"
#include "study/summary_words.h"

#include <math.h>
#include <string.h>

#define WARM_CAUTION_K 313.15

/* "The sashes numbered 1 to 4". */
static void tell_pieces(const struct session *session, int kind, int first, int pieces)
{
    char many[2 * NAME_SIZE];
    const char *name = session->scenario->cloth[kind].name;
    say_count(pieces, name, many, sizeof many);
    if (pieces > 1) {
        fprintf(session->out, "The %s numbered %d to %d", strchr(many, ' ') + 1, first, first + pieces - 1);
    } else {
        fprintf(session->out, "The %s numbered %d", name, first);
    }
}

static void tell_dip(const struct session *session, const struct act *act, const struct event_spec *event)
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
    tell_pieces(session, act->count, act->first, act->pieces);
    if (act->stays_on) {
        char out[64];
        session_moment(session, session->now + event->soak, out, sizeof out);
        fprintf(session->out, " %s in; out at %s.\n", act->pieces > 1 ? "go" : "goes", out);
    } else {
        char look[PIECE_LOOK_SIZE];
        piece_look_say(&piece, look);
        fprintf(session->out, " %s, dip %d: %s.%s\n", act->pieces > 1 ? "go in and come out" : "goes in and comes out",
                piece.dips, look, piece.yellow > GREENISH ? " Let it air before you judge the blue or dip again." : "");
    }
    if (!isnan(fibre->ph_limit)) {
        fprintf(session->out, "%s is harmed by liquor above pH %.1f.\n", fibre->name, fibre->ph_limit);
    }
}

/* ---- what was done ------------------------------------------------------------------------------------------------ */

/* Whether a material was added before row `before` of the events recorded. */
static bool was_added(const struct session *session, int material, size_t before)
{
    for (size_t row = 0; row < before; row++) {
        const struct event_spec *event = event_added(session, row);
        if (event != NULL && event->dose.material == material) {
            return true;
        }
    }
    return false;
}

static void tell_added(const struct session *session, const struct act *act, const struct event_spec *spec, size_t row)
{
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
        if (was_added(session, spec->dose.material, row)) {
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
    for (; row < session->result.events.rows; row++) {
        if ((int)event_cell(session, "action", row) == RUN_ACTION_OVERFLOW) {
            char volume[WORD_SIZE];
            say_volume(event_cell(session, "water", row), volume);
            fprintf(session->out, "The vat runs over: %s of liquor is lost. Care: it burns eyes and skin.\n", volume);
        }
    }
}

/* What the scenario's own calendar did meanwhile. */
static void tell_done_meanwhile(const struct session *session, double begun, size_t row)
{
    for (; row < session->result.events.rows; row++) {
        double source = event_cell(session, "source", row);
        int action = (int)event_cell(session, "action", row);
        if (source < 0.0 || action >= ACTION_COUNT || !(event_cell(session, "done", row) > 0.0) ||
            (size_t)source >= growth_of_file(session->growth) || !(event_cell(session, "time", row) >= begun)) {
            continue;
        }
        char moment[64];
        const struct event_spec *spec = &session->scenario->events[(size_t)source];
        session_moment(session, event_cell(session, "time", row), moment, sizeof moment);
        fprintf(session->out, "%s, by the calendar: %s%s%s.\n", moment, action_words[action],
                action == ACTION_ADD ? " " : "",
                action == ACTION_ADD ? session->scenario->model.materials[spec->dose.material].name : "");
    }
}

static void tell_reading(const struct session *session, const struct act *act, const struct seen *seen)
{
    char temperature[64];
    say_temperature(seen->temperature_K, temperature, sizeof temperature);
    switch (act->first) {
    case INSTRUMENT_STRIP:
        if (seen->ph < STRIP_TOP_PH) {
            fprintf(session->out, "The strip shows pH %.1f, as near as its steps of a half tell.\n", seen->ph);
        } else {
            fprintf(session->out,
                    "The strip shows its top field, pH %.0f: %.1f or more, and a strip cannot tell how much.\n",
                    STRIP_TOP_PH, STRIP_SATURATES_PH);
        }
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
            isnan(seen->strip) ? "not to be had: there is no cotton among the fibres"
                               : shade_name(shade_of_owf(1e-3 * seen->strip)));
}

static void tell_time_passed(struct session *session, const struct seen *seen)
{
    char moment[64];
    char temperature[64];
    double row[SERIES_COUNT];
    session_moment(session, session->now, moment, sizeof moment);
    say_temperature(seen->temperature_K, temperature, sizeof temperature);
    run_row(session->run, row);
    fprintf(session->out, "It is %s. At %s ", moment, temperature);
    if (looks_as_told(session, row)) {
        fputs("it looks and smells as before.\n", session->out);
    } else {
        tell_look(session, row);
    }
}

static void tell_topped_up(const struct session *session, const struct event_spec *spec, size_t row)
{
    char volume[WORD_SIZE];
    double temperature = isnan(spec->temperature_K) ? session->scenario->water.temperature_K : spec->temperature_K;
    say_volume(event_cell(session, "water", row), volume);
    fprintf(session->out, "In goes %s of water, at %.0f C.%s\n", volume, temperature - CELSIUS_ZERO,
            temperature > WARM_CAUTION_K + 1.0 ? " Care: hot water scalds." : "");
}

static void tell_racked(const struct session *session, size_t row)
{
    char volume[WORD_SIZE];
    say_volume(event_cell(session, "water", row), volume);
    fprintf(
        session->out,
        "The bed is drawn off, and with it %s of liquor. Care: it is limy: goggles and gloves, and not down the drain "
        "untreated.\n",
        volume);
}

static void tell_finished(struct session *session, enum action action)
{
    fputs(action == ACTION_RINSE  ? "Rinsed in plain water: what is loose goes. "
          : action == ACTION_SOUR ? "Soured in weak vinegar and water: the lime goes out of the cloth. "
                                  : "Washed with soap: what would rub off goes. ",
          session->out);
    tell_cloth(session, true);
}

/* Cloth that was left in by an earlier sentence than that of `event`, and whose time is over. */
static void tell_come_out(const struct session *session, size_t event, size_t row)
{
    for (; row < session->result.events.rows; row++) {
        double source = event_cell(session, "source", row);
        if ((int)event_cell(session, "action", row) != RUN_ACTION_CLOTH_OUT || source < 0.0 ||
            (size_t)source == event || (size_t)source < growth_of_file(session->growth)) {
            continue;
        }
        char moment[64];
        const struct event_spec *spec = &session->scenario->events[(size_t)source];
        session_moment(session, event_cell(session, "time", row), moment, sizeof moment);
        fprintf(session->out, "%s: ", moment);
        tell_pieces(session, spec->cloth, spec->first_piece, spec->pieces);
        fputs(spec->pieces > 1 ? " come out.\n" : " comes out.\n", session->out);
    }
}

/* Sentences that do something. `event` is theirs. */
static void tell_done(struct session *session, const struct act *act, const struct event_spec *event, double begun,
                      size_t row)
{
    switch (act->kind) {
    case ACT_ADD:
        tell_added(session, act, event, row);
        break;
    case ACT_STIR:
        fputs("Stirred: the film breaks and the sediment comes up. Let it settle before cloth goes in.\n",
              session->out);
        break;
    case ACT_WARM:
        tell_warm(session, act, begun);
        break;
    case ACT_HEATER_OFF:
        fputs("The heater is off.\n", session->out);
        break;
    case ACT_TOP_UP:
        tell_topped_up(session, event, row);
        break;
    case ACT_COVER:
    case ACT_WRAP:
    case ACT_MOVE:
        tell_stand(session);
        break;
    case ACT_SKIM:
        fputs("Skimmed: what lay on the liquor is off.\n", session->out);
        break;
    case ACT_RACK:
        tell_racked(session, row);
        break;
    case ACT_DIP:
        tell_dip(session, act, event);
        break;
    case ACT_FINISH:
        tell_finished(session, event->action);
        break;
    case ACT_AIR:
        tell_cloth(session, true);
        break;
    default:
        break;
    }
}

/* Sentences that read. */
static void tell_read(struct session *session, const struct act *act, const struct seen *seen)
{
    static const char *const pinches[] = {"", "is sucked in at once", "goes slowly", "stays lying on it"};
    double now[SERIES_COUNT];
    if (act->kind == ACT_READ) {
        tell_reading(session, act, seen);
    } else if (act->kind == ACT_TEST_STRIP) {
        tell_test_strip(session, seen);
    } else if (act->kind == ACT_PINCH) {
        fprintf(session->out, "The pinch of lime %s.\n", pinches[seen->pinch]);
    } else if (act->kind == ACT_LOOK) {
        run_row(session->run, now);
        fputs("As you see it, ", session->out);
        tell_look(session, now);
        tell_level(session, now);
        tell_stand(session);
    }
}

void tell_act(struct session *session, const struct act *act, double begun, size_t event, size_t row)
{
    struct seen seen = seen_since(session, act, row);
    tell_done_meanwhile(session, begun, row);
    tell_come_out(session, event, row);
    tell_done(session, act, &session->scenario->events[event], begun, row);
    tell_read(session, act, &seen);
    tell_overflow(session, row);
    if (session->now > begun) {
        tell_time_passed(session, &seen);
    }
}
