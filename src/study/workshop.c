/* workshop.c: see workshop.h. */
#include "study/workshop.h"

#include "study/variant.h"

#include <math.h>
#include <stdlib.h>

#define NO_WAIT 120.0      /* s: nobody minds */
#define WORTH_NAMING 0.9   /* a wait that is cut to less than this share shows a want */
#define SHARE_NOTICED 0.02 /* of the dips */
#define SHADE_NOTICED 0.03 /* of the shade, relative */
#define SAME 1e-9

bool workshop_meets(const struct scenario *scenario, const struct workshop_question *question,
                    const struct figures *figures, bool met[GOAL_COUNT])
{
    met[GOAL_WAIT] = figures->wait_p90 <= scenario->workshop.wait_most + SAME;
    met[GOAL_FINISHED] = figures->finished_mean >= WORKSHOP_ENOUGH - SAME;
    met[GOAL_SHADE] =
        !question->chemistry || question->shade >= SHADE_COUNT || figures->at_shade >= WORKSHOP_SHADE_ENOUGH - SAME;
    return met[GOAL_WAIT] && met[GOAL_FINISHED] && met[GOAL_SHADE];
}

/* ---- trying ------------------------------------------------------------------------------------------------------- */

/* How far the whole question has come, for the one who waits. */
struct course_of_work {
    const struct workshop_question *question;
    double begun, share; /* of the whole: done before this part, taken by it */
};

static void tell_progress(void *context, double done_share)
{
    const struct course_of_work *work = context;
    if (work->question->progress != NULL) {
        work->question->progress(work->question->progress_context, work->begun + work->share * done_share);
    }
}

static struct status try_days(const struct scenario *scenario, struct course_of_work *work, int days, bool chemistry,
                              struct figures *figures)
{
    const struct workshop_question *question = work->question;
    struct day_figures_how how = {.days = days,
                              .seed = question->seed,
                              .chemistry = chemistry,
                              .shade = question->shade,
                              .stop = question->stop,
                              .progress = tell_progress,
                              .progress_context = work};
    struct status status = day_figures_find(scenario, &how, figures, NULL, NULL, NULL);
    work->begun += work->share;
    return status;
}

/* ---- what holds people up ----------------------------------------------------------------------------------------- */

static bool add_one(struct workshop *shop, enum means means)
{
    switch (means) {
    case MEANS_VAT:
        shop->vats++;
        return shop->vats <= VATS_MOST;
    case MEANS_PLACE:
        shop->at_once++;
        return true;
    case MEANS_HELPER:
        return shop->helpers > 0 && ++shop->helpers > 0;
    case MEANS_LINE:
        shop->lines += shop->lines / 4 > 1 ? shop->lines / 4 : 1;
        return shop->lines > 1;
    case MEANS_TUB:
        return shop->tubs > 0 && ++shop->tubs > 0;
    case MEANS_COUNT:
        break;
    }
    return false;
}

static struct status find_limit(const struct scenario *scenario, struct course_of_work *work,
                                struct workshop_answer *answer)
{
    int days = work->question->days;
    RETURN_IF_FAILED(try_days(scenario, work, days, false, &answer->bare));
    answer->limit = MEANS_COUNT;
    double best = answer->bare.wait_p90 > NO_WAIT ? WORTH_NAMING * answer->bare.wait_p90 : 0.0;
    for (int means = 0; means < MEANS_COUNT; means++) {
        struct scenario variant = *scenario; /* only its workshop differs: nothing it owns is touched */
        struct figures figures;
        if ((means == MEANS_LINE && scenario->workshop.lines == 0) || !add_one(&variant.workshop, (enum means)means)) {
            continue;
        }
        RETURN_IF_FAILED(try_days(&variant, work, days, false, &figures));
        answer->gains[means] = (struct workshop_gain){true, figures.wait_p90, figures.finished_mean};
        if (means != MEANS_VAT && figures.wait_p90 < best) { /* a vat is places and more; places are named */
            best = figures.wait_p90;
            answer->limit = (enum means)means;
        }
    }
    return status_ok();
}

/* ---- numbers and sizes -------------------------------------------------------------------------------------------- */

/* Places go with the liquor. */
static int places_for(const struct workshop *shop, double factor)
{
    int places = (int)floor(shop->at_once * factor + 0.5);
    return places < 1 ? 1 : places > AT_ONCE_MOST ? AT_ONCE_MOST : places;
}

static struct status try_cell(const struct scenario *scenario, struct course_of_work *work, struct workshop_cell *cell)
{
    const struct workshop_question *question = work->question;
    double factor = cell->volume / scenario->fill;
    struct scenario variant;
    RETURN_IF_FAILED(variant_make(scenario, &variant));
    workshop_resize(&variant, factor);
    variant.workshop.vats = cell->vats;
    variant.workshop.at_once = cell->at_once;
    struct course_of_work quick = {
        .question = &(struct workshop_question){.shade = SHADE_COUNT, .seed = question->seed, .stop = question->stop}};
    struct status status = try_days(&variant, &quick, question->table_days, false, &cell->figures);
    bool patient = status_is_ok(&status) && cell->figures.finished_mean >= 0.5 * WORKSHOP_ENOUGH;
    cell->tried = !question->chemistry || patient;
    if (status_is_ok(&status) && question->chemistry && patient) {
        status = try_days(&variant, work, question->table_days, true, &cell->figures);
    } else {
        work->begun += work->share;
    }
    if (status_is_ok(&status)) {
        cell->serves = workshop_meets(&variant, question, &cell->figures, cell->met) && cell->tried;
    }
    scenario_free(&variant);
    return status;
}

static struct status fill_table(const struct scenario *scenario, struct course_of_work *work,
                                struct workshop_answer *answer)
{
    const struct workshop_question *question = work->question;
    answer->best = -1;
    for (int size = 0; size < question->size_count; size++) {
        for (int vats = 1; vats <= question->vats_most; vats++) {
            struct workshop_cell *cell = &answer->cells[answer->cell_count];
            *cell = (struct workshop_cell){.vats = vats,
                                           .volume = question->sizes[size],
                                           .at_once =
                                               places_for(&scenario->workshop, question->sizes[size] / scenario->fill)};
            RETURN_IF_FAILED(try_cell(scenario, work, cell));
            if (cell->serves && vats > 1) {
                const struct workshop_cell *best = answer->best < 0 ? NULL : &answer->cells[answer->best];
                double liquor = cell->vats * cell->volume;
                double least = best == NULL ? 0.0 : best->vats * best->volume;
                if (best == NULL || liquor < least * (1.0 - SAME) ||
                    (liquor <= least * (1.0 + SAME) && cell->vats < best->vats)) {
                    answer->best = answer->cell_count;
                }
            }
            answer->cell_count++;
        }
    }
    return status_ok();
}

/* The plan for which making and feeding are tried: as written when that serves, else the best of the table. */
static void take_over(struct scenario *variant, const struct workshop_answer *answer)
{
    if (answer->base >= 0) {
        const struct workshop_cell *cell = &answer->cells[answer->base];
        workshop_resize(variant, cell->volume / variant->fill);
        variant->workshop.vats = cell->vats;
        variant->workshop.at_once = cell->at_once;
    }
}

/* ---- made when, fed when ------------------------------------------------------------------------------------------ */

static int by_lead(const void *a, const void *b)
{
    const struct workshop_making *one = a;
    const struct workshop_making *other = b;
    return (one->lead > other->lead) - (one->lead < other->lead);
}

static struct status try_makings(const struct scenario *scenario, struct course_of_work *work,
                                 struct workshop_answer *answer)
{
    static const double leads[WORKSHOP_MAKINGS - 1] = {2.0 * 3600.0, 4.0 * 3600.0, 8.0 * 3600.0, 24.0 * 3600.0,
                                                       72.0 * 3600.0};
    const struct workshop_question *question = work->question;
    answer->latest = -1;
    if (scenario->existing.exists || !question->chemistry) {
        return status_ok();
    }
    for (int i = 0; i < WORKSHOP_MAKINGS; i++) {
        double lead = i == 0 ? scenario->workshop.opens : leads[i - 1];
        if (i > 0 && fabs(lead - scenario->workshop.opens) < 0.2 * lead) {
            continue;
        }
        answer->makings[answer->making_count++] = (struct workshop_making){.lead = lead, .as_written = i == 0};
    }
    qsort(answer->makings, (size_t)answer->making_count, sizeof answer->makings[0], by_lead);
    for (int i = 0; i < answer->making_count; i++) {
        struct workshop_making *making = &answer->makings[i];
        struct scenario variant;
        bool met[GOAL_COUNT];
        RETURN_IF_FAILED(variant_make(scenario, &variant));
        take_over(&variant, answer);
        workshop_make_before(&variant, making->lead);
        struct status status = try_days(&variant, work, question->table_days, true, &making->figures);
        if (status_is_ok(&status)) {
            making->serves = workshop_meets(&variant, question, &making->figures, met) &&
                             !(making->figures.vats[0].temperature_first > WORKSHOP_HOT_K);
            answer->latest = answer->latest < 0 && making->serves ? i : answer->latest;
        }
        scenario_free(&variant);
        RETURN_IF_FAILED(status);
    }
    return status_ok();
}

/* Better by as much as would be noticed? */
static bool is_better(const struct figures *a, const struct figures *b)
{
    if (fabs(a->dips_done - b->dips_done) > SHARE_NOTICED) {
        return a->dips_done > b->dips_done;
    }
    return a->owf_p50 > (1.0 + SHADE_NOTICED) * b->owf_p50;
}

static int best_feeding(const struct workshop_answer *answer)
{
    int best = 0;
    int worst = 0;
    for (int i = 1; i < answer->feeding_count; i++) {
        best = is_better(&answer->feedings[i].figures, &answer->feedings[best].figures) ? i : best;
        worst = is_better(&answer->feedings[worst].figures, &answer->feedings[i].figures) ? i : worst;
    }
    return answer->feeding_count > 0 && is_better(&answer->feedings[best].figures, &answer->feedings[worst].figures)
               ? best
               : -1;
}

static struct status try_feedings(const struct scenario *scenario, struct course_of_work *work,
                                  struct workshop_answer *answer)
{
    static const enum feeding ways[WORKSHOP_FEEDINGS] = {FEED_AS_WRITTEN, FEED_NOT, FEED_BREAKS, FEED_MIDDLE};
    const struct workshop_question *question = work->question;
    for (int i = 0; i < WORKSHOP_FEEDINGS && question->chemistry; i++) {
        if (ways[i] == FEED_BREAKS && scenario->workshop.break_count == 0) {
            continue;
        }
        struct workshop_feeding *feeding = &answer->feedings[answer->feeding_count];
        struct scenario variant;
        bool met[GOAL_COUNT];
        *feeding = (struct workshop_feeding){.when = ways[i]};
        RETURN_IF_FAILED(variant_make(scenario, &variant));
        take_over(&variant, answer);
        struct status status = workshop_feed(&variant, ways[i]);
        if (status_is_ok(&status)) {
            status = try_days(&variant, work, question->table_days, true, &feeding->figures);
        }
        if (status_is_ok(&status)) {
            feeding->serves = workshop_meets(&variant, question, &feeding->figures, met);
        }
        scenario_free(&variant);
        RETURN_IF_FAILED(status);
        answer->feeding_count++;
    }
    answer->feeding_best = best_feeding(answer);
    return status_ok();
}

/* ---- the whole question ------------------------------------------------------------------------------------------- */

static struct status run_plan(const struct scenario *scenario, struct course_of_work *work,
                              struct workshop_answer *answer)
{
    const struct workshop_question *question = work->question;
    struct day_figures_how how = {.days = question->days,
                              .seed = question->seed,
                              .chemistry = question->chemistry,
                              .shade = question->shade,
                              .after = question->after,
                              .stop = question->stop,
                              .progress = tell_progress,
                              .progress_context = work};
    RETURN_IF_FAILED(day_figures_find(scenario, &how, &answer->plan, &answer->first, &answer->crowd, &answer->crowd_count));
    answer->serves = workshop_meets(scenario, question, &answer->plan, answer->met);
    work->begun += work->share;
    return status_ok();
}

struct status workshop_find(const struct scenario *scenario, const struct workshop_question *question,
                            struct workshop_answer *answer)
{
    double others = question->table ? question->table_days * (double)(question->size_count * question->vats_most +
                                                                      WORKSHOP_MAKINGS + WORKSHOP_FEEDINGS)
                                    : 0.0;
    double whole = question->days + others;
    struct course_of_work work = {.question = question, .share = question->days / whole};
    *answer = (struct workshop_answer){
        .question = *question, .best = -1, .base = -1, .latest = -1, .feeding_best = -1, .limit = MEANS_COUNT};
    struct status status = run_plan(scenario, &work, answer);
    work.share = 0.0;
    if (status_is_ok(&status)) {
        status = find_limit(scenario, &work, answer);
    }
    work.share = question->table_days / whole;
    if (status_is_ok(&status) && question->table) {
        status = fill_table(scenario, &work, answer);
        answer->base = answer->serves ? -1 : answer->best;
        if (status_is_ok(&status)) {
            status = try_makings(scenario, &work, answer);
        }
        if (status_is_ok(&status)) {
            status = try_feedings(scenario, &work, answer);
        }
    }
    if (!status_is_ok(&status)) {
        workshop_free(answer);
    }
    return status;
}

void workshop_free(struct workshop_answer *answer)
{
    day_free(&answer->first);
    free(answer->crowd);
    *answer = (struct workshop_answer){0};
}
