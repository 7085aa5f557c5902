/* members.c: see members.h. */
#include "study/members.h"

#include "study/draws.h"
#include "study/variant.h"

#include <stdlib.h>

/* Draws for all members, so that together they cover each range evenly, and applies those of one. */
static struct status apply_draws(const struct scenario *scenario, const struct drawn *list, size_t count, int number,
                                 struct scenario *member)
{
    double *values = calloc((size_t)MEMBERS_DRAWN_MOST * count + 1, sizeof *values);
    if (values == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to draw members");
    }
    struct status status = draws_fill(list, count, false, scenario->seed, MEMBERS_DRAWN_MOST, values);
    if (status_is_ok(&status)) {
        status = variant_make(scenario, member);
    }
    for (size_t i = 0; i < count && status_is_ok(&status); i++) {
        drawn_apply(&list[i], values[(size_t)(number - 1) * count + i], member);
    }
    free(values);
    return status;
}

struct status member_make(const struct scenario *scenario, int number, struct scenario *member)
{
    struct drawn *list;
    size_t count;
    if (number < 1 || number > MEMBERS_DRAWN_MOST) {
        return status_fail(STATUS_BUG, "there is no member %d", number);
    }
    RETURN_IF_FAILED(drawn_uncertain(scenario, &list, &count));
    struct status status = apply_draws(scenario, list, count, number, member);
    free(list);
    return status;
}
