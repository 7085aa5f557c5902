/* advise_json.c: advice, and what it takes to throw a vat away, as JSON; see advise_text.h. Masses in g, times in h. */
#include "chem/physics.h"
#include "cli/advise_text.h"
#include "cli/json.h"
#include "process/species.h"
#include "sim/series.h"
#include "study/summary_words.h"

#include <math.h>

#define HOUR 3600.0

static void put_step(json_t *object, const struct scenario *scenario, const struct correction *step)
{
    char lines[2][EVENT_LINE];
    char said[200];
    const struct material *material = correction_material(scenario, step->kind);
    correction_say(scenario, step, said, sizeof said);
    json_put_text(object, "correction", correction_words[step->kind]);
    json_put_text(object, "in_words", said);
    if (material != NULL) {
        json_put_text(object, "material", material->name);
        json_put_number(object, "mass_g", 1e3 * step->amount);
    } else if (step->kind == CORRECTION_WARM) {
        json_put_number(object, "to_degC", step->amount - CELSIUS_ZERO);
    }
    json_put_number(object, "rest_h", step->rest / HOUR);
    int count = advise_event_lines(scenario, step, lines);
    json_t *calendar = json_put_list(object, "calendar");
    for (int i = 0; i < count; i++) {
        (void)json_array_append_new(calendar, json_string(lines[i]));
    }
}

static void put_course(json_t *object, const char *key, const struct course *course)
{
    json_t *list = json_put_list(object, key);
    for (int i = 0; i < COURSE_POINTS; i++) {
        char state[WORD_SIZE];
        char look[WORD_SIZE];
        json_t *point = json_append_object(list);
        word_of_list(STATE_WORDS, course->points[i].state, state);
        word_of_list(LOOK_WORDS, course->points[i].look, look);
        json_put_number(point, "after_h", course_times[i] / HOUR);
        json_put_number(point, "ph", course->points[i].ph);
        json_put_number(point, "temperature_degC", course->points[i].temperature);
        json_put_number(point, "leuco_g_per_L", course->points[i].leuco);
        json_put_text(point, "state", state);
        json_put_text(point, "look", look);
    }
}

static void put_readings(json_t *object, const struct advice *advice)
{
    json_t *suspects = json_put_list(object, "suspect_readings");
    for (int i = 0; i < advice->suspect_count; i++) {
        (void)json_array_append_new(suspects, json_string(advice->suspects[i].text));
    }
    json_put_bool(object, "ph_left_out", advice->ph_left_out);
    json_put_number(object, "leuco_by_strip_g_per_L", advice->leuco);
    json_t *beliefs = json_put_list(object, "taken_as");
    for (int i = 0; i < advice->belief_count; i++) {
        json_t *belief = json_append_object(beliefs);
        json_put_number(belief, "sugar_g_per_L", advice->beliefs[i].hexose);
        json_put_number(belief, "lime_solid_g_per_L", advice->beliefs[i].lime_solid);
    }
}

/* Hours; null stands for not within the time looked at. */
static void put_span(json_t *object, const char *key, double soonest, double latest)
{
    json_t *span = json_put_object(object, key);
    json_put_number(span, "soonest_h", soonest / HOUR);
    json_put_number(span, "latest_h", latest / HOUR);
}

static void put_advice(json_t *root, const struct advise_answer *answer)
{
    const struct advice *advice = &answer->advice;
    json_t *object = json_put_object(root, "advice");
    json_put_text(object, "verdict", advice_words[advice->verdict]);
    put_readings(object, advice);
    json_t *plan = json_put_list(object, "plan");
    for (int i = 0; i < advice->plan.count; i++) {
        put_step(json_append_object(plan), answer->scenario, &advice->plan.steps[i]);
    }
    if (advice->whole > 0.0) {
        json_put_number(object, "first_step_asks_for_g", 1e3 * advice->whole);
    }
    json_put_number(object, "look_again_h", advice->look_again / HOUR);
    json_put_number(object, "give_up_h", advice->give_up / HOUR);
    json_put_number(object, "horizon_h", COURSE_HORIZON / HOUR);
    put_span(object, "ready", advice->ready_soonest, advice->ready_latest);
    put_span(object, "ready_left_alone", advice->nothing_soonest, advice->nothing_latest);
    if (advice->swapped) {
        json_put_number(object, "ready_with_sugar_and_lime_swapped_h", advice->swapped_ready / HOUR);
    }
    put_course(object, "course_as_advised", &advice->followed);
    put_course(object, "course_left_alone", &advice->nothing);
    json_put_number(object, "vats_simulated", advice->runs);
}

static void put_disposal(json_t *root, const struct advise_answer *answer)
{
    const struct disposal *disposal = &answer->disposal;
    json_t *object = json_put_object(root, "disposal");
    json_put_text(object, "first", "local rules for waste and water come first");
    json_put_number(object, "volume_L", 1e3 * disposal->volume);
    json_put_number(object, "ph", disposal->ph);
    json_put_number(object, "ph_wanted", DISPOSAL_PH);
    json_put_number(object, "lime_solid_g", 1e3 * disposal->lime);
    json_put_bool(object, "lime_stated", disposal->lime_known);
    json_put_number(object, "chalk_g", 1e3 * disposal->chalk);
    json_put_number(object, "indigotin_g", 1e3 * disposal->indigo);
    json_put_number(object, "ph_with_half_the_acid", disposal->ph_half);
    json_t *acids = json_put_list(object, "acids");
    for (int i = 0; i < DISPOSAL_ACIDS; i++) {
        const struct neutraliser *acid = &disposal->acids[i];
        if (acid->material >= 0) {
            json_t *entry = json_append_object(acids);
            json_put_text(entry, "material", answer->scenario->model.materials[acid->material].name);
            json_put_number(entry, "clear_liquor_g", 1e3 * acid->liquor);
            json_put_number(entry, "with_all_lime_g", 1e3 * acid->all);
        }
    }
}

struct status advise_print_json(const struct advise_answer *answer)
{
    json_t *root = json_object();
    json_put_text(root, "title", answer->scenario->title);
    if (answer->advised) {
        put_advice(root, answer);
    }
    if (answer->retired) {
        put_disposal(root, answer);
    }
    return json_print(root);
}
