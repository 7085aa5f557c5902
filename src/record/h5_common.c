/* h5_common.c: see h5_common.h. */
#include "record/h5_common.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

struct h5_quiet h5_quiet_begin(void)
{
    struct h5_quiet quiet = {NULL, NULL};
    (void)H5open();
    (void)H5Eget_auto2(H5E_DEFAULT, &quiet.function, &quiet.data);
    (void)H5Eset_auto2(H5E_DEFAULT, NULL, NULL);
    return quiet;
}

void h5_quiet_end(const struct h5_quiet *quiet)
{
    (void)H5Eset_auto2(H5E_DEFAULT, quiet->function, quiet->data);
}

static herr_t keep_innermost(unsigned index, const H5E_error2_t *error, void *context)
{
    char *text = context;
    (void)index;
    if (text[0] == '\0' && error->desc != NULL) {
        (void)snprintf(text, 160, "%s", error->desc);
    }
    return 0;
}

struct status h5_fail(const char *doing, const char *object)
{
    char reason[160] = "";
    (void)H5Ewalk2(H5E_DEFAULT, H5E_WALK_UPWARD, keep_innermost, reason);
    (void)H5Eclear2(H5E_DEFAULT);
    return status_fail(STATUS_IO, "%s '%.80s' failed: %s", doing, object,
                       reason[0] != '\0' ? reason : "no reason given");
}

herr_t h5_close(hid_t id)
{
    if (id < 0) {
        return 0;
    }
    switch (H5Iget_type(id)) {
    case H5I_FILE:
        return H5Fclose(id);
    case H5I_GROUP:
        return H5Gclose(id);
    case H5I_DATASET:
        return H5Dclose(id);
    case H5I_DATASPACE:
        return H5Sclose(id);
    case H5I_DATATYPE:
        return H5Tclose(id);
    case H5I_ATTR:
        return H5Aclose(id);
    case H5I_GENPROP_LST:
        return H5Pclose(id);
    default:
        return -1;
    }
}

struct status notes_to_table(const struct result *result, struct table *table)
{
    memset(table, 0, sizeof *table);
    table->residual_relative = NAN;
    (void)snprintf(table->name, sizeof table->name, "notes");
    (void)snprintf(table->about, sizeof table->about, "what the run had to say, in time order");
    RETURN_IF_FAILED(table_add_column(table, "time", "s", "time since start", NULL));
    RETURN_IF_FAILED(table_add_column(table, "kind", "1", "kind of note", NOTE_KIND_FLAGS));
    for (size_t i = 0; i < result->note_count; i++) {
        double row[2] = {result->notes[i].time, (double)result->notes[i].kind};
        RETURN_IF_FAILED(table_add_row(table, row, sizeof row / sizeof *row));
    }
    return status_ok();
}

size_t count_words(const char *words)
{
    size_t count = 0;
    while (*words != '\0') {
        words += strspn(words, " ");
        if (*words != '\0') {
            count++;
            words += strcspn(words, " ");
        }
    }
    return count;
}
