/* workshop_json.c: the answer of the workshop study for other programs; part of workshop_text.h. */
#include "chem/physics.h"
#include "cli/workshop_text.h"

#include "cli/json.h"
#include "sim/series.h"
#include "study/summary_words.h"

#include <math.h>

static void put_figures(json_t *object, const struct figures *f, const struct scenario *scenario)
{
    double opens = scenario->workshop.opens;
    json_put_number(object, "days", f->days);
    json_put_number(object, "wait_p50_min", f->wait_p50 / 60.0);
    json_put_number(object, "wait_p90_min", f->wait_p90 / 60.0);
    json_put_number(object, "wait_longest_min", f->wait_longest / 60.0);
    json_put_number(object, "in_line_at_closing", f->in_vain);
    json_put_number(object, "pieces", f->pieces);
    json_put_number(object, "finished_share", f->finished_mean);
    json_put_number(object, "finished_share_p10", f->finished_p10);
    json_put_number(object, "dips_done_share", f->dips_done);
    json_put_number(object, "last_piece_p50_h_after_opening", (f->last_p50 - opens) / 3600.0);
    json_put_number(object, "last_piece_p90_h_after_opening", (f->last_p90 - opens) / 3600.0);
    json_put_number(object, "stay_p50_h", f->stay_p50 / 3600.0);
    json_put_number(object, "stay_p90_h", f->stay_p90 / 3600.0);
    json_put_number(object, "owf_p10_percent", 100.0 * f->owf_p10);
    json_put_number(object, "owf_p50_percent", 100.0 * f->owf_p50);
    json_put_number(object, "owf_p90_percent", 100.0 * f->owf_p90);
    json_put_number(object, "at_shade_share", f->at_shade);
    json_put_number(object, "places_used_share", f->places_used);
    json_put_number(object, "helpers_used_share", f->helpers_used);
    json_put_number(object, "lines_used_share", f->lines_used);
    json_put_number(object, "tubs_used_share", f->tubs_used);
    json_put_number(object, "usable_share", f->usable);
}

static void put_goals(json_t *object, const bool met[GOAL_COUNT], bool serves)
{
    static const char *const names[GOAL_COUNT] = {"wait", "finished", "shade"};
    json_t *goals = json_put_object(object, "goals_met");
    for (int goal = 0; goal < GOAL_COUNT; goal++) {
        json_put_bool(goals, names[goal], met[goal]);
    }
    json_put_bool(object, "serves", serves);
}

static void put_vats(json_t *object, const struct figures *f, const struct scenario *scenario)
{
    json_t *list = json_put_list(object, "vats");
    for (int i = 0; i < f->vat_count; i++) {
        const struct vat_figures *vat = &f->vats[i];
        char state[WORD_SIZE] = "";
        json_t *item = json_append_object(list);
        if (vat->shut_state >= 0) {
            word_of_list(STATE_WORDS, vat->shut_state, state);
        }
        json_put_number(item, "dips", vat->dips);
        json_put_number(item, "cloth_dips_kg", vat->cloth_dips);
        json_put_number(item, "strength_at_closing", vat->strength);
        json_put_number(item, "days_below_usable_share", vat->shut_days);
        json_put_number(item, "below_usable_p50_h_after_opening", (vat->shut_at - scenario->workshop.opens) / 3600.0);
        json_put_number(item, "below_usable_p10_h_after_opening",
                        (vat->shut_early - scenario->workshop.opens) / 3600.0);
        json_put_number(item, "below_usable_for_min", vat->shut_for / 60.0);
        json_put_text(item, "below_usable_because", state);
        json_put_number(item, "comes_back_share", vat->back_days);
        json_put_number(item, "ph_at_closing", vat->ph_last);
        json_put_number(item, "temperature_at_opening_degC", vat->temperature_first - CELSIUS_ZERO);
        json_put_number(item, "temperature_at_closing_degC", vat->temperature_last - CELSIUS_ZERO);
    }
}

static void put_other_plans(json_t *tree, const struct workshop_answer *answer, const struct scenario *scenario)
{
    json_t *plans = json_put_list(tree, "plans");
    for (int i = 0; i < answer->cell_count; i++) {
        const struct workshop_cell *cell = &answer->cells[i];
        json_t *item = json_append_object(plans);
        json_put_number(item, "vats", cell->vats);
        json_put_number(item, "volume_L", 1e3 * cell->volume);
        json_put_number(item, "places", cell->at_once);
        json_put_bool(item, "vats_tried", cell->tried);
        json_put_bool(item, "best", i == answer->best);
        put_goals(item, cell->met, cell->serves);
        put_figures(item, &cell->figures, scenario);
    }
    json_t *makings = json_put_list(tree, "made");
    for (int i = 0; i < answer->making_count; i++) {
        const struct workshop_making *making = &answer->makings[i];
        json_t *item = json_append_object(makings);
        json_put_number(item, "h_before_opening", making->lead / 3600.0);
        json_put_bool(item, "as_written", making->as_written);
        json_put_bool(item, "serves", making->serves);
        json_put_number(item, "owf_p50_percent", 100.0 * making->figures.owf_p50);
        json_put_number(item, "usable_share", making->figures.usable);
    }
    json_t *feedings = json_put_list(tree, "fed");
    for (int i = 0; i < answer->feeding_count; i++) {
        const struct workshop_feeding *feeding = &answer->feedings[i];
        json_t *item = json_append_object(feedings);
        json_put_text(item, "when", feeding_words[feeding->when]);
        json_put_bool(item, "serves", feeding->serves);
        json_put_number(item, "owf_p50_percent", 100.0 * feeding->figures.owf_p50);
        json_put_number(item, "usable_share", feeding->figures.usable);
    }
}

struct status workshop_print_json(const struct scenario *scenario, const struct workshop_answer *answer)
{
    json_t *tree = json_object();
    json_put_text(tree, "title", scenario->title);
    json_put_number(tree, "seed", (double)answer->question.seed);
    json_put_bool(tree, "chemistry", answer->question.chemistry);
    json_put_text(tree, "shade", answer->question.shade < SHADE_COUNT ? shade_name(answer->question.shade) : "");
    json_t *plan = json_put_object(tree, "as_written");
    put_goals(plan, answer->met, answer->serves);
    put_figures(plan, &answer->plan, scenario);
    put_vats(plan, &answer->plan, scenario);
    json_put_text(tree, "limit", answer->limit < MEANS_COUNT ? means_words[answer->limit] : "");
    json_t *bare = json_put_object(tree, "vats_that_never_tire");
    json_put_number(bare, "wait_p50_min", answer->bare.wait_p50 / 60.0);
    json_put_number(bare, "wait_p90_min", answer->bare.wait_p90 / 60.0);
    json_put_number(bare, "finished_share", answer->bare.finished_mean);
    json_t *gains = json_put_object(tree, "wait_p90_min_with_more");
    for (int means = 0; means < MEANS_COUNT; means++) {
        if (answer->gains[means].there) {
            json_put_number(gains, means_words[means], answer->gains[means].wait_p90 / 60.0);
        }
    }
    put_other_plans(tree, answer, scenario);
    return json_print(tree);
}

static void print_cell(double value)
{
    printf(isfinite(value) ? ",%.6g" : ",", value);
}

void workshop_print_csv(const struct scenario *scenario, const struct workshop_answer *answer)
{
    (void)scenario;
    printf("piece,person,arrived [s],dips,vat,waited [s],done [s],owf [%%],shade\r\n");
    for (size_t i = 0; i < answer->first.piece_count; i++) {
        const struct day_piece *piece = &answer->first.pieces[i];
        printf("%zu,%d", i + 1, piece->person + 1);
        print_cell(piece->arrived);
        print_cell(piece->dips);
        print_cell(piece->vat >= 0 ? piece->vat + 1 : (double)NAN);
        print_cell(piece->waited);
        print_cell(piece->done);
        print_cell(100.0 * piece->owf);
        printf(",%s\r\n", isnan(piece->owf) ? "" : shade_name(shade_of_owf(piece->owf)));
    }
}
