/* branch.c: see branch.h. */
#define _DEFAULT_SOURCE /* d_ino */
#include "faults/branch.h"

#include "faults/endings.h"
#include "faults/faults.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <pthread.h>
#include <stdio.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#define TRUNK "trunk"
#define DESCRIPTORS_LOOKED_AT 32
#define WORKERS_MOST 64
#define SECONDS_MOST 14400 /* as the test may take */

struct branch {
    pid_t trunk;
    int to_trunk, from_harness, to_harness, from_trunk;
    uintmax_t files;   /* a sum that tells whether they are those that were there */
    bool has_branched; /* and waits */
    uint8_t *wanted;   /* shared */
    size_t count;
    void (*armed)(void);
};

/* ---- work for other threads, done by the one that waits ----------------------------------------------------------- */

static struct {
    bool on;
    int count, done;
    struct {
        void *(*work)(void *given);
        void *given;
    } kept[WORKERS_MOST];
} put_off;

void branch_keep_one_thread(bool on)
{
    put_off.on = on;
}

int __real_pthread_create(pthread_t *thread, const pthread_attr_t *how, void *(*work)(void *given), void *given);
int __wrap_pthread_create(pthread_t *thread, const pthread_attr_t *how, void *(*work)(void *given), void *given);
int __wrap_pthread_create(pthread_t *thread, const pthread_attr_t *how, void *(*work)(void *given), void *given)
{
    if (!put_off.on) {
        return __real_pthread_create(thread, how, work, given);
    }
    if (put_off.done == put_off.count) {
        put_off.done = put_off.count = 0;
    }
    if (put_off.count == WORKERS_MOST) {
        return EAGAIN;
    }
    put_off.kept[put_off.count].work = work;
    put_off.kept[put_off.count++].given = given;
    *thread = pthread_self();
    return 0;
}

int __real_pthread_join(pthread_t thread, void **result);
int __wrap_pthread_join(pthread_t thread, void **result);
int __wrap_pthread_join(pthread_t thread, void **result)
{
    return put_off.on ? 0 : __real_pthread_join(thread, result);
}

int __real_pthread_cond_timedwait(pthread_cond_t *news, pthread_mutex_t *lock, const struct timespec *until);
int __wrap_pthread_cond_timedwait(pthread_cond_t *news, pthread_mutex_t *lock, const struct timespec *until);
int __wrap_pthread_cond_timedwait(pthread_cond_t *news, pthread_mutex_t *lock, const struct timespec *until)
{
    if (!put_off.on || put_off.done == put_off.count) {
        return __real_pthread_cond_timedwait(news, lock, until);
    }
    int next = put_off.done++;
    (void)pthread_mutex_unlock(lock);
    (void)put_off.kept[next].work(put_off.kept[next].given);
    return pthread_mutex_lock(lock);
}

/* ---- in the trunk and its branches -------------------------------------------------------------------------------- */

static struct branch *growing; /* in the program only */

/* A sum over the files in out, which changes when one is made or put in the place of another. */
static uintmax_t sum_of_files(void)
{
    uintmax_t sum = 0;
    DIR *folder = opendir("out");
    if (folder == NULL) {
        give_up("out");
    }
    for (struct dirent *entry = readdir(folder); entry != NULL; entry = readdir(folder)) {
        sum += strcmp(entry->d_name, "..") == 0 ? 0 : (uintmax_t)entry->d_ino;
    }
    (void)closedir(folder);
    return sum;
}

/* What the trunk has printed, and what is printed from now on, into a file of the branch's own. */
static void print_apart(int descriptor, const char *name)
{
    char trunk_name[64];
    char bytes[4096];
    (void)snprintf(trunk_name, sizeof trunk_name, TRUNK "/%s", name);
    int from = open(trunk_name, O_RDONLY | O_CLOEXEC);
    int to = open(name, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);
    if (from < 0 || to < 0) {
        give_up(name);
    }
    for (ssize_t got = read(from, bytes, sizeof bytes); got > 0; got = read(from, bytes, sizeof bytes)) {
        if (write(to, bytes, (size_t)got) != got) {
            give_up(name);
        }
    }
    (void)close(from);
    if (dup2(to, descriptor) < 0) {
        give_up(name);
    }
    (void)close(to);
}

static void be_branch(const struct branch *trunk)
{
    (void)close(trunk->from_harness);
    (void)close(trunk->to_harness);
    if (chdir("..") != 0) {
        give_up("..");
    }
    print_apart(STDOUT_FILENO, "printed");
    print_apart(STDERR_FILENO, "told");
    trunk->armed();
}

/* Asks what to do; in the branch, returns whether it is to fail here. */
static bool reached(size_t n, bool *and_on)
{
    const struct branch *trunk = growing;
    off_t places[DESCRIPTORS_LOOKED_AT];
    char answer;
    int how;
    if (n > trunk->count || trunk->wanted[n - 1] == 0 || getpid() != trunk->trunk || sum_of_files() != trunk->files) {
        return false;
    }
    if (write(trunk->to_harness, &n, sizeof n) != sizeof n || read(trunk->from_harness, &answer, 1) != 1) {
        give_up("the harness");
    }
    for (int i = 0; i < DESCRIPTORS_LOOKED_AT; i++) {
        places[i] = lseek(i, 0, SEEK_CUR);
    }
    pid_t branch = fork();
    if (branch == 0) {
        fault_at_each(NULL);
        be_branch(trunk);
        *and_on = answer == '+';
        return true;
    }
    if (branch < 0 || waitpid(branch, &how, 0) != branch) {
        give_up("fork");
    }
    for (int i = 0; i < DESCRIPTORS_LOOKED_AT; i++) {
        if (places[i] >= 0) {
            (void)lseek(i, places[i], SEEK_SET);
        }
    }
    trunk->wanted[n - 1] = 0;
    if (write(trunk->to_harness, &how, sizeof how) != sizeof how || read(trunk->from_harness, &answer, 1) != 1) {
        give_up("the harness");
    }
    return false;
}

void branch_grow(struct branch *trunk, void (*armed)(void))
{
    trunk->trunk = getpid();
    trunk->armed = armed;
    trunk->files = sum_of_files();
    growing = trunk;
    fault_at_each(reached);
}

/* ---- in the harness ----------------------------------------------------------------------------------------------- */

static void open_pipe(int *to, int *from)
{
    int ends[2];
    if (pipe(ends) != 0 || fcntl(ends[0], F_SETFD, FD_CLOEXEC) != 0 || fcntl(ends[1], F_SETFD, FD_CLOEXEC) != 0) {
        give_up("pipe");
    }
    *from = ends[0];
    *to = ends[1];
}

struct branch *branch_start(void (*program)(struct branch *trunk, void *context), void *context, uint8_t *wanted,
                            size_t count)
{
    static struct branch only; /* one grows at a time */
    struct branch *trunk = &only;
    *trunk = (struct branch){.wanted = wanted, .count = count};
    open_pipe(&trunk->to_trunk, &trunk->from_harness);
    open_pipe(&trunk->to_harness, &trunk->from_trunk);
    (void)fflush(stdout);
    trunk->trunk = fork();
    if (trunk->trunk == 0) {
        (void)close(trunk->to_trunk);
        (void)close(trunk->from_trunk);
        if (chdir(TRUNK) != 0) {
            give_up(TRUNK);
        }
        (void)alarm(SECONDS_MOST);
        program(trunk, context);
        _exit(70);
    }
    if (trunk->trunk < 0) {
        give_up("fork");
    }
    (void)close(trunk->from_harness);
    (void)close(trunk->to_harness);
    return trunk;
}

size_t branch_next(struct branch *trunk, int *status)
{
    size_t n;
    if (trunk->has_branched && write(trunk->to_trunk, "g", 1) != 1) {
        give_up("the trunk");
    }
    trunk->has_branched = false;
    ssize_t got = read(trunk->from_trunk, &n, sizeof n);
    if (got == sizeof n) {
        return n;
    }
    if (got != 0 || waitpid(trunk->trunk, status, 0) != trunk->trunk) {
        give_up("the trunk");
    }
    return 0;
}

int branch_try(struct branch *trunk, bool and_on)
{
    int how;
    if (write(trunk->to_trunk, and_on ? "+" : "1", 1) != 1 || read(trunk->from_trunk, &how, sizeof how) != sizeof how) {
        give_up("the trunk");
    }
    trunk->has_branched = true;
    return how;
}

void branch_end(struct branch *trunk)
{
    (void)close(trunk->to_trunk);
    (void)close(trunk->from_trunk);
}
