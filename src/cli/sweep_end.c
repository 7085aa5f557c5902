/* sweep_end.c: see sweep_end.h. */
#include "cli/sweep_end.h"

#include "cli/sweep_text.h"
#include "study/figures.h"

#include <math.h>
#include <unistd.h>

struct status sweep_end(struct sweep_about *about, struct journal *const *journals, size_t count, const char *output,
                        const char *left, bool force, bool quiet, bool colour)
{
    struct table percentiles = {.name = "percentiles",
                                .about = "percentiles of the figures over the members that have them",
                                .residual_relative = NAN};
    RETURN_IF_FAILED(sweep_load_members(about, journals, count));
    struct status status = figures_percentiles(&about->members, &percentiles);
    if (status_is_ok(&status)) {
        status = sweep_file_write(about, journals, count, &percentiles, output, force);
    }
    if (status_is_ok(&status) && left != NULL) {
        (void)unlink(left);
    }
    if (status_is_ok(&status) && !quiet) {
        sweep_print(about, &percentiles, output, colour);
    }
    table_free(&percentiles);
    return status;
}
