/* load_search.c: see load_search.h. A run is dear, so every load tried is remembered, and the search begins near where
 * vats of all kinds end.
 */
#include "study/load_search.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>
#include <math.h>

#define USUAL_LOAD 9.0         /* kg/m3: where the search begins */
#define BELOW_KNOWN 0.75       /* or at this share of the heaviest load that may be tried */
#define WIDEN 1.35             /* from one load to the next until the root lies between two */
#define LEAST_LOAD_SHARE 0.005 /* of the most cloth at once: less is none */
#define TRIED_MOST 60
#define SPARE_PER_LOAD 0.3 /* the palest dip's share falls by about this much times the relative growth of the load */
#define HOPELESS_GAP 0.1   /* in shares of the first dip */
#define UNFIT_GAP 0.05     /* a dip in an unfit vat counts as this much too pale, and more the earlier it comes */

struct tried {
    double load, spare;
    struct period_capacity period;
};

struct search {
    const struct scenario *scenario;
    struct work_plan plan;
    double keep;
    const struct run_options *options;
    struct tried tried[TRIED_MOST];
    int count;
    struct status status; /* of the first run that failed */
};

/* The palest dip, as a share of the first, or below `keep` where the vat was unfit. */
static double judge(const struct work_done *done, double keep, struct period_capacity *period)
{
    double worst = INFINITY;
    double first = done->count > 0 ? done->loads[0].taken : 0.0;
    period->first_taken = first;
    for (int i = 0; i < done->count; i++) {
        const struct load_found *load = &done->loads[i];
        double share = first > 0.0 ? load->taken / first : 0.0;
        double counts = load->workable ? share : fmin(share, keep - UNFIT_GAP * (2.0 - (double)i / done->count));
        if (counts < worst) {
            worst = counts;
            period->worst_share = share;
            period->state = load->state;
        }
    }
    return worst;
}

/* A load that is far from borne after some sessions need not be followed to the last. */
static bool is_hopeless(void *context, const struct work_plan *plan, const struct work_done *so_far)
{
    const struct search *search = context;
    struct period_capacity period = {0};
    (void)plan;
    return judge(so_far, search->keep, &period) < search->keep - HOPELESS_GAP;
}

static const struct tried *find_tried(const struct search *search, double load)
{
    for (int i = 0; i < search->count; i++) {
        if (fabs(search->tried[i].load - load) <= 1e-12 * load) {
            return &search->tried[i];
        }
    }
    return NULL;
}

/* How far the palest dip lies above what it must take; 0 once a run has failed. */
static double spare_of_load(double load, void *context)
{
    struct search *search = context;
    struct work_done done;
    const struct tried *known = find_tried(search, load);
    if (known != NULL) {
        return known->spare;
    }
    if (!status_is_ok(&search->status) || search->count == TRIED_MOST) {
        return 0.0; /* the search is over */
    }
    search->plan.load = load;
    search->status = work_run_until(search->scenario, &search->plan, search->options, is_hopeless, search, &done);
    if (!status_is_ok(&search->status)) {
        return 0.0;
    }
    struct tried *tried = &search->tried[search->count++];
    *tried = (struct tried){.load = load};
    tried->period = (struct period_capacity){.loads = search->plan.loads, .sessions = search->plan.sessions};
    tried->spare = judge(&done, search->keep, &tried->period) - search->keep;
    work_free(&done);
    return tried->spare;
}

/* Whether a load tried is borne with hardly anything to spare. */
static bool is_found(const struct search *search, double accuracy)
{
    for (int i = 0; i < search->count; i++) {
        if (search->tried[i].spare >= 0.0 && search->tried[i].spare <= SPARE_PER_LOAD * accuracy) {
            return true;
        }
    }
    return false;
}

/* Brent's method between a load that is borne and one that is not; *low comes out as one that is. */
static struct status refine(struct search *search, double accuracy, double *low, double high)
{
    gsl_root_fsolver *solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    if (solver == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to look for the heaviest load");
    }
    gsl_function function = {.function = spare_of_load, .params = search};
    int code = gsl_root_fsolver_set(solver, &function, *low, high);
    while (code == GSL_SUCCESS && status_is_ok(&search->status) && search->count < TRIED_MOST &&
           !is_found(search, accuracy) && gsl_root_test_interval(*low, high, 0.0, accuracy) != GSL_SUCCESS) {
        code = gsl_root_fsolver_iterate(solver);
        *low = gsl_root_fsolver_x_lower(solver);
        high = gsl_root_fsolver_x_upper(solver);
    }
    gsl_root_fsolver_free(solver);
    RETURN_IF_FAILED(search->status);
    double borne = 0.0; /* the heaviest of those tried */
    for (int i = 0; i < search->count; i++) {
        const struct tried *tried = &search->tried[i];
        borne = tried->spare >= 0.0 && tried->load <= high ? fmax(borne, tried->load) : borne;
    }
    *low = borne;
    return code == GSL_SUCCESS ? status_ok()
                               : status_fail(STATUS_NUMERIC, "the heaviest load was not found: %s", gsl_strerror(code));
}

struct status load_search(const struct scenario *scenario, double keep, double accuracy,
                          const struct run_options *options, struct work_plan *plan, struct period_capacity *period)
{
    struct search search = {.scenario = scenario, .plan = *plan, .keep = keep, .options = options};
    search.status = status_ok();
    double most = CAPACITY_CLOTH_PER_VOLUME * plan->volume;
    double least = LEAST_LOAD_SHARE * most;
    double top = plan->load > 0.0 ? fmin(most, plan->load) : most;
    double low = fmin(top, plan->load > 0.0 ? BELOW_KNOWN * plan->load : USUAL_LOAD * plan->volume);
    double high = low;
    while (high < top && spare_of_load(high, &search) >= 0.0) {
        low = high;
        high = fmin(top, WIDEN * high);
    }
    while (low >= least && spare_of_load(low, &search) < 0.0) {
        high = low;
        low /= WIDEN;
    }
    RETURN_IF_FAILED(search.status);
    if (low < least) {
        low = 0.0;
    } else if (spare_of_load(high, &search) >= 0.0) {
        low = high; /* the top itself is borne */
    } else {
        RETURN_IF_FAILED(refine(&search, accuracy, &low, high));
    }
    RETURN_IF_FAILED(search.status);
    const struct tried *found = low > 0.0 ? find_tried(&search, low) : &search.tried[search.count - 1];
    *period = found->period;
    period->load = plan->load = low;
    period->capped = low >= most;
    period->cloth_dips = (struct span){NAN, work_cloth_dips(plan), NAN};
    return status_ok();
}
