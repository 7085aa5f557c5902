/* csv.h: reads the small published tables of tests/data: lines of comment after '#', a line of names, lines of numbers.
 *
 * Anything amiss fails the test that asked. Needs TESTS_DATA, the folder of the tables as a string.
 */
#ifndef VATCAST_TESTS_CSV_H
#define VATCAST_TESTS_CSV_H

#include "support/close.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define CSV_COLUMNS_MOST 8
#define CSV_ROWS_MOST 64

struct csv {
    int columns;
    int rows;
    char names[CSV_COLUMNS_MOST][48];
    double values[CSV_ROWS_MOST][CSV_COLUMNS_MOST];
};

static inline void csv_header(struct csv *csv, char *line)
{
    for (char *name = strtok(line, ",\r\n"); name != NULL; name = strtok(NULL, ",\r\n")) {
        assert_true(csv->columns < CSV_COLUMNS_MOST);
        (void)snprintf(csv->names[csv->columns], sizeof csv->names[0], "%s", name);
        csv->columns++;
    }
}

static inline void csv_row(struct csv *csv, const char *line)
{
    assert_true(csv->rows < CSV_ROWS_MOST);
    const char *rest = line;
    for (int column = 0; column < csv->columns; column++) {
        char *end = NULL;
        csv->values[csv->rows][column] = strtod(rest, &end);
        if (end == rest || (*end != ',') != (column == csv->columns - 1)) {
            fail_msg("bad line: %s", line);
        }
        rest = end + 1;
    }
    csv->rows++;
}

/* Reads TESTS_DATA/name. */
static inline struct csv csv_read(const char *name)
{
    char path[1024];
    (void)snprintf(path, sizeof path, "%s/%s", TESTS_DATA, name);
    FILE *file = fopen(path, "r");
    if (file == NULL) {
        fail_msg("cannot open %s", path);
    }
    struct csv csv = {0};
    char line[512];
    while (fgets(line, sizeof line, file) != NULL) {
        if (line[0] == '#' || line[0] == '\n') {
            continue;
        }
        if (csv.columns == 0) {
            csv_header(&csv, line);
        } else {
            csv_row(&csv, line);
        }
    }
    (void)fclose(file);
    assert_true(csv.rows > 0);
    return csv;
}

/* One value by the name of its column. */
static inline double csv_value(const struct csv *csv, int row, const char *name)
{
    assert_in_range(row, 0, csv->rows - 1);
    for (int column = 0; column < csv->columns; column++) {
        if (strcmp(csv->names[column], name) == 0) {
            return csv->values[row][column];
        }
    }
    fail_msg("no column %s", name);
    return NAN;
}

#endif
