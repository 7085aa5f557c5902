/* report.c: see report.h. */
#include "record/report.h"

#include "base/file.h"
#include "record/markup.h"
#include "record/page_parts.h"
#include "record/publish.h"
#include "record/report_data.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MARK "@@"
#define MARK_SIZE 60

static const struct page_part *part_named(const char *name)
{
    for (const struct page_part *part = page_parts; part->name != NULL; part++) {
        if (strcmp(part->name, name) == 0) {
            return part;
        }
    }
    return NULL;
}

static void write_title(FILE *out, const struct report_run *runs, size_t count)
{
    const char *title = runs[0].result->title;
    markup_write_text(out, title[0] != '\0' ? title : runs[0].name);
    if (count > 1) {
        fprintf(out, " and %zu more", count - 1);
    }
}

/* Copies the template; a mark @@NAME@@ stands for the title, the data, or the part of that name. */
static struct status write_page(FILE *out, const struct report_run *runs, size_t count, const char *json)
{
    const struct page_part *page = part_named("page.html");
    if (page == NULL) {
        return status_fail(STATUS_BUG, "the page of the report is missing from the program; please report this");
    }
    const char *at = (const char *)page->bytes;
    for (;;) {
        const char *mark = strstr(at, MARK);
        const char *close = mark != NULL ? strstr(mark + 2, MARK) : NULL;
        if (close == NULL || close - mark > MARK_SIZE) {
            fputs(at, out);
            return status_ok();
        }
        char name[MARK_SIZE];
        (void)snprintf(name, sizeof name, "%.*s", (int)(close - mark - 2), mark + 2);
        const struct page_part *part = part_named(name);
        (void)fwrite(at, 1, (size_t)(mark - at), out);
        if (strcmp(name, "title") == 0) {
            write_title(out, runs, count);
        } else if (strcmp(name, "data") == 0) {
            fputs(json, out);
        } else if (part != NULL) {
            (void)fwrite(part->bytes, 1, part->size, out);
        } else {
            return status_fail(STATUS_BUG, "the page of the report asks for '%s', which is missing", name);
        }
        at = close + 2;
    }
}

struct status report_make(const struct report_run *runs, size_t count, const struct report_words *words, char **page,
                          size_t *size)
{
    *page = NULL;
    *size = 0;
    if (count == 0 || count > REPORT_RUNS_MOST) {
        return status_fail(STATUS_LIMIT, "a report takes one to %d results, not %zu", REPORT_RUNS_MOST, count);
    }
    for (size_t i = 0; i < count; i++) {
        if (runs[i].result->series.rows == 0 || table_column(&runs[i].result->series, "time") == NULL) {
            return status_fail(STATUS_IO, "'%s' holds no series to report", runs[i].name);
        }
        if (runs[i].result->workshop != NULL && count > 1) {
            return status_fail(STATUS_USAGE, "'%s' is the day of a workshop, which has a page to itself", runs[i].name);
        }
    }
    char *json;
    RETURN_IF_FAILED(report_data_make(runs, count, words, &json));
    FILE *out = open_memstream(page, size);
    struct status status = out == NULL ? status_fail(STATUS_MEMORY, "no memory left to put the report together")
                                       : write_page(out, runs, count, json);
    if (out != NULL && !file_close(out) && status_is_ok(&status)) {
        status = status_fail(STATUS_MEMORY, "no memory left to put the report together");
    }
    free(json);
    if (!status_is_ok(&status)) {
        free(*page);
        *page = NULL;
    }
    return status;
}

struct status report_write(const struct report_run *runs, size_t count, const struct report_words *words, const char *path,
                           bool force)
{
    char *page;
    size_t size;
    RETURN_IF_FAILED(publish_check(path, force));
    RETURN_IF_FAILED(report_make(runs, count, words, &page, &size));
    struct status status = publish_bytes(path, page, size, force);
    free(page);
    return status;
}
