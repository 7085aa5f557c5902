/* options.h: the command line of a verb: one table per verb, from which parsing and --help both come. */
#ifndef VATCAST_CLI_OPTIONS_H
#define VATCAST_CLI_OPTIONS_H

#include "base/status.h"

#include <signal.h>
#include <stddef.h>
#include <stdio.h>

/* One option; a table ends with a zeroed one. */
struct option_spec {
    char letter;          /* 0: long only */
    const char *name;     /* long name, without dashes */
    const char *argument; /* its word in the help, or NULL when it takes none */
    const char *help;
};

struct call;

struct verb {
    const char *name;
    const char *operands; /* "SCENARIO...", for the usage line */
    const char *summary;  /* one line of `vatcast --help` */
    const char *about;    /* lines under the usage line of `vatcast VERB --help` */
    const struct option_spec *options;
    size_t operands_least, operands_most;
    struct status (*act)(const struct call *call); /* an empty message: all has been said */
};

struct given_option {
    const struct option_spec *spec;
    const char *value; /* NULL when it takes none */
};

/* A verb as it was called. */
struct call {
    const struct verb *verb;
    struct given_option *given; /* owned, in the order given */
    size_t given_count;
    char *const *operands; /* borrowed from argv */
    size_t operand_count;
    bool help;
    const char *models_folder;         /* where models are looked up */
    bool colour;                       /* of stdout */
    const volatile sig_atomic_t *stop; /* the number of the signal after SIGINT or SIGTERM, once watched; else 0 */
    void (*watch_signals)(void);       /* each of them once; the flag is lowered */
};

/* Parses argv[1 ...] (argv[0] is the verb). STATUS_USAGE with what was wrong. Freed with call_free. */
struct status call_parse(struct call *call, const struct verb *verb, int argc, char **argv) MUST_USE;
void call_free(struct call *call);

bool option_given(const struct call *call, const char *name);
/* The last value given, or `otherwise`. */
const char *option_value(const struct call *call, const char *name, const char *otherwise);

void verb_print_help(FILE *out, const struct verb *verb);

/* Prints `name` and `text` as a row: the text begins at column `indent` and is wrapped to 80 columns. */
void print_row(FILE *out, const char *name, int indent, const char *text);

#endif
