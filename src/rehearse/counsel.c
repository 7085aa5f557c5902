/* counsel.c: advice from what the dyer has read, and from nothing else; see session_parts.h. */
#include "rehearse/telling.h"

#include "base/constants.h"
#include "chem/physics.h"
#include "chem/redox.h"
#include "chem/shade.h"
#include "process/species.h"
#include "study/advise.h"
#include "study/correction_words.h"
#include "study/measures.h"
#include "study/summary_words.h"

#include <math.h>
#include <string.h>

#define FRESH (3 * 3600.0) /* s: readings older than this tell of another vat */
#define HOUR 3600.0

/* Fills in what is not known from later readings yet. */
static void take_over(struct seen *seen, const struct utterance *said)
{
    if (isnan(seen->temperature_K)) {
        seen->temperature_K = said->seen.temperature_K;
    }
    if (isnan(seen->ph)) {
        seen->ph = said->seen.ph;
    }
    if (isnan(seen->strip)) {
        seen->strip = said->seen.strip;
    }
    seen->look = seen->look < 0 ? said->seen.look : seen->look;
    seen->smell = seen->smell < 0 ? said->seen.smell : seen->smell;
    seen->pinch = seen->pinch == 0 ? said->seen.pinch : seen->pinch;
}

/* The latest readings since the vat was last changed by more than looking, waiting or covering. */
static struct seen latest(const struct session *session)
{
    struct seen known = {.temperature_K = NAN, .ph = NAN, .strip = NAN, .look = -1, .smell = -1};
    for (size_t i = session->said_count; i-- > 0;) {
        const struct utterance *said = &session->said[i];
        bool is_change = said->kind == ACT_ADD || said->kind == ACT_TOP_UP || said->kind == ACT_RACK ||
                         (said->kind == ACT_WARM && said->until > said->time);
        if (session->now - said->until > FRESH) {
            break;
        }
        take_over(&known, said);
        if (is_change) {
            break; /* what was read before tells of the vat as it was */
        }
    }
    return known;
}

/* mol of indigotin that the dyer knows of: what went in, less what is on the cloth by its shade. */
static double indigo_reckoned(const struct session *session)
{
    const struct scenario *scenario = session->scenario;
    double sum = scenario->existing.exists ? scenario->existing.indigotin * MOLAR_INDIGOTIN : 0.0;
    for (size_t i = 0; i < scenario->charge_count; i++) {
        sum += dose_indigotin(&scenario->model, &scenario->charge[i]);
    }
    for (size_t row = 0; row < session->result.events.rows; row++) {
        const struct event_spec *added = event_added(session, row);
        sum += added != NULL ? dose_indigotin(&scenario->model, &added->dose) : 0.0;
    }
    for (size_t i = 0; i < run_piece_count(session->run); i++) {
        struct run_piece piece = run_piece(session->run, i);
        sum -= piece.owf * piece.mass;
    }
    return fmax(0.0, sum) / MOLAR_INDIGOTIN;
}

/* One significant figure: what a shade card tells. */
static double by_card(double owf)
{
    if (!(owf > 0.0)) {
        return owf;
    }
    double unit = pow(10.0, floor(log10(owf)));
    return unit * floor(owf / unit + 0.5);
}

static struct scenario as_read(const struct session *session, const struct seen *seen)
{
    struct scenario vat = *session->scenario;
    struct run_stand stand = run_stand(session->run);
    double age = (vat.existing.exists ? vat.existing.age : 0.0) + session->now;
    vat.charge = NULL;
    vat.charge_count = 0;
    vat.events = NULL;
    vat.event_count = 0;
    vat.vessel.lid = stand.lid;
    vat.vessel.wrap = stand.wrap;
    vat.places += stand.place;
    vat.place_count = 1;
    vat.start_unix += session->now;
    vat.fill = stick_reads(session);
    vat.existing = (struct existing_vat){
        .exists = true,
        .temperature_K = seen->temperature_K,
        .ph = seen->ph,
        .age = fmax(HOUR, age),
        .look = seen->look < 0 ? LOOK_UNKNOWN : (enum look_kind)seen->look,
        .indigotin = indigo_reckoned(session),
        .acid = NAN,
        .leuco = NAN,
        .idle = isfinite(stand.last_dip_end) ? session->now - stand.last_dip_end : NAN,
        .strip = by_card(1e-3 * seen->strip),
        .pinch = (enum pinch_kind)seen->pinch,
        .smell = seen->smell < 0 || seen->smell > SMELL_SOUR ? SMELLED_UNKNOWN : (enum smell_kind)(seen->smell + 1),
    };
    return vat;
}

/* What has not been read lately, as sentences to say. */
static void tell_missing(FILE *out, const struct seen *seen, const char *before)
{
    const char *separator = before;
    const struct {
        bool is_missing;
        const char *sentence;
    } wanted[] = {
        {seen->look < 0, "look"},
        {isnan(seen->ph), "read strip (or read meter)"},
        {seen->pinch == 0, "pinch of lime"},
        {isnan(seen->strip), "test strip"},
    };
    for (size_t i = 0; i < sizeof wanted / sizeof wanted[0]; i++) {
        if (wanted[i].is_missing) {
            fprintf(out, "%s%s", separator, wanted[i].sentence);
            separator = ", ";
        }
    }
    fputs(separator == before ? "" : ".\n", out);
}

static void tell_step(FILE *out, const struct scenario *vat, const struct advice *advice)
{
    char step[200];
    const struct correction *first = &advice->plan.steps[0];
    correction_say(vat, first, step, sizeof step);
    fprintf(out, "%s. Only this, then rest it, covered.", step);
    if (advice->whole > 0.0) {
        measure_say(correction_material(vat, first->kind), advice->whole, step, sizeof step);
        fprintf(out, " That is the first part of %s: what is in cannot be taken out.", step);
    }
    const struct material *material = correction_material(vat, first->kind);
    if (material != NULL && material->caution[0] != '\0') {
        fprintf(out, " Care: %s.", material->caution);
    } else if (first->kind == CORRECTION_WARM) {
        fputs(" Care: hot liquor scalds; the heater out before hands go in.", out);
    }
    fputc('\n', out);
}

static void tell_counsel(struct session *session, const struct scenario *vat, const struct advice *advice)
{
    FILE *out = session->out;
    char span[64];
    for (int i = 0; i < advice->suspect_count; i++) {
        fprintf(out, "Suspect: %s\n", advice->suspects[i].text);
    }
    fputs("By what you have read: ", out);
    switch (advice->verdict) {
    case ADVICE_DYE:
        fputs("dye. A test strip first, and clear liquor.\n", out);
        return;
    case ADVICE_WAIT:
        fputs("leave it alone; it comes by itself.\n", out);
        break;
    case ADVICE_INDIGO:
        fputs("it is in order but for indigo: top that up, or use the vat up and retire it.\n", out);
        return;
    case ADVICE_LOST:
        fputs("nothing tried does better than leaving it alone, and that does not bring it back.\n", out);
        return;
    case ADVICE_CORRECT:
    case ADVICE_NEARER:
        tell_step(out, vat, advice);
        break;
    }
    duration_say(advice->look_again, span, sizeof span);
    fprintf(out, "Look again in %s, and read anew.", span);
    if (isfinite(advice->ready_latest)) {
        duration_say(fmax(60.0, advice->ready_soonest), span, sizeof span);
        fprintf(out, " Ready in %s", span);
        duration_say(fmax(60.0, advice->ready_latest), span, sizeof span);
        fprintf(out, " to %s.\n", span);
    } else {
        fputs(" Whether it will then be ready the readings do not tell.\n", out);
    }
}

struct status tell_advice(struct session *session)
{
    struct seen seen = latest(session);
    if (run_stand(session->run).ferments) {
        fputs("Advice is for vats of lime and sugar. A fermented vat answers over days: keep it warm and covered, stir "
              "once a "
              "day, and read its pH each morning.\n",
              session->out);
        return status_ok();
    }
    if (seen.look < 0 || (isnan(seen.ph) && isnan(seen.strip))) {
        fputs("Advice needs readings not older than three hours, and from after the last addition or warming. Say "
              "first: ",
              session->out);
        tell_missing(session->out, &seen, "");
        return status_ok();
    }
    struct advice advice;
    struct scenario vat = as_read(session, &seen);
    const struct advise_options how = {.stop = session->run_options.stop};
    RETURN_IF_FAILED(advise(&vat, &how, &advice));
    tell_counsel(session, &vat, &advice);
    tell_missing(session->out, &seen, "It would be surer with: ");
    return status_ok();
}

/* ---- is it ready? ------------------------------------------------------------------------------------------------- */

/* "Read lately: pH 11.5, test strip light blue." */
static void tell_read(FILE *out, const struct seen *seen)
{
    const char *separator = "Read lately: ";
    if (!isnan(seen->ph)) {
        bool is_top = seen->ph >= STRIP_TOP_PH;
        fprintf(out, "%spH %.1f%s", separator, is_top ? STRIP_SATURATES_PH : seen->ph, is_top ? " or more" : "");
        separator = ", ";
    }
    if (!isnan(seen->strip)) {
        fprintf(out, "%sa test strip %s", separator, shade_name(shade_of_owf(1e-3 * seen->strip)));
        separator = ", ";
    }
    fputs(separator[0] == ',' ? ". " : "", out);
}

/* By the limits that the model calls a vat ready with, but for the leuco, which the test strip shows. */
static void tell_signs(FILE *out, const struct model *model, bool ferments)
{
    const struct constant *k = model->constants;
    double ph_most = ferments ? k[K_CELL_PH_HIGHEST].nominal - k[K_STALL_MARGIN].nominal : k[K_LIME_HEAVY_PH].nominal;
    fprintf(out,
            "A vat that is ready is amber to green under its film, not blue, has a pH from %.1f to %.1f, and is at "
            "%.0f C or "
            "warmer. The test strip decides: it comes out as cloth would after one dip.\n",
            k[K_ALKALI_SHORT_PH].nominal, ph_most, k[K_WORK_TEMPERATURE_LOWEST].nominal - CELSIUS_ZERO);
}

void tell_ready(struct session *session)
{
    double row[SERIES_COUNT];
    char temperature[64];
    struct seen seen = latest(session);
    FILE *out = session->out;
    run_row(session->run, row);
    say_temperature(row[SERIES_TEMPERATURE] + CELSIUS_ZERO, temperature, sizeof temperature);
    fprintf(out, "That is for you to tell. At %s ", temperature);
    tell_look(session, row);
    seen.look = (int)row[SERIES_LOOK];
    tell_read(out, &seen);
    tell_missing(out, &seen, "Not read lately: ");
    tell_signs(out, &session->scenario->model, run_stand(session->run).ferments);
    if (!session->is_examined) {
        fputs("'advice' weighs what you have read, and says what to do.\n", out);
    }
}
