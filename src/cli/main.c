/* main.c: the program vatcast: finds the verb, hands it its command line, turns its status into an exit status. */
#include "cli/models_folder.h"
#include "cli/options.h"
#include "cli/terminal.h"
#include "cli/verbs.h"

#include <gsl/gsl_errno.h>

#include <errno.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>

#ifndef VATCAST_VERSION
#define VATCAST_VERSION "0.1.0"
#endif

static const struct verb *const verbs[] = {
    &verb_run,     &verb_check,    &verb_show,   &verb_report,   &verb_plot,  &verb_export,    &verb_rehearse, &verb_lesson,
    &verb_advise,  &verb_compare, &verb_capacity, &verb_workshop, &verb_sweep, &verb_merge, &verb_processes, &verb_materials,
};
#define VERB_COUNT (sizeof verbs / sizeof verbs[0])

static volatile sig_atomic_t stop_flag; /* the one variable that outlives a call: a signal handler needs it */

static void ask_to_stop(int signal_number)
{
    __atomic_store_n(&stop_flag, signal_number, __ATOMIC_RELAXED); /* the threads of a sweep read it */
}

/* The first signal lets the run end in order; a second one ends the program at once. */
static void watch_signals(void)
{
    __atomic_store_n(&stop_flag, 0, __ATOMIC_RELAXED);
    struct sigaction action = {.sa_handler = ask_to_stop, .sa_flags = (int)SA_RESETHAND};
    (void)sigemptyset(&action.sa_mask);
    (void)sigaction(SIGINT, &action, NULL);
    (void)sigaction(SIGTERM, &action, NULL);
}

static void print_help(FILE *out)
{
    fputs("Usage: vatcast VERB [OPTION]... [FILE]...\n\n"
          "Simulates a natural indigo vat over weeks: you write down the vat, the cloth\n"
          "and the calendar, and see what becomes of the indigo, the sugar, the lime and\n"
          "the blue.\n\nVerbs:\n",
          out);
    for (size_t i = 0; i < VERB_COUNT; i++) {
        char name[40];
        (void)snprintf(name, sizeof name, "  %s", verbs[i]->name);
        print_row(out, name, 14, verbs[i]->summary);
    }
    fputs("\n'vatcast VERB --help' tells more about a verb; 'vatcast --version' prints the\n"
          "version.\n\n"
          "Exit status:\n"
          "  0   done\n"
          "  2   the command line was wrong\n"
          "  3   a scenario, model, materials or fibres file was wrong\n"
          "  4   a file could not be read or written\n"
          "  5   the calculation failed, or the vat left the range of the model\n"
          "  6   a limit of size, number or time was passed\n"
          "  7   no memory left\n"
          "  8   interrupted; what was done so far is in NAME.partial.h5 (a sweep\n"
          "      goes on when the same command is given again)\n"
          "  70  a fault of the program; please report it\n\n"
          "Models are looked up in the folder named by VATCAST_MODELS when it is set.\n",
          out);
}

static struct status run_verb(const struct verb *verb, int argc, char **argv)
{
    char models_folder[4096];
    struct call call;
    struct status status = call_parse(&call, verb, argc, argv);
    if (status_is_ok(&status) && call.help) {
        verb_print_help(stdout, verb);
    } else if (status_is_ok(&status)) {
        models_folder_find(models_folder, sizeof models_folder);
        call.models_folder = models_folder;
        call.colour = terminal_colour(option_value(&call, "color", "auto"));
        call.stop = &stop_flag;
        call.watch_signals = watch_signals;
        status = verb->act(&call);
    }
    call_free(&call);
    return status;
}

static struct status choose_verb(int argc, char **argv)
{
    const char *word = argc > 1 ? argv[1] : "";
    if (strcmp(word, "--help") == 0 || strcmp(word, "-h") == 0) {
        print_help(stdout);
        return status_ok();
    }
    if (strcmp(word, "--version") == 0 || strcmp(word, "-V") == 0) {
        fputs("vatcast " VATCAST_VERSION "\n"
              "Licence GPL-3.0-or-later: free to use, change and pass on; no warranty.\n",
              stdout);
        return status_ok();
    }
    if (word[0] == '\0') {
        return status_fail(STATUS_USAGE, "a verb is missing; try 'vatcast --help'");
    }
    for (size_t i = 0; i < VERB_COUNT; i++) {
        if (strcmp(word, verbs[i]->name) == 0) {
            return run_verb(verbs[i], argc - 1, argv + 1);
        }
    }
    return status_fail(STATUS_USAGE, "'%.100s' is no verb; try 'vatcast --help'", word);
}

/* A full disk or a closed pipe behind stdout must not pass for success. */
static struct status close_output(struct status status)
{
    bool failed = ferror(stdout) != 0;
    errno = 0;
    if (fflush(stdout) != 0 || failed || fclose(stdout) != 0) {
        struct status lost = status_fail(STATUS_IO, "what was to be printed could not be written: %s",
                                         errno != 0 ? strerror(errno) : "output error");
        return status_is_ok(&status) ? lost : status;
    }
    return status;
}

int main(int argc, char **argv)
{
    (void)gsl_set_error_handler_off();
    (void)signal(SIGXFSZ, SIG_IGN); /* a limit of file sizes is told like a full disk */
    struct status status = close_output(choose_verb(argc, argv));
    if (!status_is_ok(&status) && status.message[0] != '\0') {
        fprintf(stderr, "vatcast: %s\n", status.message);
    }
    return (int)status.code;
}
