/* cmd_plot.c: vatcast plot: a few series of a result as one picture. */
#include "cli/verbs.h"
#include "record/plot.h"
#include "record/record.h"

#include <stdlib.h>
#include <string.h>

static const struct option_spec options[] = {
    {'s', "series", "NAME,...", "what is drawn, by the names of docs/result-format.md; one unit shares a panel"},
    {'o', "output", "FILE", "where the picture goes, ending in .svg or .png (default: beside the result, .svg)"},
    {0, "force", NULL, "replace a file that is there already"},
    {'q', "quiet", NULL, "print nothing but complaints"},
    {0, NULL, NULL, NULL},
};

static bool ends_with(const char *text, const char *ending)
{
    size_t length = strlen(text);
    size_t size = strlen(ending);
    return length >= size && strcmp(text + length - size, ending) == 0;
}

/* Splits the names at their commas in place. */
static struct status split_names(char *list, const char *names[PLOT_SERIES_MOST], size_t *count)
{
    *count = 0;
    for (char *name = list; name != NULL;) {
        char *comma = strchr(name, ',');
        if (comma != NULL) {
            *comma++ = '\0';
        }
        if (*count == PLOT_SERIES_MOST) {
            return status_fail(STATUS_USAGE, "'--series' takes up to %d names", PLOT_SERIES_MOST);
        }
        names[(*count)++] = name;
        name = comma;
    }
    return status_ok();
}

static struct status draw(const struct call *call, char *list, const char *output)
{
    const char *names[PLOT_SERIES_MOST];
    size_t count;
    struct result result;
    RETURN_IF_FAILED(split_names(list, names, &count));
    struct status status = record_read(call->operands[0], &result);
    if (status_is_ok(&status)) {
        status = plot_write(&result, names, count, ends_with(output, ".png") ? PLOT_PNG : PLOT_SVG, output,
                            option_given(call, "force"));
    }
    if (status_is_ok(&status) && !option_given(call, "quiet")) {
        printf("Picture  %s\n", output);
    }
    result_free(&result);
    return status;
}

static struct status act(const struct call *call)
{
    const char *named = option_value(call, "output", NULL);
    const char *series = option_value(call, "series", "ph,leuco,temperature");
    const char *input = call->operands[0];
    if (named != NULL && !ends_with(named, ".svg") && !ends_with(named, ".png")) {
        return status_fail(STATUS_USAGE, "'%.200s' ends in neither .svg nor .png, which are what is drawn", named);
    }
    char *list = strdup(series);
    size_t stem = strlen(input) - (ends_with(input, ".h5") ? 3 : 0);
    size_t size = (named != NULL ? strlen(named) : stem) + sizeof ".svg";
    char *output = malloc(size);
    struct status status;
    if (list == NULL || output == NULL) {
        status = status_fail(STATUS_MEMORY, "no memory left to name the picture");
    } else {
        if (named != NULL) {
            (void)snprintf(output, size, "%s", named);
        } else {
            (void)snprintf(output, size, "%.*s.svg", (int)stem, input);
        }
        status = draw(call, list, output);
    }
    free(list);
    free(output);
    return status;
}

const struct verb verb_plot = {
    .name = "plot",
    .operands = "RESULT",
    .summary = "draw a few series of a result as a picture",
    .about = "Draws series over the days of a run as a picture, SVG or PNG, for a handout or a paper, for instance "
             "'vatcast plot my-vat.h5 --series ph,leuco,temperature -o my-vat.svg'.",
    .options = options,
    .operands_least = 1,
    .operands_most = 1,
    .act = act,
};
