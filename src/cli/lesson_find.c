/* lesson_find.c: see lesson_find.h. */
#include "cli/lesson_find.h"

#include "cli/verbs.h"
#include "scenario/lesson.h"
#include "scenario/words.h"

#include <dirent.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LESSONS_MOST 200
#define ENDING ".conf"
#define NO_MEMORY "no memory left for the list of lessons"
#define LIST_INDENT 33

struct listed {
    char name[NAME_SIZE];
    char title[TITLE_SIZE];
    char *aim; /* owned */
    int order;
};

/* $VATCAST_LESSONS when set; else scenarios/lessons beside the models. */
static void lessons_folder(const struct call *call, char *path, size_t size)
{
    const char *named = getenv("VATCAST_LESSONS");
    if (named != NULL && named[0] != '\0') {
        (void)snprintf(path, size, "%s", named);
    } else {
        (void)snprintf(path, size, "%s/../scenarios/lessons", call->models_folder);
    }
}

static int is_lesson_file(const struct dirent *entry)
{
    size_t length = strlen(entry->d_name);
    const size_t ending = strlen(ENDING);
    return entry->d_name[0] != '.' && length > ending && length < NAME_SIZE &&
           strcmp(entry->d_name + length - ending, ENDING) == 0;
}

static void names_free(char **names)
{
    for (size_t i = 0; names != NULL && names[i] != NULL; i++) {
        free(names[i]);
    }
    free(names);
}

/* The names of the files, NULL-terminated; NULL: no memory. */
static char **names_copy(struct dirent *const *entries, int count)
{
    char **names = calloc((size_t)count + 1, sizeof *names);
    for (int i = 0; names != NULL && i < count; i++) {
        names[i] = strndup(entries[i]->d_name, strlen(entries[i]->d_name) - strlen(ENDING));
        if (names[i] == NULL) {
            names_free(names);
            return NULL;
        }
    }
    return names;
}

/* The names of the lessons, NULL-terminated, each to be freed and the list too. At most LESSONS_MOST. */
static struct status names_read(const char *folder, char ***names)
{
    struct dirent **entries;
    errno = 0;
    int count = scandir(folder, &entries, is_lesson_file, alphasort);
    if (count < 0 && errno == ENOMEM) {
        return status_fail(STATUS_MEMORY, NO_MEMORY);
    }
    if (count < 0) {
        return status_fail(STATUS_IO,
                           "there is no folder of lessons '%.300s'; name a lesson by its path, or the folder in "
                           "VATCAST_LESSONS",
                           folder);
    }
    *names = count <= LESSONS_MOST ? names_copy(entries, count) : NULL;
    for (int i = 0; i < count; i++) {
        free(entries[i]);
    }
    free(entries);
    if (count > LESSONS_MOST) {
        return status_fail(STATUS_LIMIT, "the folder '%.300s' has %d files; expected at most %d lessons", folder, count,
                           LESSONS_MOST);
    }
    return *names != NULL ? status_ok() : status_fail(STATUS_MEMORY, NO_MEMORY);
}

static int compare_listed(const void *a, const void *b)
{
    const struct listed *one = a;
    const struct listed *other = b;
    return one->order != other->order ? (one->order > other->order) - (one->order < other->order)
                                      : strcmp(one->name, other->name);
}

static struct status lesson_path(const char *folder, const char *name, char path[LESSON_PATH_SIZE])
{
    int length = snprintf(path, LESSON_PATH_SIZE, "%s/%s.conf", folder, name);
    return length < LESSON_PATH_SIZE ? status_ok() : status_fail(STATUS_IO, "the path '%.60s...' is too long", folder);
}

/* Fills the list with those of the files that are lessons. What is wrong with a file is told, and the others are listed;
 * `faulty` is then the status of one of them. */
static struct status list_read(const struct call *call, const char *folder, char **names, struct listed *list,
                               size_t *count, struct status *faulty)
{
    for (size_t i = 0; names[i] != NULL; i++) {
        char path[LESSON_PATH_SIZE];
        struct scenario scenario;
        RETURN_IF_FAILED(lesson_path(folder, names[i], path));
        struct status status = load_scenario(call, path, NULL, 0, &scenario);
        if (status.code == STATUS_SCENARIO) {
            *faulty = status;
            continue;
        }
        RETURN_IF_FAILED(status);
        if (scenario.lesson != NULL) {
            struct listed *here = &list[*count];
            (void)snprintf(here->name, sizeof here->name, "%s", names[i]);
            (void)snprintf(here->title, sizeof here->title, "%s", scenario.title);
            here->aim = strdup(scenario.lesson->aim);
            here->order = scenario.lesson->order;
            status = here->aim != NULL ? status_ok() : status_fail(STATUS_MEMORY, NO_MEMORY);
            *count += here->aim != NULL ? 1 : 0;
        }
        scenario_free(&scenario);
        RETURN_IF_FAILED(status);
    }
    return status_ok();
}

static void list_free(struct listed *list, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        free(list[i].aim);
    }
    free(list);
}

/* The lessons of the folder in their order. The list is to be freed, also after a failure. */
static struct status list_make(const struct call *call, const char *folder, struct listed **list, size_t *count,
                               struct status *faulty)
{
    char **names = NULL;
    *count = 0;
    *list = NULL;
    *faulty = status_ok();
    RETURN_IF_FAILED(names_read(folder, &names));
    *list = calloc(LESSONS_MOST, sizeof **list);
    struct status status =
        *list == NULL ? status_fail(STATUS_MEMORY, NO_MEMORY) : list_read(call, folder, names, *list, count, faulty);
    names_free(names);
    if (*count > 0) {
        qsort(*list, *count, sizeof **list, compare_listed);
    }
    return status;
}

struct status lessons_list(const struct call *call, bool with_names)
{
    char folder[LESSON_PATH_SIZE];
    struct listed *list;
    size_t count;
    lessons_folder(call, folder, sizeof folder);
    struct status faulty;
    struct status status = list_make(call, folder, &list, &count, &faulty);
    if (status_is_ok(&status)) {
        printf("Lessons (begin one with 'vatcast lesson NUMBER')\n\n");
        for (size_t i = 0; i < count; i++) {
            char left[NAME_SIZE + TITLE_SIZE + 8];
            (void)snprintf(left, sizeof left, "%2zu  %s", i + 1, with_names ? list[i].name : list[i].title);
            print_row(stdout, left, LIST_INDENT, list[i].aim);
        }
    }
    list_free(list, count);
    return status_is_ok(&status) ? faulty : status;
}

/* A number of the list. */
static struct status number_find(const struct call *call, const char *folder, const char *number,
                                 char path[LESSON_PATH_SIZE])
{
    struct listed *list;
    size_t count;
    struct status faulty;
    struct status status = list_make(call, folder, &list, &count, &faulty);
    unsigned long wanted = strtoul(number, NULL, 10);
    if (status_is_ok(&status) && (wanted < 1 || wanted > count)) {
        status = status_fail(STATUS_USAGE, "there is no lesson %.20s; 'vatcast lesson' lists the %zu that there are",
                             number, count);
    }
    if (status_is_ok(&status)) {
        status = lesson_path(folder, list[wanted - 1].name, path);
    }
    list_free(list, count);
    return status;
}

struct status lesson_find(const struct call *call, const char *name, char path[LESSON_PATH_SIZE])
{
    size_t length = strlen(name);
    if (strchr(name, '/') != NULL || (length > 5 && strcmp(name + length - 5, ".conf") == 0)) {
        int written = snprintf(path, LESSON_PATH_SIZE, "%s", name);
        return written < LESSON_PATH_SIZE ? status_ok()
                                          : status_fail(STATUS_IO, "the path '%.60s...' is too long", name);
    }
    char folder[LESSON_PATH_SIZE];
    char **names = NULL;
    lessons_folder(call, folder, sizeof folder);
    if (strspn(name, "0123456789") == length) {
        return number_find(call, folder, name, path);
    }
    RETURN_IF_FAILED(names_read(folder, &names));
    struct status status = status_ok();
    if (word_index(name, (const char *const *)names) < 0) {
        const char *nearest = word_nearest(name, (const char *const *)names);
        status = nearest != NULL ? status_fail(STATUS_USAGE, "'%.60s' is no lesson; did you mean '%s'?", name, nearest)
                                 : status_fail(STATUS_USAGE, "'%.60s' is no lesson; 'vatcast lesson' lists them", name);
    }
    names_free(names);
    return status_is_ok(&status) ? lesson_path(folder, name, path) : status;
}
