/* capacity_text.h: the answer of the capacity study as words, JSON and CSV. */
#ifndef VATCAST_CLI_CAPACITY_TEXT_H
#define VATCAST_CLI_CAPACITY_TEXT_H

#include "study/capacity.h"

#define CAPACITY_WEIGHTS 4
#define MEMBERS_ASKED_MOST 64

struct capacity_answer {
    const struct scenario *scenario;
    struct capacity_question question;
    struct capacity capacity;
    int weights; /* of cloth, told in the table */
    struct capacity_by_weight by_weight[CAPACITY_WEIGHTS];
};

void capacity_print(const struct capacity_answer *answer);
void capacity_print_csv(const struct capacity_answer *answer);
struct status capacity_print_json(const struct capacity_answer *answer) MUST_USE;

#endif
