/* workshop_result.c: see workshop_result.h. */
#include "study/workshop_result.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define DAY_TABLE(X)                                                                                                   \
    X("time", "s", "time since start")                                                                                 \
    X("people", "1", "people who are there and have pieces still to dye, on the day that is shown")                    \
    X("waiting", "1", "people in line for a place, on that day")                                                       \
    X("soaking", "1", "places taken in the vats, on that day")                                                         \
    X("hanging", "1", "pieces that hang and air, on that day")                                                         \
    X("helping", "1", "helpers at work, on that day")                                                                  \
    X("rinsing", "1", "rinse tubs in use, on that day")                                                                \
    X("vats_usable", "1", "vats that can be dyed in, on that day")                                                     \
    X("waiting_half", "1", "people in line, at most, on half of the days drawn")                                       \
    X("waiting_nine", "1", "people in line, at most, on nine days in ten")                                             \
    X("soaking_half", "1", "places taken, at most, on half of the days")                                               \
    X("people_half", "1", "people there, at most, on half of the days")

#define PLAN_TABLE(X)                                                                                                  \
    X("vats", "1", "number of vats", NULL)                                                                             \
    X("volume", "L", "liquor in each", NULL)                                                                           \
    X("places", "1", "places in each", NULL)                                                                           \
    X("wait_half", "s", "wait for a place, at most, of half of the dips", NULL)                                        \
    X("wait_nine", "s", "wait for a place, at most, of nine dips in ten", NULL)                                        \
    X("finished", "1", "share of the pieces that get all their dips", NULL)                                            \
    X("usable", "1", "share of vats and time that can be dyed in", NULL)                                               \
    X("owf_half", "1", "indigotin on weight of fibre after washing, per cent, at most, of half of the pieces", NULL)   \
    X("at_shade", "1", "share of the pieces that are of the shade wanted, or deeper", NULL)                            \
    X("serves", "1", "whether all goals are met", "no yes")                                                            \
    X("best", "1", "whether it is the one with least liquor that does", "no yes")

static struct status fill_day(const struct workshop_answer *answer, struct table *table)
{
    const struct day *day = &answer->first;
#define ADD(name, unit, long_name) RETURN_IF_FAILED(table_add_column(table, name, unit, long_name, NULL));
    DAY_TABLE(ADD)
#undef ADD
    for (size_t i = 0; i < day->row_count && i < answer->crowd_count; i++) {
        const struct day_row *row = &day->rows[i];
        const struct crowd_row *crowd = &answer->crowd[i];
        const double values[] = {row->time,          row->people,        row->waiting,       row->soaking,
                                 row->hanging,       row->helping,       row->rinsing,       row->vats_open,
                                 crowd->waiting_p50, crowd->waiting_p90, crowd->soaking_p50, crowd->people_p50};
        RETURN_IF_FAILED(table_add_row(table, values, sizeof values / sizeof *values));
    }
    return status_ok();
}

static struct status fill_plans(const struct workshop_answer *answer, struct table *table)
{
#define ADD(name, unit, long_name, flags) RETURN_IF_FAILED(table_add_column(table, name, unit, long_name, flags));
    PLAN_TABLE(ADD)
#undef ADD
    for (int i = 0; i < answer->cell_count; i++) {
        const struct workshop_cell *cell = &answer->cells[i];
        const struct figures *f = &cell->figures;
        const double values[] = {cell->vats,
                                 1e3 * cell->volume,
                                 cell->at_once,
                                 f->wait_p50,
                                 f->wait_p90,
                                 f->finished_mean,
                                 cell->tried ? f->usable : (double)NAN,
                                 100.0 * f->owf_p50,
                                 f->at_shade,
                                 cell->serves,
                                 i == answer->best};
        RETURN_IF_FAILED(table_add_row(table, values, sizeof values / sizeof *values));
    }
    return status_ok();
}

static struct status replace_text(char **text, const char *with)
{
    free(*text);
    *text = strdup(with != NULL ? with : "");
    return *text != NULL ? status_ok() : status_fail(STATUS_MEMORY, "no memory left for the result of a workshop");
}

/* The table moves over; what it leaves is empty. */
static void move_table(struct table *from, struct table *to)
{
    table_free(to);
    *to = *from;
    *from = (struct table){.residual_relative = NAN};
}

struct status workshop_result_make(const struct scenario *scenario, struct workshop_answer *answer, const char *story,
                                   struct result *result)
{
    const struct workshop *shop = &scenario->workshop;
    struct day *day = &answer->first;
    result_init(result);
    if (!answer->question.chemistry) {
        return status_fail(STATUS_USAGE, "without chemistry there are no vats to write a result of");
    }
    *result = day->vats[0].result;
    result_init(&day->vats[0].result);
    RETURN_IF_FAILED(replace_text(&result->scenario_text, scenario->scenario_text));
    RETURN_IF_FAILED(replace_text(&result->model_text, scenario->model.model_text));
    result->seed = answer->question.seed;
    move_table(&day->pieces_result.pieces, &result->pieces);
    move_table(&day->pieces_result.dips, &result->dips);
    RETURN_IF_FAILED(result_add_workshop(result));
    struct workshop_result *workshop = result->workshop;
    workshop->opens = shop->opens;
    workshop->closes = shop->closes;
    workshop->places = shop->vats * shop->at_once;
    workshop->others = calloc((size_t)day->vat_count, sizeof *workshop->others);
    if (workshop->others == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left for the result of a workshop");
    }
    while (workshop->other_count + 1 < (size_t)day->vat_count) {
        struct result *from = &day->vats[workshop->other_count + 1].result;
        workshop->others[workshop->other_count++] = *from;
        result_init(from);
    }
    RETURN_IF_FAILED(replace_text(&workshop->story, story));
    RETURN_IF_FAILED(fill_day(answer, &workshop->day));
    return fill_plans(answer, &workshop->plans);
}
