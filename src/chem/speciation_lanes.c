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

#define LANES_BODY "chem/speciation_lanes_kind.h"
#include "base/each_kind.h"

static void (*const speciate_all[LANES_KINDS])(const struct liquors *liquors, int count) = LANES_EACH(speciate_all);

void speciate_near_lanes(enum lanes_kind kind, const struct speciation_constants *const constants[],
                         const struct liquor_totals *const totals[], const struct speciation near[],
                         struct speciation *const results[], int count, int failures[])
{
    const struct liquors liquors = {constants, totals, near, results, failures};
    speciate_all[lanes_for(kind, count)](&liquors, count);
}
