/* verbs.h: command lines whose allocations fail, each with what it writes and what a failed one may leave. */
#ifndef VATCAST_TESTS_FAULTS_VERBS_H
#define VATCAST_TESTS_FAULTS_VERBS_H

#include <stdbool.h>
#include <stddef.h>

#define ARGUMENTS_MOST 16

/* The working folder has the folder out, for what is written, and beside it the folder in, with what was made before. */
struct verb_case {
    const char *name; /* of the test */
    const char *arguments[ARGUMENTS_MOST];
    const char *input;                   /* what stands on stdin; NULL: nothing */
    const char *leaves;                  /* how the name ends of what a failure may leave in out; NULL: nothing */
    const char *goes_on[ARGUMENTS_MOST]; /* what goes on from that; none: the same command */
    const char *tells;                   /* what that prints somewhere; NULL: it does not matter */
    bool one_by_one;                     /* several files, each whole, but the first may be there without the last */
    bool has_threads; /* real ones, so that the n-th allocation is not the same one each time; all others keep to one */
    bool firsts_only; /* in the suite the first by each chain of calls only: the last takes long */
    bool in_brief;    /* in the suite only some of those that need a run from the start are tried, evenly spread */
};

/* Those that make what stands in the folder in, in order; then those to be tried. */
extern const struct verb_case verb_makers[];
extern const size_t verb_maker_count;
extern const struct verb_case verb_cases[];
extern const size_t verb_case_count;

#endif
