/* options.c: see options.h. */
#include "cli/options.h"

#include "cli/text.h"

#include <getopt.h>
#include <stdlib.h>
#include <string.h>

#define FIRST_VALUE 1000
#define HELP_COLUMN 26

static const struct option_spec common_options[] = {
    {'h', "help", NULL, "print this help and end"},
    {0, "color", "WHEN", "colour on the screen: auto, always or never (default auto; NO_COLOR also turns it off)"},
    {0, NULL, NULL, NULL},
};

static const struct option_spec *spec_at(const struct verb *verb, size_t index)
{
    size_t own = 0;
    while (verb->options[own].name != NULL) {
        own++;
    }
    if (index < own) {
        return &verb->options[index];
    }
    return &common_options[index - own]; /* ends with its zeroed entry */
}

static size_t spec_count(const struct verb *verb)
{
    size_t count = 0;
    while (spec_at(verb, count)->name != NULL) {
        count++;
    }
    return count;
}

static const struct option_spec *spec_of(const struct verb *verb, int value)
{
    for (size_t i = 0; spec_at(verb, i)->name != NULL; i++) {
        if (value == FIRST_VALUE + (int)i || (value > 0 && value == spec_at(verb, i)->letter)) {
            return spec_at(verb, i);
        }
    }
    return NULL;
}

/* The tables that getopt_long wants: `longs` of count + 1, `shorts` of 2 * count + 2 characters. */
static void fill_getopt(const struct verb *verb, struct option *longs, char *shorts)
{
    *shorts++ = ':';
    for (size_t i = 0; spec_at(verb, i)->name != NULL; i++) {
        const struct option_spec *spec = spec_at(verb, i);
        longs[i] = (struct option){.name = spec->name,
                                   .has_arg = spec->argument != NULL ? required_argument : no_argument,
                                   .val = FIRST_VALUE + (int)i};
        if (spec->letter != 0) {
            *shorts++ = spec->letter;
            if (spec->argument != NULL) {
                *shorts++ = ':';
            }
        }
    }
    *shorts = '\0';
}

static struct status wrong_option(const struct verb *verb, int value, const char *argument)
{
    if (value == ':') {
        return status_fail(STATUS_USAGE, "option '%s' needs a value; try 'vatcast %s --help'", argument, verb->name);
    }
    const struct option_spec *spec = optopt >= FIRST_VALUE ? spec_of(verb, optopt) : NULL;
    if (spec != NULL) {
        return status_fail(STATUS_USAGE, "option '--%s' takes no value; try 'vatcast %s --help'", spec->name,
                           verb->name);
    }
    if (optopt > 0 && optopt < FIRST_VALUE) {
        return status_fail(STATUS_USAGE, "option '-%c' is unknown; try 'vatcast %s --help'", optopt, verb->name);
    }
    return status_fail(STATUS_USAGE, "option '%s' is unknown or cut too short; try 'vatcast %s --help'", argument,
                       verb->name);
}

static struct status check_operands(const struct call *call)
{
    const struct verb *verb = call->verb;
    if (call->help) {
        return status_ok();
    }
    if (call->operand_count < verb->operands_least) {
        return status_fail(STATUS_USAGE, "'vatcast %s' needs %s; try 'vatcast %s --help'", verb->name, verb->operands,
                           verb->name);
    }
    if (call->operand_count > verb->operands_most) {
        return status_fail(STATUS_USAGE, "'%.100s' is one word too many; try 'vatcast %s --help'",
                           call->operands[verb->operands_most], verb->name);
    }
    const char *colour = option_value(call, "color", "auto");
    if (strcmp(colour, "auto") != 0 && strcmp(colour, "always") != 0 && strcmp(colour, "never") != 0) {
        return status_fail(STATUS_USAGE, "'--color=%.40s' is not known; expected auto, always or never", colour);
    }
    return status_ok();
}

struct status call_parse(struct call *call, const struct verb *verb, int argc, char **argv)
{
    *call = (struct call){.verb = verb};
    size_t count = spec_count(verb);
    struct option *longs = calloc(count + 1, sizeof *longs);
    char *shorts = calloc(2 * count + 2, 1);
    call->given = calloc((size_t)argc, sizeof *call->given);
    size_t given = 0;
    struct status status = status_ok();
    if (longs == NULL || shorts == NULL || call->given == NULL) {
        status = status_fail(STATUS_MEMORY, "no memory left to read the command line");
    } else {
        fill_getopt(verb, longs, shorts);
        opterr = 0;
        optind = 1;
        int value;
        while (status_is_ok(&status) && (value = getopt_long(argc, argv, shorts, longs, NULL)) != -1) {
            const struct option_spec *spec = value == '?' || value == ':' ? NULL : spec_of(verb, value);
            if (spec == NULL) {
                status = wrong_option(verb, value, argv[optind - 1]);
            } else {
                call->given[given++] = (struct given_option){spec, spec->argument != NULL ? optarg : NULL};
            }
        }
        call->given_count = given;
        call->help = option_given(call, "help");
        call->operands = argv + optind;
        call->operand_count = (size_t)(argc - optind);
    }
    free(longs);
    free(shorts);
    return status_is_ok(&status) ? check_operands(call) : status;
}

void call_free(struct call *call)
{
    free(call->given);
    call->given = NULL;
    call->given_count = 0;
}

bool option_given(const struct call *call, const char *name)
{
    for (size_t i = 0; i < call->given_count; i++) {
        if (strcmp(call->given[i].spec->name, name) == 0) {
            return true;
        }
    }
    return false;
}

const char *option_value(const struct call *call, const char *name, const char *otherwise)
{
    const char *value = otherwise;
    for (size_t i = 0; i < call->given_count; i++) {
        if (strcmp(call->given[i].spec->name, name) == 0) {
            value = call->given[i].value;
        }
    }
    return value;
}

void print_row(FILE *out, const char *name, int indent, const char *text)
{
    struct text_style plain = {.width = TEXT_WIDTH};
    text_print_wrapped(out, &plain, name, indent, text, TEXT_WIDTH, "");
}

void verb_print_help(FILE *out, const struct verb *verb)
{
    fprintf(out, "Usage: vatcast %s [OPTION]...%s%s\n\n", verb->name, verb->operands[0] != '\0' ? " " : "",
            verb->operands);
    print_row(out, "", 0, verb->about);
    fputs("\nOptions:\n", out);
    for (size_t i = 0; spec_at(verb, i)->name != NULL; i++) {
        const struct option_spec *spec = spec_at(verb, i);
        char name[60];
        char letter[5] = "    ";
        if (spec->letter != 0) {
            (void)snprintf(letter, sizeof letter, "-%c, ", spec->letter);
        }
        (void)snprintf(name, sizeof name, "  %s--%s%s%s", letter, spec->name, spec->argument != NULL ? "=" : "",
                       spec->argument != NULL ? spec->argument : "");
        print_row(out, name, HELP_COLUMN, spec->help);
    }
}
