/* speciation_lanes.c: see speciation_lanes.h. */
#include "chem/speciation_lanes.h"

#include "chem/activity.h"
#include "chem/speciation_balance.h"

#include <math.h>
#include <string.h>

#define CONSTANT_NUMBERS (sizeof(struct speciation_constants) / sizeof(double))

static const struct closeness from_near = CLOSE_FROM_NEAR;

#include "base/number_lanes.h"
#define STRUCT(tag) lanes_##tag
#define CONSTANTS lane_numbers
#define TOTALS lane_numbers
#include "chem/balance_types.h"

#define OF(name) plain_##name
#define ON
#include "chem/speciation_lanes_kind.h"
#undef OF
#undef ON

#ifdef LANES_ON_WIDE
#define OF(name) wide_##name
#define ON LANES_ON_WIDE
#include "chem/speciation_lanes_kind.h"
#undef OF
#undef ON

#define OF(name) widest_##name
#define ON LANES_ON_WIDEST
#include "chem/speciation_lanes_kind.h"
#undef OF
#undef ON
#endif

void speciate_near_lanes(enum lanes_kind kind, const struct speciation_constants *const constants[],
                         const struct liquor_totals *const totals[], const struct speciation near[],
                         struct speciation *const results[], int count, int failures[])
{
    switch (kind) {
#ifdef LANES_ON_WIDE
    case LANES_WIDE:
        wide_speciate(constants, totals, near, results, count, failures);
        break;
    case LANES_WIDEST:
        widest_speciate(constants, totals, near, results, count, failures);
        break;
#endif
    default:
        plain_speciate(constants, totals, near, results, count, failures);
        break;
    }
}
