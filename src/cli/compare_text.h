/* compare_text.h: outcomes side by side, ranked and explained: as a table for the screen, CSV, JSON, and the verdict of a
 * report.
 */
#ifndef VATCAST_CLI_COMPARE_TEXT_H
#define VATCAST_CLI_COMPARE_TEXT_H

#include "study/compare.h"

#include <stdio.h>

#define COMPARED_MOST 20

struct side_by_side {
    enum goal goal;
    bool with_prices;
    struct outcome outcomes[COMPARED_MOST];
    size_t count;
    size_t order[COMPARED_MOST]; /* best first; filled by compare_settle */
};

/* Tells outcomes of one name apart by number and ranks them. */
void compare_settle(struct side_by_side *sides);

/* Table, failures, ranking and reasons, 80 columns wide. */
void compare_print(const struct side_by_side *sides);
/* A row for each outcome, best first; RFC 4180. */
void compare_print_csv(const struct side_by_side *sides);
struct status compare_print_json(const struct side_by_side *sides) MUST_USE;

/* The failures, the ranking and the reasons, as lines of `label TAB words`. */
void compare_write_verdict(FILE *out, const struct side_by_side *sides);

#endif
