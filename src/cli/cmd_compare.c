/* cmd_compare.c: vatcast compare: ways of keeping a vat, side by side. */
#include "cli/compare_figures.h"
#include "cli/json.h"
#include "cli/option_values.h"
#include "cli/terminal.h"
#include "cli/text.h"
#include "cli/verbs.h"
#include "scenario/words.h"
#include "sim/run.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define COMPARED_MOST 20
#define PRICES_MOST 40
#define LABEL_WIDTH 27
#define CELL_WIDTH 13
#define CELLS_MOST 4 /* beside each other in 80 columns */
#define TELL_INDENT 10
#define EXPLANATION_SIZE 1200

static const struct option_spec options[] = {
    {'g', "goal", "GOAL",
     "what is wanted most: cloth (most at the shade), pigment (least used up per kg at the shade), labour (fewest acts "
     "of "
     "care) or steady (least spread of depth); default cloth"},
    {'s', "shade", "SHADE", "the depth that counts, as mid or light (default: each cloth's own target)"},
    {'p', "price", "NAME=PRICE", "what a material costs, as 'slaked lime=2.50/kg' or 'water=0.004/L'; may be repeated"},
    {0, "set", "PATH=VALUE", "changes one setting of every scenario, as in vatcast run; may be repeated"},
    {0, "json", NULL, "print the answer as JSON"},
    {0, "csv", NULL, "print the figures as comma-separated text, a row for each scenario"},
    {'q', "quiet", NULL, "show no progress"},
    {0, NULL, NULL, NULL},
};

struct side_by_side {
    enum goal goal;
    enum shade shade; /* SHADE_COUNT: targets */
    struct price prices[PRICES_MOST];
    size_t price_count;
    struct outcome *outcomes; /* owned */
    size_t count;
    size_t order[COMPARED_MOST];
};

/* ---- asking ----------------------------------------------------------------------------------------------------- */

static struct status read_prices(const struct call *call, struct side_by_side *sides)
{
    for (size_t i = 0; i < call->given_count; i++) {
        if (strcmp(call->given[i].spec->name, "price") != 0) {
            continue;
        }
        if (sides->price_count == PRICES_MOST) {
            return status_fail(STATUS_USAGE, "there are more than %d prices", PRICES_MOST);
        }
        RETURN_IF_FAILED(price_read(call->given[i].value, &sides->prices[sides->price_count++]));
    }
    return status_ok();
}

/* A price for something that the model's materials do not know is a slip of the pen. */
static struct status check_prices(const struct side_by_side *sides, const struct model *model)
{
    const char **names = calloc(model->material_count + 2, sizeof *names);
    struct status status = names == NULL ? status_fail(STATUS_MEMORY, "no memory left for prices") : status_ok();
    for (size_t i = 0; names != NULL && i < model->material_count; i++) {
        names[i] = model->materials[i].name;
    }
    if (names != NULL) {
        names[model->material_count] = "water";
    }
    for (size_t i = 0; status_is_ok(&status) && i < sides->price_count; i++) {
        const char *name = sides->prices[i].material;
        if (word_index(name, names) < 0) {
            const char *nearest = word_nearest(name, names);
            status = status_fail(STATUS_USAGE, "'--price=%.60s' names no material; %s%s%s", name,
                                 nearest != NULL ? "did you mean '" : "'vatcast materials' lists them",
                                 nearest != NULL ? nearest : "", nearest != NULL ? "'?" : "");
        }
    }
    free(names);
    return status;
}

static struct status run_one(const struct call *call, const char *path, struct side_by_side *sides)
{
    struct scenario scenario;
    struct result result;
    struct progress progress;
    RETURN_IF_FAILED(option_scenario(call, path, &scenario));
    struct status status = check_prices(sides, &scenario.model);
    if (status_is_ok(&status)) {
        progress_begin(&progress, option_given(call, "quiet"));
        struct run_options how = {.progress = progress_show, .progress_context = &progress, .stop = call->stop};
        status = run_scenario(&scenario, &how, &result);
        progress_end(&progress);
        if (status_is_ok(&status)) {
            outcome_read(&scenario, &result, sides->shade, sides->prices, sides->price_count,
                         &sides->outcomes[sides->count++]);
        } else {
            status = status_context(status, "running '%.200s'", path);
        }
        result_free(&result);
    }
    scenario_free(&scenario);
    return status;
}

/* Two files of one name in two folders are told apart by number. */
static void tell_apart(struct side_by_side *sides)
{
    for (size_t i = 1; i < sides->count; i++) {
        for (size_t k = 0; k < i; k++) {
            if (strcmp(sides->outcomes[i].name, sides->outcomes[k].name) == 0) {
                char *name = sides->outcomes[i].name;
                size_t length = strlen(name);
                length = length > NAME_SIZE - 8 ? NAME_SIZE - 8 : length;
                (void)snprintf(name + length, NAME_SIZE - length, " (%zu)", i + 1);
            }
        }
    }
}

/* ---- telling ---------------------------------------------------------------------------------------------------- */

static void print_cell(const struct compare_figure *figure, double value)
{
    char text[40];
    if (isfinite(value)) {
        (void)snprintf(text, sizeof text, "%.*f", figure->decimals, value);
    } else {
        (void)snprintf(text, sizeof text, "-");
    }
    printf("%*s", CELL_WIDTH, text);
}

/* A name cut to fit a cell, keeping its end, which tells like names apart. */
static void print_name(const char *name)
{
    const int room = CELL_WIDTH - 1;
    int length = (int)strlen(name);
    if (length <= room) {
        printf("%*s", CELL_WIDTH, name);
    } else {
        printf(" ..%s", name + length - (room - 2));
    }
}

/* Letters that all names begin with, up to a dash or the like. */
static size_t common_beginning(const struct side_by_side *sides)
{
    size_t common = 0;
    const char *name = sides->outcomes[0].name;
    for (size_t at = 0; name[at] != '\0'; at++) {
        for (size_t i = 1; i < sides->count; i++) {
            if (strncmp(sides->outcomes[i].name, name, at + 1) != 0) {
                return common;
            }
        }
        common = strchr("-_ ", name[at]) != NULL ? at + 1 : common;
    }
    return 0;
}

/* The outcomes from `first` up to `end` of the order, side by side. */
static void print_block(const struct side_by_side *sides, size_t first, size_t end)
{
    double values[CELLS_MOST][COMPARE_FIGURE_COUNT];
    size_t common = common_beginning(sides);
    printf("%-*s", LABEL_WIDTH, "");
    for (size_t i = first; i < end; i++) {
        print_name(sides->outcomes[sides->order[i]].name + common);
        compare_figures_of(&sides->outcomes[sides->order[i]], values[i - first]);
    }
    printf("\n");
    for (int f = 0; f < COMPARE_FIGURE_COUNT; f++) {
        const struct compare_figure *figure = &compare_figures[f];
        if (figure->label[0] == '\0' || (strcmp(figure->key, "cost") == 0 && sides->price_count == 0)) {
            continue;
        }
        bool head = figure->label[0] >= 'A' && figure->label[0] <= 'Z';
        printf("%s%-*s", head ? "" : "  ", head ? LABEL_WIDTH : LABEL_WIDTH - 2, figure->label);
        for (size_t i = first; i < end; i++) {
            print_cell(figure, values[i - first][f]);
        }
        printf("\n");
    }
    printf("\n");
}

static void print_failures(const struct side_by_side *sides)
{
    for (size_t i = 0; i < sides->count; i++) {
        const struct outcome *outcome = &sides->outcomes[sides->order[i]];
        char failure[200];
        char line[400];
        compare_failure(outcome, failure, sizeof failure);
        (void)snprintf(line, sizeof line, "%s: %s", outcome->name, failure);
        print_row(stdout, i == 0 ? "Failed" : "", TELL_INDENT, line);
    }
}

static void print_ranking(const struct side_by_side *sides)
{
    struct text text = {0};
    for (size_t i = 0; i < sides->count; i++) {
        text_join(&text, ", ", "%zu. %s", i + 1, sides->outcomes[sides->order[i]].name);
    }
    char first[100];
    (void)snprintf(first, sizeof first, "by %s: ", goal_phrases[sides->goal]);
    struct text line = {0};
    text_add(&line, "%s%s", first, text_string(&text));
    print_row(stdout, "Ranking", TELL_INDENT, text_string(&line));
    text_free(&line);
    text_free(&text);
}

static void explain(const struct side_by_side *sides, size_t other, char text[EXPLANATION_SIZE])
{
    compare_explain(&sides->outcomes[sides->order[0]], &sides->outcomes[sides->order[other]], sides->goal, text,
                    EXPLANATION_SIZE);
}

static void print_table(const struct side_by_side *sides)
{
    for (size_t first = 0; first < sides->count; first += CELLS_MOST) {
        size_t end = first + CELLS_MOST < sides->count ? first + CELLS_MOST : sides->count;
        print_block(sides, first, end);
    }
    print_failures(sides);
    print_ranking(sides);
    for (size_t i = 1; i < sides->count; i++) {
        char text[EXPLANATION_SIZE];
        explain(sides, i, text);
        print_row(stdout, i == 1 ? "Why" : "", TELL_INDENT, text);
    }
    for (size_t i = 0; i < sides->count; i++) {
        if (sides->outcomes[i].unpriced > 0) {
            print_row(stdout, "Note", TELL_INDENT, "some materials have no price and are not in the cost");
            break;
        }
    }
}

static void print_csv_text(const char *text)
{
    putchar('"');
    for (; *text != '\0'; text++) {
        if (*text == '"') {
            putchar('"');
        }
        putchar(*text);
    }
    putchar('"');
}

static void print_csv(const struct side_by_side *sides)
{
    printf("rank,scenario");
    for (int f = 0; f < COMPARE_FIGURE_COUNT; f++) {
        printf(",%s [%s]", compare_figures[f].key, compare_figures[f].unit);
    }
    printf(",first_failed\r\n");
    for (size_t i = 0; i < sides->count; i++) {
        const struct outcome *outcome = &sides->outcomes[sides->order[i]];
        double values[COMPARE_FIGURE_COUNT];
        char failure[200];
        compare_figures_of(outcome, values);
        compare_failure(outcome, failure, sizeof failure);
        printf("%zu,", i + 1);
        print_csv_text(outcome->name);
        for (int f = 0; f < COMPARE_FIGURE_COUNT; f++) {
            printf(isfinite(values[f]) ? ",%.10g" : ",", values[f]);
        }
        putchar(',');
        print_csv_text(failure);
        printf("\r\n");
    }
}

static struct status print_json(const struct side_by_side *sides)
{
    json_t *tree = json_object();
    json_put_text(tree, "goal", goal_words[sides->goal]);
    json_t *list = json_put_list(tree, "ranking");
    for (size_t i = 0; i < sides->count; i++) {
        const struct outcome *outcome = &sides->outcomes[sides->order[i]];
        double values[COMPARE_FIGURE_COUNT];
        char text[EXPLANATION_SIZE];
        json_t *item = json_object();
        compare_figures_of(outcome, values);
        json_put_text(item, "scenario", outcome->name);
        json_put_text(item, "title", outcome->title);
        json_t *figures = json_put_object(item, "figures");
        json_t *units = i == 0 ? json_put_object(tree, "units") : NULL;
        for (int f = 0; f < COMPARE_FIGURE_COUNT; f++) {
            json_put_number(figures, compare_figures[f].key, values[f]);
            if (units != NULL) {
                json_put_text(units, compare_figures[f].key, compare_figures[f].unit);
            }
        }
        compare_failure(outcome, text, sizeof text);
        json_put_text(item, "first_failed", text);
        if (i > 0) {
            explain(sides, i, text);
            json_put_text(item, "why_behind_the_first", text);
        }
        (void)json_array_append_new(list, item);
    }
    return json_print(tree);
}

/* ---- the verb --------------------------------------------------------------------------------------------------- */

static struct status read_options(const struct call *call, struct side_by_side *sides)
{
    int goal = GOAL_CLOTH;
    RETURN_IF_FAILED(option_word(call, "goal", goal_words, &goal));
    RETURN_IF_FAILED(option_shade(call, "shade", &sides->shade));
    sides->goal = (enum goal)goal;
    if (option_given(call, "json") && option_given(call, "csv")) {
        return status_fail(STATUS_USAGE, "--json and --csv exclude each other");
    }
    return read_prices(call, sides);
}

static struct status act(const struct call *call)
{
    struct side_by_side sides = {.shade = SHADE_COUNT};
    RETURN_IF_FAILED(read_options(call, &sides));
    sides.outcomes = calloc(call->operand_count, sizeof *sides.outcomes);
    struct status status =
        sides.outcomes == NULL ? status_fail(STATUS_MEMORY, "no memory left to compare") : status_ok();
    call->watch_signals();
    for (size_t i = 0; status_is_ok(&status) && i < call->operand_count; i++) {
        status = run_one(call, call->operands[i], &sides);
    }
    if (status_is_ok(&status)) {
        tell_apart(&sides);
        compare_rank(sides.outcomes, sides.count, sides.goal, sides.order);
        if (option_given(call, "json")) {
            status = print_json(&sides);
        } else if (option_given(call, "csv")) {
            print_csv(&sides);
        } else {
            print_table(&sides);
        }
    }
    free(sides.outcomes);
    return status;
}

const struct verb verb_compare = {
    .name = "compare",
    .operands = "SCENARIO SCENARIO...",
    .summary = "run scenarios side by side and say which serves a goal best, and why",
    .about = "Runs each scenario and sets side by side what was dyed, how the vat fared, what was used and where it "
             "went, and "
             "the work it took; ranks them by the goal, and says from their ledgers what makes the difference. "
             "docs/compare.md walks through a question.",
    .options = options,
    .operands_least = 2,
    .operands_most = COMPARED_MOST,
    .act = act,
};
