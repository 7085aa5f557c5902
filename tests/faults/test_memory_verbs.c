/* test_memory_verbs.c: the n-th allocation of the whole program fails, for n from 1 until all goes well, under each verb.
 *
 * test_memory_verbs VERB. Each trial is a child process that is the program itself from main to its exit status, in a folder
 * of its own, run from its start or branched off from a run under way (branch.h); in turns with older outputs there and without, and with one allocation failing or all after it too. Promised:
 * exit status 7 and a sentence (6 where it was the child process that tries out a result), or success with all that is
 * written and printed without faults; on failure no file under a final name but the older one, none left behind but what
 * a sweep or a session goes on from, and that it does; no leak, no crash (the sanitizers see to it).
 * Of allocations by the same chain of calls the first and the last are tried; with FAULTS_ALL in the environment every one is.
 */
#define _DEFAULT_SOURCE /* MAP_ANONYMOUS */
#include "faults/branch.h"
#include "faults/endings.h"
#include "faults/faults.h"
#include "faults/verbs.h"

#include "record/scratch.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#define POINTS_MOST ((size_t)1 << 20)
#define BRIEF_POINTS 40
#define SECONDS_MOST 250

/* What a trial in another process tells. */
struct seen {
    size_t calls;
    bool met;
    uint64_t paths[POINTS_MOST];
    uint8_t wanted[POINTS_MOST]; /* by a trunk */
};

static struct {
    char folder[SCRATCH_PATH];
    struct seen *seen;
    uint64_t *paths; /* owned: those tried by the cases before */
    size_t path_count;
    size_t points, tried, branched, wrong, without;
} all;

/* The address sanitizer would keep what this process frees, and every trial gets a copy of it. */
const char *__asan_default_options(void);
const char *__asan_default_options(void)
{
    return "quarantine_size_mb=1";
}

/* The program's main, and what the C library calls in its place (--wrap=main). */
int __real_main(int argc, char **argv);
int __wrap_main(int argc, char **argv);

static void put_in_place_of(int descriptor, const char *path, int flags)
{
    int file = open(path, flags | O_CLOEXEC, 0666);
    if (file < 0 || dup2(file, descriptor) < 0) {
        give_up(path);
    }
}

struct fault {
    size_t n; /* 0: none, they are counted */
    bool and_on, force, trace;
};

/* The program with its command line. */
struct trial {
    const char *const *arguments;
    const char *input;
    struct fault fault;
    bool has_threads;
    struct branch *trunk; /* NULL: this is none */
};

static void limit_time(void)
{
    (void)alarm(SECONDS_MOST);
}

_Noreturn static void be_program(const struct trial *trial)
{
    char *argv[ARGUMENTS_MOST + 3] = {"vatcast"};
    int argc = 1;
    const struct fault *fault = &trial->fault;
    for (; argc <= ARGUMENTS_MOST && trial->arguments[argc - 1] != NULL; argc++) {
        argv[argc] = strdup(trial->arguments[argc - 1]);
        if (argv[argc] == NULL) {
            give_up(trial->arguments[argc - 1]);
        }
    }
    if (fault->force) {
        argv[argc++] = "--force";
    }
    put_in_place_of(STDIN_FILENO, trial->input == NULL ? "/dev/null" : "input", O_RDONLY);
    put_in_place_of(STDOUT_FILENO, "printed", O_WRONLY | O_CREAT | O_TRUNC);
    put_in_place_of(STDERR_FILENO, "told", O_WRONLY | O_CREAT | O_TRUNC);
    branch_keep_one_thread(!trial->has_threads);
    if (trial->trunk != NULL) {
        branch_grow(trial->trunk, limit_time);
    } else {
        limit_time();
        fault_note_paths(fault->n == 0 ? all.seen->paths : NULL, POINTS_MOST);
    }
    fault_trace(fault->trace);
    (void)atexit(fault_clear); /* what a build that counts lines does at the end is not the program's */
    fault_set(CALL_MEMORY, FAULT_ERROR, ENOMEM, fault->n, fault->and_on);
    int status = __real_main(argc, argv);
    all.seen->calls = fault_calls();
    all.seen->met = fault_met();
    fault_note_paths(NULL, 0);
    fault_at_each(NULL);
    fault_clear();
    exit(status);
}

/* ---- trials ------------------------------------------------------------------------------------------------------- */

static struct ending read_ending(int how)
{
    struct ending ending = {0};
    size_t size;
    ending.status = WIFEXITED(how) ? WEXITSTATUS(how) : 256 + WTERMSIG(how);
    ending.printed = scratch_read("printed", &size);
    ending.told = scratch_read("told", &size);
    if (ending.printed == NULL || ending.told == NULL) {
        give_up("told");
    }
    ending_read_files(&ending);
    return ending;
}

static struct ending run(const struct trial *trial)
{
    int how;
    if (trial->input != NULL) {
        scratch_write("input", trial->input, strlen(trial->input));
    }
    (void)fflush(stdout);
    pid_t child = fork();
    if (child == 0) {
        be_program(trial);
    }
    if (child < 0 || waitpid(child, &how, 0) != child) {
        give_up("fork");
    }
    return read_ending(how);
}

static struct trial trial_of(const struct verb_case *verb, struct fault fault)
{
    return (struct trial){verb->arguments, verb->input, fault, verb->has_threads, NULL};
}

static bool ends_like(const char *text, const char *end)
{
    size_t length = strlen(text);
    return end != NULL && length >= strlen(end) && strcmp(text + length - strlen(end), end) == 0;
}

/* NULL, or what is wrong with the files after a failure. */
static const char *wrong_files(const struct verb_case *verb, const struct ending *sound, const struct ending *ending,
                               bool older)
{
    bool told_late = strstr(ending->told, "put into words") != NULL; /* what there is to tell is already in place */
    for (size_t i = 0; i < ending->file_count; i++) {
        const struct file *file = &ending->files[i];
        const struct file *final = file_of(sound, file->name);
        if (ends_like(file->name, verb->leaves) ||
            ((told_late || verb->one_by_one) && final != NULL && is_same(final, file))) {
            continue;
        }
        if (final == NULL || !older) {
            return final == NULL ? "a file is left behind" : "there is a file under the final name";
        }
        if (!is_older(file)) {
            return "the older output is not what it was";
        }
    }
    for (size_t i = 0; i < sound->file_count && older; i++) {
        if (file_of(ending, sound->files[i].name) == NULL) {
            return "the older output is gone";
        }
    }
    return NULL;
}

/* NULL, or what is wrong: what was left must be gone on from. */
static const char *wrong_sequel(const struct verb_case *verb, const struct ending *sound, bool force)
{
    bool other = verb->goes_on[0] != NULL;
    struct trial sequel = trial_of(verb, (struct fault){.force = force && !other});
    if (other) {
        sequel.arguments = verb->goes_on;
        sequel.input = NULL;
    }
    struct ending then = run(&sequel);
    bool same = other || has_all_files(sound, &then);
    bool told = verb->tells == NULL || strstr(then.printed, verb->tells) != NULL;
    const char *wrong = then.status != 0 ? "what is left cannot be gone on from"
                        : !told          ? "what is left does not say that it is no more than that"
                        : same           ? NULL
                                         : "going on gives another result";
    ending_free(&then);
    return wrong;
}

static const char *wrong_ending(const struct verb_case *verb, const struct ending *sound, const struct ending *ending,
                                const struct fault *fault)
{
    if (strstr(ending->told, "Sanitizer") != NULL || strstr(ending->told, "runtime error") != NULL ||
        ending->status > 255) {
        return "crashed or leaked";
    }
    if (ending->status == 0) {
        all.without++;
        return strcmp(sound->printed, ending->printed) == 0 && has_all_files(sound, ending)
                   ? NULL
                   : "success, but what is written or printed is not whole";
    }
    if (!(ending->status == 7 || ending->status == 6) || strstr(ending->told, "vatcast: ") == NULL) {
        return "another end than 'no memory left'";
    }
    const char *wrong = wrong_files(verb, sound, ending, fault->force);
    bool left = false;
    for (size_t i = 0; i < ending->file_count; i++) {
        left = left || ends_like(ending->files[i].name, verb->leaves);
    }
    return wrong == NULL && left ? wrong_sequel(verb, sound, fault->force) : wrong;
}

/* From the trunk, or from the start where that is NULL. */
static void try_point(const struct verb_case *verb, const struct ending *sound, struct fault fault,
                      struct branch *trunk)
{
    struct trial trial = trial_of(verb, fault);
    lay_out(fault.force ? sound : NULL);
    struct ending ending = trunk == NULL ? run(&trial) : read_ending(branch_try(trunk, fault.and_on));
    bool met = all.seen->met || ending.status != 0;
    const char *wrong = wrong_ending(verb, sound, &ending, &fault);
    if (wrong == NULL && !met && !verb->has_threads) {
        wrong = "the fault was not met";
    }
    if (wrong != NULL) {
        all.wrong++;
        printf("WRONG: allocation %zu fails%s%s: %s (exit status %d)\n%.1500s\n", fault.n,
               fault.and_on ? ", and all after it" : "", fault.force ? ", older outputs" : "", wrong, ending.status,
               ending.told);
        trial.fault.trace = true; /* once more, to see where */
        trial.fault.and_on = false;
        lay_out(fault.force ? sound : NULL);
        struct ending again = run(&trial);
        const char *where = strstr(again.printed, "(+0x") != NULL ? again.printed : again.told;
        printf("%.3000s\n", where);
        ending_free(&again);
    }
    ending_free(&ending);
}

/* Leaves out the points whose chains of calls a case before has tried; returns how many stay. */
static size_t drop_known(size_t *points, size_t count)
{
    size_t fresh = 0;
    size_t before = all.path_count;
    all.paths = realloc(all.paths, (before + count) * sizeof *all.paths);
    if (all.paths == NULL) {
        give_up("realloc");
    }
    for (size_t i = 0; i < count; i++) {
        uint64_t path = all.seen->paths[points[i] - 1];
        size_t known = 0;
        while (known < before && all.paths[known] != path) {
            known++;
        }
        if (known == before) {
            all.paths[all.path_count++] = path;
            points[fresh++] = points[i];
        }
    }
    return fresh;
}

/* What the i-th point chosen is tried with: in turns it alone and all after it too, without older outputs and over them. */
static struct fault fault_at(const struct verb_case *verb, const struct ending *sound, const size_t *points, size_t i)
{
    bool writes = sound->file_count > 0 && !ends_like(sound->files[0].name, verb->leaves);
    return (struct fault){.n = points[i], .and_on = i % 2 != 0, .force = writes && (i / 2) % 2 != 0};
}

static void lay_out_trunk(const struct ending *older)
{
    if (chdir("trunk") != 0) {
        give_up("trunk");
    }
    lay_out(older);
    if (chdir("..") != 0) {
        give_up("..");
    }
}

static void be_trunk(struct branch *trunk, void *context)
{
    struct trial *trial = context;
    trial->trunk = trunk;
    be_program(trial);
}

/* Tries the points, over older outputs or not, in branches of one run where that can be; those that are left keep their mark. */
static void try_in_branches(const struct verb_case *verb, const struct ending *sound, bool force, const size_t *points)
{
    struct trial trial = trial_of(verb, (struct fault){.force = force});
    size_t i = 0;
    int how;
    lay_out_trunk(force ? sound : NULL);
    if (verb->input != NULL) {
        scratch_write("trunk/input", verb->input, strlen(verb->input));
    }
    struct branch *trunk = branch_start(be_trunk, &trial, all.seen->wanted, POINTS_MOST);
    for (size_t n = branch_next(trunk, &how); n != 0; n = branch_next(trunk, &how)) {
        while (points[i] != n) {
            i++;
        }
        try_point(verb, sound, fault_at(verb, sound, points, i), trunk);
        all.branched++;
    }
    if (how != 0) {
        all.wrong++;
        printf("WRONG: the run that branches ended with %d\n", how);
    }
    branch_end(trunk);
}

/* Tries the points chosen; returns how many. */
static size_t try_points(const struct verb_case *verb, const struct ending *sound, const size_t *points, size_t count)
{
    size_t *left = calloc(count + 1, sizeof *left);
    size_t left_count = 0;
    if (left == NULL) {
        give_up("calloc");
    }
    for (int force = 0; force < 2; force++) {
        size_t marked = 0;
        memset(all.seen->wanted, 0, sizeof all.seen->wanted);
        for (size_t i = 0; i < count; i++) {
            bool mine = fault_at(verb, sound, points, i).force == (force != 0);
            all.seen->wanted[points[i] - 1] = mine ? 1 : 0;
            marked += mine ? 1 : 0;
        }
        if (marked > 0 && !verb->has_threads) {
            try_in_branches(verb, sound, force != 0, points);
        }
        for (size_t i = 0; i < count; i++) {
            if (all.seen->wanted[points[i] - 1] != 0) {
                left[left_count++] = i;
            }
        }
    }
    bool brief = (getenv("FAULTS_ALL") == NULL || verb->has_threads) && verb->in_brief && left_count > BRIEF_POINTS;
    size_t step = brief ? left_count / BRIEF_POINTS : 1;
    size_t tried = count - left_count;
    for (size_t i = 0; i < left_count; i += step, tried++) {
        try_point(verb, sound, fault_at(verb, sound, points, left[i]), NULL);
    }
    free(left);
    return tried;
}

static void try_case(const struct verb_case *verb)
{
    struct trial trial = trial_of(verb, (struct fault){.n = 0});
    lay_out(NULL);
    struct ending sound = run(&trial);
    size_t count = all.seen->calls;
    size_t *points = calloc(count + 1, sizeof *points);
    if (sound.status != 0 || count == 0 || count > POINTS_MOST || points == NULL) {
        printf("WRONG: %s ends with %d after %zu allocations with nothing wrong: %s\n", verb->name, sound.status, count,
               sound.told);
        exit(1);
    }
    size_t chosen = fault_choose_points(all.seen->paths, count, !verb->firsts_only, points);
    if (getenv("FAULTS_ALL") == NULL && !verb->in_brief) {
        chosen = drop_known(points, chosen);
    }
    size_t wrong_before = all.wrong;
    size_t branched_before = all.branched;
    size_t tried = try_points(verb, &sound, points, chosen);
    printf("vatcast");
    for (size_t i = 0; verb->arguments[i] != NULL; i++) {
        const char *slash = strrchr(verb->arguments[i], '/');
        printf(" %s", slash != NULL ? slash + 1 : verb->arguments[i]);
    }
    printf("\n    %zu allocations, %zu faults injected (%zu in branches), %zu taken badly\n", count, tried,
           all.branched - branched_before, all.wrong - wrong_before);
    all.points += count;
    all.tried += tried;
    free(points);
    ending_free(&sound);
}

/* Each before the one that it stands in. */
static const char *const folders[] = {"in/lessons", "in", "out", "trunk/out", "trunk"};

static void remove_all(void)
{
    lay_out_trunk(NULL);
    lay_out(NULL);
    for (size_t i = 0; i < sizeof folders / sizeof folders[0]; i++) {
        scratch_remove(folders[i]);
    }
    if (chdir("..") != 0) {
        give_up("..");
    }
    scratch_remove(all.folder);
}

static void copy(const char *from, const char *to)
{
    size_t size;
    char *text = scratch_read(from, &size);
    if (text == NULL) {
        give_up(from);
    }
    scratch_write(to, text, size);
    free(text);
}

static void make_inputs(void)
{
    if (chdir(all.folder) != 0) {
        give_up(all.folder);
    }
    for (size_t i = sizeof folders / sizeof folders[0]; i-- > 0;) {
        if (mkdir(folders[i], 0777) != 0) {
            give_up(folders[i]);
        }
    }
    if (symlink("../in", "trunk/in") != 0) {
        give_up("trunk/in");
    }
    copy(TESTS_DIR "/faults/short-vat.conf", "in/other.conf");
    copy(SCENARIOS_DIR "/lessons/first-vat.conf", "in/lessons/first-vat.conf");
    for (size_t i = 0; i < verb_maker_count; i++) {
        struct trial trial = trial_of(&verb_makers[i], (struct fault){.n = 0});
        struct ending made = run(&trial);
        if (made.status != 0) {
            printf("making %s ended with %d: %s\n", verb_makers[i].name, made.status, made.told);
            exit(1);
        }
        ending_free(&made);
    }
}

int __wrap_main(int argc, char **argv)
{
    size_t cases = 0;
    all.seen = mmap(NULL, sizeof *all.seen, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    if (argc != 2 || all.seen == MAP_FAILED || setenv("VATCAST_MODELS", MODELS_DIR, 1) != 0 ||
        setenv("VATCAST_LESSONS", "in/lessons", 1) != 0) {
        give_up("test_memory_verbs VERB");
    }
    scratch_make(all.folder);
    make_inputs();
    for (size_t i = 0; i < verb_case_count; i++) {
        if (strcmp(verb_cases[i].name, argv[1]) == 0) {
            try_case(&verb_cases[i]);
            cases++;
        }
    }
    remove_all();
    printf("%zu allocations in all, %zu faults injected, %zu of them done without, %zu taken badly\n", all.points,
           all.tried, all.without, all.wrong);
    free(all.paths);
    return cases > 0 && all.wrong == 0 ? 0 : 1;
}
