/* compare_text.c: see compare_text.h. */
#include "cli/compare_text.h"

#include "cli/compare_figures.h"
#include "cli/json.h"
#include "cli/options.h"
#include "cli/text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LABEL_WIDTH 27
#define CELL_LEAST 13 /* columns */
#define CELL_MOST 26
#define CELLS_MOST ((TEXT_WIDTH - LABEL_WIDTH) / CELL_LEAST) /* beside each other */
#define TELL_INDENT 9
#define EXPLANATION_SIZE 1200

/* Outcomes of one name are told apart by number. */
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

void compare_settle(struct side_by_side *sides)
{
    tell_apart(sides);
    compare_rank(sides->outcomes, sides->count, sides->goal, sides->order);
}

static const struct outcome *placed(const struct side_by_side *sides, size_t place)
{
    return &sides->outcomes[sides->order[place]];
}

/* ---- the table -------------------------------------------------------------------------------------------------- */

static void print_cell(const struct compare_figure *figure, double value, int width)
{
    char text[40];
    if (isfinite(value)) {
        (void)snprintf(text, sizeof text, "%.*f", figure->decimals, value);
    } else {
        (void)snprintf(text, sizeof text, "-");
    }
    printf("%*s", width, text);
}

/* A name cut to fit a cell, keeping its end, which tells like names apart. */
static void print_name(const char *name, int width)
{
    int length = text_columns(name);
    if (length < width) {
        printf("%*s%s", width - length, "", name);
    } else {
        const char *end = name + strlen(name);
        while (text_columns(end) < width - 3) {
            end--;
        }
        printf(" ..%s", end);
    }
}

/* Columns of a cell, so that the longest name fits with a space before it. */
static int cell_width(const struct side_by_side *sides)
{
    int width = CELL_LEAST;
    for (size_t i = 0; i < sides->count; i++) {
        int needed = text_columns(sides->outcomes[i].name) + 2;
        width = needed > width ? needed : width;
    }
    return width > CELL_MOST ? CELL_MOST : width;
}

/* The outcomes from `first` up to `end` of the order, side by side. */
static void print_block(const struct side_by_side *sides, size_t first, size_t end, int width)
{
    double values[CELLS_MOST][COMPARE_FIGURE_COUNT];
    printf("%-*s", LABEL_WIDTH, "");
    for (size_t i = first; i < end; i++) {
        print_name(placed(sides, i)->name, width);
        compare_figures_of(placed(sides, i), values[i - first]);
    }
    printf("\n");
    for (int f = 0; f < COMPARE_FIGURE_COUNT; f++) {
        const struct compare_figure *figure = &compare_figures[f];
        if (figure->label[0] == '\0' || (strcmp(figure->key, "cost") == 0 && !sides->with_prices)) {
            continue;
        }
        const char *label = compare_label(f, sides->outcomes, sides->count);
        bool head = label[0] >= 'A' && label[0] <= 'Z';
        printf("%s%-*s", head ? "" : "  ", head ? LABEL_WIDTH : LABEL_WIDTH - 2, label);
        for (size_t i = first; i < end; i++) {
            print_cell(figure, values[i - first][f], width);
        }
        printf("\n");
    }
    printf("\n");
}

/* ---- the verdict ------------------------------------------------------------------------------------------------ */

static void explain(const struct side_by_side *sides, size_t place, char text[EXPLANATION_SIZE])
{
    compare_explain(placed(sides, 0), placed(sides, place), sides->goal, text, EXPLANATION_SIZE);
}

/* Hands over each line of the verdict. */
static void each_line(const struct side_by_side *sides,
                      void (*line)(void *context, const char *label, const char *words), void *context)
{
    struct text words = {0};
    for (size_t i = 0; i < sides->count; i++) {
        text_join(&words, ", then ", "%s", placed(sides, i)->name);
    }
    struct text ranking = {0};
    text_add(&ranking, "%s: %s", goal_phrases[sides->goal], text_string(&words));
    line(context, "Ranking", text_string(&ranking));
    for (size_t i = 1; i < sides->count; i++) {
        char why[EXPLANATION_SIZE];
        explain(sides, i, why);
        line(context, i == 1 ? "Why" : "", why);
    }
    for (size_t i = 0; i < sides->count; i++) {
        char failure[200];
        compare_failure(placed(sides, i), failure, sizeof failure);
        text_clear(&words);
        text_add(&words, "%s: %s", placed(sides, i)->name, failure);
        line(context, i == 0 ? "Failed" : "", text_string(&words));
    }
    text_free(&ranking);
    text_free(&words);
}

static void print_line(void *context, const char *label, const char *words)
{
    (void)context;
    struct text_style plain = {.width = TEXT_WIDTH};
    text_print_wrapped(stdout, &plain, label, TELL_INDENT, words, TEXT_WIDTH, "");
}

static void write_line(void *context, const char *label, const char *words)
{
    fprintf(context, "%s\t%s\n", label, words);
}

void compare_write_verdict(FILE *out, const struct side_by_side *sides)
{
    each_line(sides, write_line, out);
}

void compare_print(const struct side_by_side *sides)
{
    int width = cell_width(sides);
    size_t beside = (size_t)((TEXT_WIDTH - LABEL_WIDTH) / width);
    for (size_t first = 0; first < sides->count; first += beside) {
        print_block(sides, first, first + beside < sides->count ? first + beside : sides->count, width);
    }
    each_line(sides, print_line, NULL);
    bool is_done = false;
    bool is_short = true;
    for (size_t i = 0; i < sides->count; i++) {
        is_done = is_done || !isnan(sides->outcomes[i].done_at);
        is_short = is_short && sides->outcomes[i].pieces_at_shade < sides->outcomes[i].pieces;
    }
    if (is_short && !is_done) {
        print_line(NULL, "Note", "none brings all cloth to its shade; 'vatcast capacity' says how far the powder goes");
    }
    for (size_t i = 0; i < sides->count; i++) {
        if (sides->with_prices && sides->outcomes[i].unpriced > 0) {
            print_line(NULL, "Note", "some materials have no price and are not in the cost");
            break;
        }
    }
}

/* ---- for other programs ----------------------------------------------------------------------------------------- */

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

void compare_print_csv(const struct side_by_side *sides)
{
    printf("rank,name");
    for (int f = 0; f < COMPARE_FIGURE_COUNT; f++) {
        printf(",%s (%s)", compare_figures[f].key, compare_figures[f].unit);
    }
    printf(",first_failed\r\n");
    for (size_t i = 0; i < sides->count; i++) {
        double values[COMPARE_FIGURE_COUNT];
        char failure[200];
        compare_figures_of(placed(sides, i), values);
        compare_failure(placed(sides, i), failure, sizeof failure);
        printf("%zu,", i + 1);
        print_csv_text(placed(sides, i)->name);
        for (int f = 0; f < COMPARE_FIGURE_COUNT; f++) {
            if (isfinite(values[f])) {
                printf(",%.10g", values[f]);
            } else {
                putchar(',');
            }
        }
        putchar(',');
        print_csv_text(failure);
        printf("\r\n");
    }
}

struct status compare_print_json(const struct side_by_side *sides)
{
    json_t *tree = json_object();
    json_put_text(tree, "goal", goal_words[sides->goal]);
    json_t *units = json_put_object(tree, "units");
    for (int f = 0; f < COMPARE_FIGURE_COUNT; f++) {
        json_put_text(units, compare_figures[f].key, compare_figures[f].unit);
    }
    json_t *list = json_put_list(tree, "ranking");
    for (size_t i = 0; i < sides->count; i++) {
        double values[COMPARE_FIGURE_COUNT];
        char text[EXPLANATION_SIZE];
        json_t *item = json_append_object(list);
        compare_figures_of(placed(sides, i), values);
        json_put_text(item, "name", placed(sides, i)->name);
        json_put_text(item, "title", placed(sides, i)->title);
        json_t *figures = json_put_object(item, "figures");
        for (int f = 0; f < COMPARE_FIGURE_COUNT; f++) {
            json_put_number(figures, compare_figures[f].key, values[f]);
        }
        compare_failure(placed(sides, i), text, sizeof text);
        json_put_text(item, "first_failed", text);
        if (i > 0) {
            explain(sides, i, text);
            json_put_text(item, "why_behind_the_first", text);
        }
    }
    return json_print(tree);
}
