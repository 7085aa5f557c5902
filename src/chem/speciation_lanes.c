/* speciation_lanes.c: see speciation_lanes.h. */
#include "chem/speciation_lanes.h"

#include "chem/activity.h"
#include "chem/speciation_balance.h"

#include <math.h>
#include <string.h>

#define CONSTANT_NUMBERS (sizeof(struct speciation_constants) / sizeof(double))

static const struct closeness from_near = CLOSE_FROM_NEAR;

/* What is asked, and where the answers go. */
struct liquors {
    const struct speciation_constants *const *constants;
    const struct liquor_totals *const *totals;
    const struct speciation *near;
    struct speciation *const *results;
    int *failures;
};

#include "base/number_lanes.h"
#define STRUCT(tag) OF(tag)
#define CONSTANTS NUMBER
#define TOTALS NUMBER

#define OF(name) plain_##name
#define ON
#define WIDTH LANES_PLAIN_WIDTH
#include "chem/speciation_lanes_kind.h"
#undef OF
#undef ON
#undef WIDTH

#ifdef LANES_ON_WIDE
#define OF(name) wide_##name
#define ON LANES_ON_WIDE
#define WIDTH LANES_WIDE_WIDTH
#include "chem/speciation_lanes_kind.h"
#undef OF
#undef ON
#undef WIDTH

#define OF(name) widest_##name
#define ON LANES_ON_WIDEST
#define WIDTH LANES_WIDEST_WIDTH
#include "chem/speciation_lanes_kind.h"
#undef OF
#undef ON
#undef WIDTH
#endif

void speciate_near_lanes(enum lanes_kind kind, const struct speciation_constants *const constants[],
                         const struct liquor_totals *const totals[], const struct speciation near[],
                         struct speciation *const results[], int count, int failures[])
{
    const struct liquors liquors = {constants, totals, near, results, failures};
    switch (lanes_for(kind, count)) {
#ifdef LANES_ON_WIDE
    case LANES_WIDE:
        wide_speciate_all(&liquors, count);
        break;
    case LANES_WIDEST:
        widest_speciate_all(&liquors, count);
        break;
#endif
    default:
        plain_speciate_all(&liquors, count);
        break;
    }
}
