/* day_figures.c: see day_figures.h. */
#include "study/day_figures.h"

#include "sim/series.h"
#include "study/many.h"

#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>
#include <math.h>
#include <stdlib.h>

#define AHEAD 64 /* days begun beyond those taken in */

/* ---- samples ------------------------------------------------------------------------------------------------------ */

struct sample {
    double *values; /* owned */
    size_t count, capacity;
};

static struct status sample_add(struct sample *sample, double value)
{
    if (isnan(value)) {
        return status_ok();
    }
    if (sample->count == sample->capacity) {
        size_t capacity = sample->capacity == 0 ? 256 : 2 * sample->capacity;
        double *grown = realloc(sample->values, capacity * sizeof *grown);
        if (grown == NULL) {
            return status_fail(STATUS_MEMORY, "no memory left for the figures of a workshop");
        }
        sample->values = grown;
        sample->capacity = capacity;
    }
    sample->values[sample->count++] = value;
    return status_ok();
}

/* NAN of an empty sample. Sorts it. */
static double sample_quantile(struct sample *sample, double share)
{
    if (sample->count == 0) {
        return NAN;
    }
    gsl_sort(sample->values, 1, sample->count);
    return gsl_stats_quantile_from_sorted_data(sample->values, 1, sample->count, share);
}

static double sample_mean(const struct sample *sample)
{
    return sample->count == 0 ? (double)NAN : gsl_stats_mean(sample->values, 1, sample->count);
}

/* ---- gathering ---------------------------------------------------------------------------------------------------- */

struct vat_samples {
    struct sample dips, cloth_dips, strength, shut_at, shut_for, back, ph, warmth, temperature;
    int states[FIGURES_STATES];
};

struct crowd {
    struct sample waiting, soaking, people;
};

struct gather {
    const struct scenario *scenario;
    const struct day_figures_how *how;
    struct day *days; /* owned: AHEAD of them, under way */
    struct day *first;
    struct sample waits, in_vain, finished, dips_done, last, stay, owf, at_shade, usable;
    struct sample used[4];
    struct vat_samples vats[VATS_MOST];
    struct crowd *crowd; /* owned; NULL: not wanted */
    double crowd_begin;
    size_t crowd_count;
};

/* Every sample of the gathering, one after another. */
static struct sample *sample_at(struct gather *gather, size_t i)
{
    struct sample *const single[] = {&gather->waits,  &gather->in_vain, &gather->finished, &gather->dips_done,
                                     &gather->last,   &gather->stay,    &gather->owf,      &gather->at_shade,
                                     &gather->usable, &gather->used[0], &gather->used[1],  &gather->used[2],
                                     &gather->used[3]};
    enum { SINGLE = sizeof single / sizeof single[0], PER_VAT = 9, PER_ROW = 3 };
    if (i < SINGLE) {
        return single[i];
    }
    i -= SINGLE;
    if (i < (size_t)PER_VAT * VATS_MOST) {
        struct vat_samples *v = &gather->vats[i / PER_VAT];
        struct sample *const of_vat[PER_VAT] = {&v->dips, &v->cloth_dips, &v->strength,    &v->shut_at, &v->shut_for,
                                                &v->back, &v->ph,         &v->temperature, &v->warmth};
        return of_vat[i % PER_VAT];
    }
    i -= (size_t)PER_VAT * VATS_MOST;
    if (i < PER_ROW * gather->crowd_count) {
        struct crowd *row = &gather->crowd[i / PER_ROW];
        struct sample *const of_row[PER_ROW] = {&row->waiting, &row->soaking, &row->people};
        return of_row[i % PER_ROW];
    }
    return NULL;
}

static struct status take_waits(struct gather *gather, const struct day *day)
{
    const struct workshop *plan = &gather->scenario->workshop;
    for (size_t i = 0; i < day->visit_count; i++) {
        RETURN_IF_FAILED(sample_add(&gather->waits, day_time_queued(plan, &day->visits[i])));
    }
    for (size_t i = 0; i < day->unserved_count; i++) {
        RETURN_IF_FAILED(sample_add(&gather->waits, day->unserved[i]));
    }
    return sample_add(&gather->in_vain, (double)day->unserved_count);
}

static struct status take_pieces(struct gather *gather, const struct day *day)
{
    const struct workshop *plan = &gather->scenario->workshop;
    double finished = 0.0;
    double dips = 0.0;
    double at_shade = 0.0;
    double last = NAN;
    double left = NAN;
    for (size_t i = 0; i < day->piece_count; i++) {
        const struct day_piece *piece = &day->pieces[i];
        finished += !isnan(piece->done);
        dips += piece->dips;
        last = fmax(last, piece->done); /* fmax passes NAN over */
        left = i % (size_t)plan->pieces == 0 ? piece->done : fmax(left, piece->done);
        if ((i + 1) % (size_t)plan->pieces == 0) {
            RETURN_IF_FAILED(sample_add(&gather->stay, left - piece->arrived));
        }
        RETURN_IF_FAILED(sample_add(&gather->owf, isnan(piece->done) ? (double)NAN : piece->owf));
        at_shade +=
            gather->how->shade < SHADE_COUNT && !isnan(piece->owf) && shade_of_owf(piece->owf) >= gather->how->shade;
    }
    double count = (double)day->piece_count;
    RETURN_IF_FAILED(sample_add(&gather->finished, finished / count));
    RETURN_IF_FAILED(sample_add(&gather->dips_done, dips / count / plan->dips));
    RETURN_IF_FAILED(sample_add(&gather->last, last));
    return sample_add(&gather->at_shade, at_shade / count);
}

static struct status take_vats(struct gather *gather, const struct day *day)
{
    const struct workshop *plan = &gather->scenario->workshop;
    double shut = 0.0;
    for (int vat = 0; vat < day->vat_count; vat++) {
        const struct day_vat *told = &day->vats[vat];
        struct vat_samples *v = &gather->vats[vat];
        RETURN_IF_FAILED(sample_add(&v->dips, told->dips));
        RETURN_IF_FAILED(sample_add(&v->cloth_dips, told->cloth_dips));
        RETURN_IF_FAILED(sample_add(&v->strength, told->strip_last / told->strip_first));
        RETURN_IF_FAILED(sample_add(&v->ph, told->ph_last));
        RETURN_IF_FAILED(sample_add(&v->warmth, told->temperature_first));
        RETURN_IF_FAILED(sample_add(&v->temperature, told->temperature_last));
        if (!isnan(told->shut_at)) {
            RETURN_IF_FAILED(sample_add(&v->shut_at, told->shut_at));
            RETURN_IF_FAILED(sample_add(&v->shut_for, told->shut_for));
            RETURN_IF_FAILED(sample_add(&v->back, told->back));
            v->states[told->shut_state % FIGURES_STATES]++;
            shut += told->shut_for;
        }
    }
    const double used[4] = {day->places_used, day->helpers_used, day->lines_used, day->tubs_used};
    for (int k = 0; k < 4; k++) {
        RETURN_IF_FAILED(sample_add(&gather->used[k], used[k]));
    }
    return sample_add(&gather->usable, 1.0 - shut / day->vat_count / (plan->closes - plan->opens));
}

/* The first day says from when on moments are kept; days that have not begun by then, or are over, count as empty. */
static struct status take_crowd(struct gather *gather, const struct day *day, bool wanted)
{
    if (!wanted || day->row_count == 0) {
        return status_ok();
    }
    if (gather->crowd == NULL) {
        gather->crowd = calloc(day->row_count, sizeof *gather->crowd);
        if (gather->crowd == NULL) {
            return status_fail(STATUS_MEMORY, "no memory left for the figures of a workshop");
        }
        gather->crowd_count = day->row_count;
        gather->crowd_begin = day->rows[0].time;
    }
    for (size_t i = 0; i < gather->crowd_count; i++) {
        double at = (gather->crowd_begin + (double)i * DAY_STEP - day->rows[0].time) / DAY_STEP;
        bool there = at > -0.5 && at < (double)day->row_count - 0.5;
        const struct day_row *row = there ? &day->rows[(size_t)(at + 0.5)] : &(struct day_row){0};
        RETURN_IF_FAILED(sample_add(&gather->crowd[i].waiting, row->waiting));
        RETURN_IF_FAILED(sample_add(&gather->crowd[i].soaking, row->soaking));
        RETURN_IF_FAILED(sample_add(&gather->crowd[i].people, row->people));
    }
    return status_ok();
}

static struct status work(void *context, size_t index, int worker)
{
    struct gather *gather = context;
    const struct day_figures_how *how = gather->how;
    struct day_how day_how = {.seed = how->seed + index,
                              .chemistry = how->chemistry,
                              .keep = index == 0 && gather->first != NULL,
                              .after = how->after,
                              .stop = how->stop};
    (void)worker;
    return day_run(gather->scenario, &day_how, &gather->days[index % AHEAD]);
}

static struct status take(void *context, size_t index)
{
    struct gather *gather = context;
    struct day *day = &gather->days[index % AHEAD];
    struct status status = take_waits(gather, day);
    if (status_is_ok(&status)) {
        status = take_pieces(gather, day);
    }
    if (status_is_ok(&status)) {
        status = take_vats(gather, day);
    }
    if (status_is_ok(&status)) {
        status = take_crowd(gather, day, gather->first != NULL);
    }
    if (index == 0 && gather->first != NULL && status_is_ok(&status)) {
        *gather->first = *day;
        *day = (struct day){0};
    } else {
        day_free(day);
    }
    return status;
}

/* ---- telling ------------------------------------------------------------------------------------------------------ */

static void tell_vat(struct vat_samples *v, int days, struct vat_figures *told)
{
    double shut = (double)v->shut_at.count;
    *told = (struct vat_figures){
        .dips = sample_mean(&v->dips),
        .cloth_dips = sample_mean(&v->cloth_dips),
        .strength = sample_quantile(&v->strength, 0.5),
        .shut_days = shut / days,
        .shut_at = sample_quantile(&v->shut_at, 0.5),
        .shut_early = sample_quantile(&v->shut_at, 0.1),
        .shut_for = sample_mean(&v->shut_for),
        .back_days = sample_mean(&v->back),
        .shut_state = -1,
        .ph_last = sample_mean(&v->ph),
        .temperature_first = sample_mean(&v->warmth),
        .temperature_last = sample_mean(&v->temperature),
    };
    for (int state = 0; state < FIGURES_STATES; state++) {
        if (v->states[state] > 0 && (told->shut_state < 0 || v->states[state] > v->states[told->shut_state])) {
            told->shut_state = state;
        }
    }
}

static void tell(struct gather *g, struct figures *f)
{
    const struct workshop *plan = &g->scenario->workshop;
    bool shade = g->how->chemistry && g->how->shade < SHADE_COUNT;
    *f = (struct figures){
        .days = g->how->days,
        .wait_p50 = sample_quantile(&g->waits, 0.5),
        .wait_p90 = sample_quantile(&g->waits, 0.9),
        .wait_longest = sample_quantile(&g->waits, 1.0),
        .in_vain = sample_mean(&g->in_vain),
        .pieces = (double)plan->people * plan->pieces,
        .finished_mean = sample_mean(&g->finished),
        .finished_p10 = sample_quantile(&g->finished, 0.1),
        .dips_done = sample_mean(&g->dips_done),
        .last_p50 = sample_quantile(&g->last, 0.5),
        .last_p90 = sample_quantile(&g->last, 0.9),
        .stay_p50 = sample_quantile(&g->stay, 0.5),
        .stay_p90 = sample_quantile(&g->stay, 0.9),
        .owf_p10 = sample_quantile(&g->owf, 0.1),
        .owf_p50 = sample_quantile(&g->owf, 0.5),
        .owf_p90 = sample_quantile(&g->owf, 0.9),
        .at_shade = shade ? sample_mean(&g->at_shade) : (double)NAN,
        .places_used = sample_mean(&g->used[0]),
        .helpers_used = sample_mean(&g->used[1]),
        .lines_used = sample_mean(&g->used[2]),
        .tubs_used = sample_mean(&g->used[3]),
        .usable = sample_mean(&g->usable),
        .vat_count = plan->vats,
    };
    for (int vat = 0; vat < plan->vats; vat++) {
        tell_vat(&g->vats[vat], g->how->days, &f->vats[vat]);
    }
}

static struct status tell_crowd(struct gather *gather, struct crowd_row **crowd, size_t *count)
{
    *crowd = calloc(gather->crowd_count + 1, sizeof **crowd);
    *count = gather->crowd_count;
    if (*crowd == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left for the figures of a workshop");
    }
    for (size_t i = 0; i < *count; i++) {
        struct crowd *row = &gather->crowd[i];
        (*crowd)[i] = (struct crowd_row){gather->crowd_begin + (double)i * DAY_STEP,
                                         sample_quantile(&row->waiting, 0.5), sample_quantile(&row->waiting, 0.9),
                                         sample_quantile(&row->soaking, 0.5), sample_quantile(&row->people, 0.5)};
    }
    return status_ok();
}

struct status day_figures_find(const struct scenario *scenario, const struct day_figures_how *how, struct figures *figures,
                           struct day *first, struct crowd_row **crowd, size_t *crowd_count)
{
    struct gather *gather = calloc(1, sizeof *gather);
    struct day *days = calloc(AHEAD, sizeof *days);
    struct status status = gather == NULL || days == NULL
                               ? status_fail(STATUS_MEMORY, "no memory left for the days of a workshop")
                               : status_ok();
    if (first != NULL) {
        *first = (struct day){0};
    }
    if (status_is_ok(&status)) {
        gather->scenario = scenario;
        gather->how = how;
        gather->days = days;
        gather->first = first;
        struct many many = {.count = (size_t)how->days,
                            .context = gather,
                            .work = work,
                            .take = take,
                            .ahead = AHEAD,
                            .progress = how->progress,
                            .progress_context = how->progress_context,
                            .stop = how->stop};
        status = many_run(&many, NULL);
    }
    if (status_is_ok(&status)) {
        tell(gather, figures);
        if (crowd != NULL) {
            status = tell_crowd(gather, crowd, crowd_count);
        }
    }
    if (!status_is_ok(&status) && first != NULL) {
        day_free(first);
    }
    for (size_t i = 0; days != NULL && i < AHEAD; i++) {
        day_free(&days[i]);
    }
    struct sample *sample;
    for (size_t i = 0; gather != NULL && (sample = sample_at(gather, i)) != NULL; i++) {
        free(sample->values);
    }
    free(gather != NULL ? gather->crowd : NULL);
    free(gather);
    free(days);
    return status;
}
