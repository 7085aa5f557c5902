/* workshop_text.c: see workshop_text.h. */
#include "cli/workshop_text.h"

#include "chem/physics.h"
#include "sim/series.h"
#include "study/summary_words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define INDENT 9
#define CLOCK_SIZE 24

const char *const means_words[] = {"vats", "places in the vats", "helpers", "drying lines", "rinse tubs"};
const char *const feeding_words[] = {"as written", "not at all", "in each break", "once at half time"};

struct print {
    FILE *out;
    const struct text_style *style;
    const struct scenario *scenario;
    const struct workshop_answer *answer;
    struct text text;
};

static void print_line(struct print *print, const char *label)
{
    text_print_wrapped(print->out, print->style, label, INDENT, text_string(&print->text), TEXT_WIDTH, "");
    text_clear(&print->text);
}

/* "13:40" on the day of the workshop, "day 3 13:40" on another. */
static void say_clock(const struct scenario *scenario, double time, char clock[CLOCK_SIZE])
{
    double midnight = fmod(scenario->start_unix, 86400.0);
    double since = midnight + time + 30.0;
    double day = floor(since / 86400.0);
    double opens = floor((midnight + scenario->workshop.opens) / 86400.0);
    int minutes = (int)((since - day * 86400.0) / 60.0);
    if (day == opens) {
        (void)snprintf(clock, CLOCK_SIZE, "%02d:%02d", minutes / 60, minutes % 60);
    } else {
        (void)snprintf(clock, CLOCK_SIZE, "day %.0f %02d:%02d", day + 1.0, minutes / 60, minutes % 60);
    }
}

static double in_minutes(double seconds)
{
    return floor(seconds / 60.0 + 0.5);
}

/* Half a per cent is rounded up, as on the page of a report. */
static double in_percent(double share)
{
    return floor(100.0 * share + 0.5);
}

static const char *met_words(bool met)
{
    return met ? "met" : "MISSED";
}

/* ---- the plan as written ------------------------------------------------------------------------------------------ */

static void print_head(struct print *print)
{
    const struct scenario *scenario = print->scenario;
    const struct workshop *shop = &scenario->workshop;
    const struct cloth_kind *cloth = &scenario->cloth[shop->cloth];
    char opens[CLOCK_SIZE];
    char closes[CLOCK_SIZE];
    say_clock(scenario, shop->opens, opens);
    say_clock(scenario, shop->closes, closes);
    text_add(&print->text,
             "%s: %d people with %d piece%s each (%s, %s, %.0f g), %d dip%s of %.0f min; %d vat%s of %.0f L with %d "
             "place%s each; %s to %s; %d days drawn, seeds from %lu",
             scenario->title, shop->people, shop->pieces, shop->pieces > 1 ? "s" : "", cloth->name,
             scenario->model.fibres[cloth->fibre].name, 1e3 * cloth->each, shop->dips, shop->dips > 1 ? "s" : "",
             shop->soak / 60.0, shop->vats, shop->vats > 1 ? "s" : "", 1e3 * scenario->fill, shop->at_once,
             shop->at_once > 1 ? "s" : "", opens, closes, print->answer->plan.days, print->answer->question.seed);
    if (print->style->lines) {
        print_line(print, "Plan");
    } else {
        text_print_wrapped(print->out, print->style, "", 0, text_string(&print->text), TEXT_WIDTH, "");
        text_clear(&print->text);
        fputc('\n', print->out);
    }
}

static void print_waiting(struct print *print)
{
    const struct figures *f = &print->answer->plan;
    text_add(&print->text,
             "for a place, %.0f min or less half the time, %.0f min or less nine times in ten, %.0f min at the "
             "longest; the goal, nine in ten within %.0f min, is %s",
             in_minutes(f->wait_p50), in_minutes(f->wait_p90), in_minutes(f->wait_longest),
             in_minutes(print->scenario->workshop.wait_most), met_words(print->answer->met[GOAL_WAIT]));
    print_line(print, "Waiting");
}

static void print_pieces(struct print *print)
{
    const struct figures *f = &print->answer->plan;
    char last[CLOCK_SIZE];
    double usual = floor(f->finished_mean * f->pieces + 0.5);
    double seldom = floor(f->finished_p10 * f->pieces + 0.5);
    text_add(&print->text, "%.0f of %.0f get all their dips", usual, f->pieces);
    if (seldom < usual) {
        text_add(&print->text, " (%.0f or fewer on one day in ten)", seldom);
    }
    text_add(&print->text, "; the goal, %.0f %%, is %s", 100.0 * WORKSHOP_ENOUGH,
             met_words(print->answer->met[GOAL_FINISHED]));
    if (f->in_vain >= 0.5) {
        text_add(&print->text, "; at closing %.0f people still stand in line", f->in_vain);
    }
    if (!isnan(f->last_p50)) {
        say_clock(print->scenario, f->last_p50, last);
        text_add(&print->text,
                 "; half of the people are through %.1f h after they came, nine in ten after %.1f h; the last piece is "
                 "done at %s",
                 f->stay_p50 / 3600.0, f->stay_p90 / 3600.0, last);
        say_clock(print->scenario, f->last_p90, last);
        text_add(&print->text, " (%s or later on one day in ten)", last);
    }
    print_line(print, "Pieces");
}

static void print_shade(struct print *print)
{
    const struct workshop_answer *answer = print->answer;
    const struct figures *f = &answer->plan;
    if (!answer->question.chemistry) {
        text_add(&print->text, "not looked at: without chemistry a vat never tires");
    } else if (isnan(f->owf_p50)) {
        text_add(&print->text, "none: no piece is finished");
    } else {
        text_add(&print->text, "%s, %.2f %% owf after washing; eight pieces in ten from %.2f %% (%s) to %.2f %% (%s)",
                 shade_name(shade_of_owf(f->owf_p50)), 100.0 * f->owf_p50, 100.0 * f->owf_p10,
                 shade_name(shade_of_owf(f->owf_p10)), 100.0 * f->owf_p90, shade_name(shade_of_owf(f->owf_p90)));
        if (answer->question.shade < SHADE_COUNT) {
            text_add(&print->text, "; %.0f %% of all are %s or deeper; the goal, %.0f %%, is %s",
                     in_percent(f->at_shade), shade_name(answer->question.shade), 100.0 * WORKSHOP_SHADE_ENOUGH,
                     met_words(answer->met[GOAL_SHADE]));
        }
    }
    print_line(print, "Shade");
}

/* Why a vat could not be dyed in, and what is done about it. */
static const char *state_phrase(int state)
{
    switch (state) {
    case VAT_TIRED:
        return "tired: its leuco is used up faster than it is made; let it rest, warm, with a little sugar";
    case VAT_SUGAR_SPENT:
        return "out of sugar: feed it and let it rest";
    case VAT_OXIDISED:
        return "full of air: cover it and leave it alone";
    case VAT_LIME_SHORT:
        return "short of lime: a little, stirred in slowly";
    case VAT_TOO_COLD:
        return "too cold: warm it";
    case VAT_INDIGO_SPENT:
        return "out of indigo";
    case VAT_STARTING:
        return "not ready yet, or reducing too slowly to keep up: make it earlier, keep it warm, let it rest";
    default:
        return "unfit to dye in";
    }
}

static void print_vat(struct print *print, int number)
{
    const struct vat_figures *vat = &print->answer->plan.vats[number];
    char label[16];
    char clock[CLOCK_SIZE];
    char early[CLOCK_SIZE];
    (void)snprintf(label, sizeof label, "Vat %d", number + 1);
    text_add(&print->text, "%.0f dips, %.1f kg of cloth-dips, %.0f g for each litre", vat->dips, vat->cloth_dips,
             vat->cloth_dips / print->scenario->fill);
    if (print->answer->question.chemistry) {
        text_add(
            &print->text,
            "; %.0f C at opening, %.0f C and pH %.1f at closing, when a strip takes %.0f %% of what it took at opening",
            vat->temperature_first - CELSIUS_ZERO, vat->temperature_last - CELSIUS_ZERO, vat->ph_last,
            in_percent(vat->strength));
        if (vat->shut_days > 0.0) {
            say_clock(print->scenario, vat->shut_at, clock);
            say_clock(print->scenario, vat->shut_early, early);
            text_add(&print->text, "; falls below usable at %s on %.0f %% of the days", clock,
                     in_percent(vat->shut_days));
            if (strcmp(clock, early) != 0) {
                text_add(&print->text, " (%s at the earliest tenth)", early);
            }
            text_add(&print->text, ", %.0f min in all, %s; it %s by itself", in_minutes(vat->shut_for),
                     state_phrase(vat->shut_state),
                     vat->back_days >= 0.95   ? "comes back"
                     : vat->back_days >= 0.05 ? "comes back at times"
                                              : "does not come back");
        } else {
            text_add(&print->text, "; usable all day");
        }
    }
    print_line(print, label);
}

static void print_use(struct print *print)
{
    const struct figures *f = &print->answer->plan;
    const double used[] = {f->places_used, f->helpers_used, f->lines_used, f->tubs_used};
    static const enum means names[] = {MEANS_PLACE, MEANS_HELPER, MEANS_LINE, MEANS_TUB};
    for (int i = 0; i < 4; i++) {
        if (!isnan(used[i])) {
            text_join(&print->text, ", ", "%s %.0f %%", means_words[names[i]], in_percent(used[i]));
        }
    }
    text_add(&print->text, " of the time from opening to closing; beyond 70 %% a line grows quickly");
    print_line(print, "In use");
}

static void print_limit(struct print *print)
{
    const struct workshop_answer *answer = print->answer;
    if (answer->limit == MEANS_COUNT) {
        text_add(&print->text, "%s",
                 answer->bare.wait_p90 <= 120.0 ? "nothing holds people up but their own dips"
                                                : "one more of anything shortens the line by less than a tenth");
        if (answer->gains[MEANS_VAT].there && answer->bare.wait_p90 > 120.0) {
            text_add(&print->text, ", another vat to %.0f min", in_minutes(answer->gains[MEANS_VAT].wait_p90));
        }
    } else {
        static const char *const one_more[] = {"", "one more in each vat", "one more", "a quarter more", "one more"};
        text_add(&print->text, "%s: %s, and nine in ten wait %.0f min instead of %.0f", means_words[answer->limit],
                 one_more[answer->limit], in_minutes(answer->gains[answer->limit].wait_p90),
                 in_minutes(answer->bare.wait_p90));
        for (int means = MEANS_PLACE; means < MEANS_COUNT; means++) {
            if (answer->gains[means].there && means != (int)answer->limit) {
                text_add(&print->text, "; more %s: %.0f", means_words[means],
                         in_minutes(answer->gains[means].wait_p90));
            }
        }
        if (answer->gains[MEANS_VAT].there) {
            text_add(&print->text, "; another vat: %.0f", in_minutes(answer->gains[MEANS_VAT].wait_p90));
        }
        text_add(&print->text, " (vats that never tire)");
    }
    print_line(print, "Limit");
}

/* ---- other plans -------------------------------------------------------------------------------------------------- */

static const struct workshop_cell *cell_with(const struct workshop_answer *answer, const struct workshop_cell *like,
                                             int vats)
{
    for (int i = 0; i < answer->cell_count; i++) {
        const struct workshop_cell *cell = &answer->cells[i];
        if (cell->vats == vats && fabs(cell->volume - like->volume) < 1e-9) {
            return cell;
        }
    }
    return NULL;
}

static void print_best(struct print *print)
{
    const struct workshop_answer *answer = print->answer;
    if (answer->best < 0) {
        text_add(&print->text, "no plan of the table meets all goals; try more or larger vats (--vats, --sizes), more "
                               "time, fewer dips, or another shade");
        print_line(print, "Vats");
        return;
    }
    const struct workshop_cell *best = &answer->cells[answer->best];
    text_add(&print->text,
             "%d of %.0f L with %d place%s each meet%s all goals with the least liquor (one alone is no plan): nine in "
             "ten wait %.0f min or less, %.0f %% of the pieces are finished",
             best->vats, 1e3 * best->volume, best->at_once, best->at_once > 1 ? "s" : "", best->vats > 1 ? "" : "s",
             in_minutes(best->figures.wait_p90), in_percent(best->figures.finished_mean));
    print_line(print, "Vats");
    const struct workshop_cell *less = cell_with(answer, best, best->vats - 1);
    if (less == NULL) {
        text_add(&print->text, "one vat alone is no plan: should it fail, nobody dyes; make a second");
    } else {
        text_add(&print->text, "should one fail, %d %s left: nine in ten wait up to %.0f min, %.0f %% are finished",
                 less->vats, less->vats > 1 ? "are" : "is", in_minutes(less->figures.wait_p90),
                 in_percent(less->figures.finished_mean));
        if (!isnan(less->figures.at_shade)) {
            text_add(&print->text, ", %.0f %% come to the shade", in_percent(less->figures.at_shade));
        }
        text_add(&print->text, "; so make one more than serves, %d in all, and it can rest in turn", best->vats + 1);
    }
    print_line(print, "Spare");
}

/* "0.42 % owf, 80 % finished" */
static void add_shade(struct print *print, const struct figures *f)
{
    if (isnan(f->owf_p50)) {
        text_add(&print->text, "no piece finished");
    } else {
        text_add(&print->text, "%.2f %% owf", 100.0 * f->owf_p50);
    }
    if (f->finished_mean < 0.995 && !isnan(f->owf_p50)) {
        text_add(&print->text, " with %.0f %% finished", in_percent(f->finished_mean));
    }
    if (f->usable < 0.995) {
        text_add(&print->text, " and the vats usable %.0f %% of the time", in_percent(f->usable));
    }
}

/* Which plan is spoken of, when it is not the one as written. */
static void add_base(struct print *print)
{
    const struct workshop_answer *answer = print->answer;
    if (answer->base >= 0) {
        const struct workshop_cell *cell = &answer->cells[answer->base];
        text_add(&print->text, "(%d vat%s of %.0f L) ", cell->vats, cell->vats > 1 ? "s" : "", 1e3 * cell->volume);
    }
}

static void say_lead(double lead, char words[WORD_SIZE])
{
    if (lead < 36.0 * 3600.0) {
        (void)snprintf(words, WORD_SIZE, "%.3g h", lead / 3600.0);
    } else {
        (void)snprintf(words, WORD_SIZE, "%.3g days", lead / 86400.0);
    }
}

static void print_makings(struct print *print)
{
    const struct workshop_answer *answer = print->answer;
    if (answer->making_count == 0) {
        return;
    }
    add_base(print);
    text_add(&print->text, "before opening:");
    for (int i = 0; i < answer->making_count; i++) {
        const struct workshop_making *making = &answer->makings[i];
        char lead[WORD_SIZE];
        say_lead(making->lead, lead);
        text_add(&print->text, "%s %s%s ", i > 0 ? ";" : "", lead, making->as_written ? " (as written)" : "");
        add_shade(print, &making->figures);
        if (making->figures.vats[0].temperature_first > WORKSHOP_HOT_K) {
            text_add(&print->text, " but %.0f C at opening, which scalds",
                     making->figures.vats[0].temperature_first - CELSIUS_ZERO);
        }
    }
    int deepest = -1;
    char lead[WORD_SIZE];
    for (int i = 0; i < answer->making_count; i++) {
        const struct figures *f = &answer->makings[i].figures;
        bool cool = !(f->vats[0].temperature_first > WORKSHOP_HOT_K);
        if (cool && (deepest < 0 || f->owf_p50 > answer->makings[deepest].figures.owf_p50)) {
            deepest = i;
        }
    }
    if (deepest >= 0) {
        say_lead(answer->makings[deepest].lead, lead);
        text_add(&print->text, "; deepest when made %s before", lead);
    }
    if (answer->latest >= 0) {
        say_lead(answer->makings[answer->latest].lead, lead);
        text_add(&print->text, "; the latest that meets all goals is %s", lead);
    }
    print_line(print, "Made");
}

static void print_feedings(struct print *print)
{
    const struct workshop_answer *answer = print->answer;
    if (answer->feeding_count == 0) {
        return;
    }
    add_base(print);
    for (int i = 0; i < answer->feeding_count; i++) {
        const struct workshop_feeding *feeding = &answer->feedings[i];
        const struct figures *f = &feeding->figures;
        text_join(&print->text, i > 0 ? "; " : "", "%s ", feeding_words[feeding->when]);
        add_shade(print, f);
    }
    if (answer->feeding_best < 0) {
        text_add(&print->text, "; on the day itself it makes no difference worth naming: feed when the work is done");
    } else {
        text_add(&print->text, "; best %s", feeding_words[answer->feedings[answer->feeding_best].when]);
    }
    text_add(&print->text,
             " (each time 1 g of fructose a litre, half a gram of lime when the pH is below 11.8, one slow stir)");
    print_line(print, "Fed");
}

static void print_table(struct print *print)
{
    const struct workshop_answer *answer = print->answer;
    if (answer->cell_count == 0 || print->style->lines) {
        return;
    }
    fprintf(print->out, "\nOther plans, %d days each\n%-26s%10s%10s%10s%12s%8s\n", answer->question.table_days, "",
            "wait of", "pieces", "vats", "shade", "goals");
    fprintf(print->out, "%-26s%10s%10s%10s%12s\n", "", "9 in 10", "finished", "usable", "half");
    double volume = 0.0;
    for (int i = 0; i < answer->cell_count; i++) {
        const struct workshop_cell *cell = &answer->cells[i];
        const struct figures *f = &cell->figures;
        char plan[64];
        (void)snprintf(plan, sizeof plan, "%d vat%s of %.0f L, %d place%s", cell->vats, cell->vats > 1 ? "s" : "",
                       1e3 * cell->volume, cell->at_once, cell->at_once > 1 ? "s" : "");
        if (i > 0 && fabs(volume - cell->volume) > 1e-9) {
            fputc('\n', print->out);
        }
        volume = cell->volume;
        fprintf(print->out, "%-26s%6.0f min%8.0f %%", plan, in_minutes(f->wait_p90), in_percent(f->finished_mean));
        if (answer->question.chemistry && cell->tried) {
            fprintf(print->out, "%8.0f %%", in_percent(f->usable));
            if (isnan(f->owf_p50)) {
                fprintf(print->out, "%12s", "none");
            } else {
                fprintf(print->out, "%6.2f %% owf", 100.0 * f->owf_p50);
            }
        } else {
            fprintf(print->out, "%10s%12s", "-", "-");
        }
        fprintf(print->out, "%7s\n", i == answer->best ? "all *" : cell->serves ? "all" : "no");
    }
    fprintf(print->out, "* meets all goals with the least liquor, in two vats or more. A dash: too slow\nfor the "
                        "people already, so the vats were not tried\n");
}

static void print_care(struct print *print)
{
    text_add(&print->text, "lime burns eyes and skin: sealed goggles, gloves, lime into water and never water onto dry "
                           "lime, before the first guest comes");
    print_line(print, "Care");
    bool hot = print->scenario->water.temperature_K > WORKSHOP_HOT_K;
    for (int vat = 0; vat < print->answer->plan.vat_count; vat++) {
        hot = hot || print->answer->plan.vats[vat].temperature_first > WORKSHOP_HOT_K;
    }
    text_add(&print->text,
             "%sheaters off and out before hands go in; burners outdoors; children only beside a helper; water at hand "
             "to rinse eyes for 15 minutes; local rules for emptying a vat come first",
             hot ? "liquor above 45 C scalds: let it cool before guests come near, lift little at a time; " : "");
    print_line(print, "");
}

void workshop_print(FILE *out, const struct text_style *style, const struct scenario *scenario,
                    const struct workshop_answer *answer)
{
    struct print print = {.out = out, .style = style, .scenario = scenario, .answer = answer};
    print_head(&print);
    print_waiting(&print);
    print_pieces(&print);
    print_shade(&print);
    for (int vat = 0; vat < answer->plan.vat_count; vat++) {
        print_vat(&print, vat);
    }
    print_use(&print);
    print_limit(&print);
    if (answer->question.table) {
        print_best(&print);
        print_makings(&print);
        print_feedings(&print);
    }
    print_care(&print);
    print_table(&print);
    text_free(&print.text);
}
