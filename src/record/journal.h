/* journal.h: rows of numbers put into a file as they come, so that what is done outlives whatever ends the program.
 *
 * A journal says in its heading (a text) what its rows belong to, and which rows of the whole it is for. Each row
 * carries a checksum; a row that was cut short is dropped when the journal is opened again, and work goes on after the
 * last whole one. Numbers are in the machine's own order, which a mark tells. Layout: 16 bytes "vatcast sweep 1\n";
 * the order mark, first, count, width and the size of the heading as 64-bit numbers; the heading; its checksum; the
 * rows.
 */
#ifndef VATCAST_RECORD_JOURNAL_H
#define VATCAST_RECORD_JOURNAL_H

#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>

struct journal;

#define JOURNAL_HEADING_MOST ((size_t)6 << 20) /* bytes: the largest scenario, and the models */
#define JOURNAL_WIDTH_MOST ((size_t)1 << 26)   /* numbers in a row */

/* Opens the journal at `path` for going on, or makes it. It is for rows first to first + count - 1 of `width` numbers.
 * A journal of something else is refused unless `force`, and then replaced. One writer at a time. Errors: STATUS_IO,
 * STATUS_MEMORY, and STATUS_LIMIT when the heading or a row is larger than a journal may have (no file is made). */
struct status journal_open(const char *path, const char *heading, size_t first, size_t count, size_t width, bool force,
                           struct journal **journal) MUST_USE;

/* Whether the file of that name begins like a journal. */
bool journal_is_at(const char *path);

/* Opens a journal for reading. Foreign and damaged files are refused (STATUS_IO). */
struct status journal_open_to_read(const char *path, struct journal **journal) MUST_USE;

/* Closes; what was appended is brought to the disk. NULL is fine. */
struct status journal_close(struct journal *journal) MUST_USE;

const char *journal_heading(const struct journal *journal);
size_t journal_first(const struct journal *journal);
size_t journal_count(const struct journal *journal); /* rows it is for */
size_t journal_rows(const struct journal *journal);  /* rows it has */
size_t journal_width(const struct journal *journal);

/* Puts the next row at the end. When it returns, the row outlives the program (a failing of the power may still take
 * the last few). */
struct status journal_append(struct journal *journal, const double *row) MUST_USE;

/* Reads `count` numbers of row `row` (from 0 in this journal) from column `from`. */
struct status journal_read(const struct journal *journal, size_t row, size_t from, size_t count,
                           double *values) MUST_USE;

#endif
