/* lesson_find.h: the lessons that there are, and the file of one. */
#ifndef VATCAST_CLI_LESSON_FIND_H
#define VATCAST_CLI_LESSON_FIND_H

#include "cli/options.h"

#include <stdbool.h>

#define LESSON_PATH_SIZE 4200

/* Prints the lessons of the folder, $VATCAST_LESSONS when set, else scenarios/lessons beside the models, in their order, with
 * their titles or, for teachers, with the names of their files, which may tell what the matter is. What
 * is wrong with one of them is told as by `vatcast check`. STATUS_IO: no such folder. */
struct status lessons_list(const struct call *call, bool with_names) MUST_USE;

/* The file of a lesson: a path when it looks like one (a slash, or ending in .conf), else a name or a number among the lessons;
 * STATUS_USAGE when there is none of that name. */
struct status lesson_find(const struct call *call, const char *name, char path[LESSON_PATH_SIZE]) MUST_USE;

#endif
