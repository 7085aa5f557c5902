/* endings.h: what a trial of the program ends with: its exit status, what it said, and the files in the folder out. */
#ifndef VATCAST_TESTS_FAULTS_ENDINGS_H
#define VATCAST_TESTS_FAULTS_ENDINGS_H

#include <limits.h>
#include <stdbool.h>
#include <stddef.h>

#define FILES_MOST 16

struct file {
    char name[NAME_MAX + 1];
    char *bytes; /* owned */
    size_t size;
};

struct ending {
    int status; /* of the program; 256 and more: the signal that ended it */
    struct file files[FILES_MOST];
    size_t file_count;
    char *printed, *told; /* owned: stdout and stderr */
};

/* Ends the test: the system does not play along. */
_Noreturn void give_up(const char *what);

/* Empties out but for older files under the names of `older` (may be NULL). */
void lay_out(const struct ending *older);
void ending_read_files(struct ending *ending);
void ending_free(struct ending *ending);

/* The file of that name; NULL: none. */
const struct file *file_of(const struct ending *ending, const char *name);
bool is_same(const struct file *one, const struct file *other);
/* Whether it is one of those that were there before. */
bool is_older(const struct file *file);
/* The files of a trial, and no others. */
bool has_all_files(const struct ending *sound, const struct ending *ending);

#endif
