/* many.c: see many.h. One lock guards the list of items; an item takes milliseconds, so nobody waits for it long. */
#include "study/many.h"

#include "sim/run.h"

#include <pthread.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#define LOOK_AFTER 100000000L /* ns: how often the calling thread looks at the stop flag and tells of progress */

struct crew {
    const struct many *many;
    pthread_mutex_t lock;
    pthread_mutex_t alone; /* held during `prepare` */
    pthread_cond_t room;   /* for workers: an item was taken in, or it is over */
    pthread_cond_t news;   /* for the calling thread: an item is done, or a worker has gone home */
    bool *done;
    size_t next; /* item to begin */
    size_t done_count;
    size_t taken;  /* items taken in, in order */
    size_t failed; /* lowest index that failed; count: none */
    struct status failure;
    int at_work; /* workers */
};

struct worker {
    struct crew *crew;
    int number;
    pthread_t thread;
};

int many_threads(int asked, size_t count)
{
    long cores = asked > 0 ? asked : sysconf(_SC_NPROCESSORS_ONLN);
    long most = count < MANY_THREADS_MOST ? (long)count : MANY_THREADS_MOST;
    cores = cores > most ? most : cores;
    return cores < 1 ? 1 : (int)cores;
}

/* Nothing more is to be begun. */
static bool is_over(const struct crew *crew)
{
    return crew->next >= crew->many->count || crew->failed < crew->many->count || is_stop_raised(crew->many->stop);
}

/* How many items a worker begins at once: what there is room for, and toward the end no more than leaves some to the others. */
static size_t find_share(const struct crew *crew)
{
    const struct many *many = crew->many;
    size_t left = many->count - crew->next;
    const size_t workers = (size_t)(crew->at_work > 0 ? crew->at_work : 1);
    const size_t even = (left + workers - 1) / workers;
    size_t most = many->work_together != NULL && many->together > 0 ? many->together : 1;
    most = most < MANY_TOGETHER_MOST ? most : MANY_TOGETHER_MOST;
    if (many->take != NULL && many->ahead != 0) {
        const size_t room = crew->taken + many->ahead - crew->next;
        left = room < left ? room : left;
    }
    left = even < left ? even : left;
    return most < left ? most : left;
}

static void note_failure(struct crew *crew, size_t index, const struct status *status)
{
    if (index < crew->failed) {
        crew->failed = index;
        crew->failure = *status;
    }
}

static void note_end(struct crew *crew, size_t index, const struct status *status)
{
    if (status_is_ok(status)) {
        crew->done[index] = true;
        crew->done_count++;
    } else if (status->code != STATUS_INTERRUPTED || !is_stop_raised(crew->many->stop)) {
        note_failure(crew, index, status);
    }
}

static struct status prepare_item(struct crew *crew, size_t index, int worker)
{
    const struct many *many = crew->many;
    if (many->prepare == NULL) {
        return status_ok();
    }
    (void)pthread_mutex_lock(&crew->alone);
    struct status status = many->prepare(many->context, index, worker);
    (void)pthread_mutex_unlock(&crew->alone);
    return status;
}

/* Does `count` items from `first` on. Returns for how many there are outcomes: where one cannot be prepared it is the last. */
static size_t do_items(struct crew *crew, size_t first, size_t count, int worker, struct status *outcomes)
{
    const struct many *many = crew->many;
    size_t prepared = 0;
    while (prepared < count) {
        outcomes[prepared] = prepare_item(crew, first + prepared, worker);
        if (!status_is_ok(&outcomes[prepared])) {
            break;
        }
        prepared++;
    }
    if (many->work_together == NULL) {
        for (size_t i = 0; i < prepared; i++) {
            outcomes[i] = many->work(many->context, first + i, worker);
        }
    } else if (prepared > 0) {
        many->work_together(many->context, first, prepared, worker, outcomes);
    }
    return prepared < count ? prepared + 1 : count;
}

static void *work_on(void *given)
{
    const struct worker *worker = given;
    struct crew *crew = worker->crew;
    (void)pthread_mutex_lock(&crew->lock);
    while (!is_over(crew)) {
        const size_t share = find_share(crew);
        if (share == 0) {
            (void)pthread_cond_wait(&crew->room, &crew->lock);
            continue;
        }
        const size_t first = crew->next;
        struct status outcomes[MANY_TOGETHER_MOST];
        crew->next += share;
        (void)pthread_mutex_unlock(&crew->lock);
        const size_t told = do_items(crew, first, share, worker->number, outcomes);
        (void)pthread_mutex_lock(&crew->lock);
        for (size_t i = 0; i < told; i++) {
            note_end(crew, first + i, &outcomes[i]);
        }
        (void)pthread_cond_signal(&crew->news);
    }
    crew->at_work--;
    (void)pthread_cond_broadcast(&crew->room); /* it is over for those who wait, too */
    (void)pthread_cond_signal(&crew->news);
    (void)pthread_mutex_unlock(&crew->lock);
    return NULL;
}

/* Waits for news, but not for long. */
static void wait_for_news(struct crew *crew)
{
    struct timespec until;
    (void)clock_gettime(CLOCK_MONOTONIC, &until);
    until.tv_nsec += LOOK_AFTER;
    until.tv_sec += until.tv_nsec / 1000000000L;
    until.tv_nsec %= 1000000000L;
    (void)pthread_cond_timedwait(&crew->news, &crew->lock, &until);
}

/* The calling thread's part, until all workers have gone home and all that is done in order has been taken in. */
static void watch(struct crew *crew)
{
    const struct many *many = crew->many;
    (void)pthread_mutex_lock(&crew->lock);
    for (;;) {
        if (many->take != NULL && crew->taken < crew->failed && crew->done[crew->taken]) {
            size_t index = crew->taken;
            (void)pthread_mutex_unlock(&crew->lock);
            struct status status = many->take(many->context, index);
            (void)pthread_mutex_lock(&crew->lock);
            if (status_is_ok(&status)) {
                crew->taken++;
            } else {
                note_failure(crew, index, &status);
            }
        } else if (crew->at_work == 0) {
            break;
        } else {
            wait_for_news(crew);
        }
        (void)pthread_cond_broadcast(&crew->room);
        if (many->progress != NULL && many->count > 0) {
            double share = (double)crew->done_count / (double)many->count;
            (void)pthread_mutex_unlock(&crew->lock);
            many->progress(many->progress_context, share);
            (void)pthread_mutex_lock(&crew->lock);
        }
    }
    (void)pthread_mutex_unlock(&crew->lock);
}

/* Starts as many threads as can be had, with all signals left to the calling thread. */
static int send_to_work(struct crew *crew, struct worker *workers, int wanted)
{
    sigset_t all;
    sigset_t before;
    int started = 0;
    (void)sigfillset(&all);
    (void)pthread_sigmask(SIG_SETMASK, &all, &before);
    (void)pthread_mutex_lock(&crew->lock);
    while (started < wanted) {
        workers[started] = (struct worker){.crew = crew, .number = started};
        if (pthread_create(&workers[started].thread, NULL, work_on, &workers[started]) != 0) {
            break;
        }
        started++;
    }
    crew->at_work = started;
    (void)pthread_mutex_unlock(&crew->lock);
    (void)pthread_sigmask(SIG_SETMASK, &before, NULL);
    return started;
}

static struct status open_crew(struct crew *crew)
{
    pthread_condattr_t steady;
    bool good = pthread_condattr_init(&steady) == 0;
    good = good && pthread_condattr_setclock(&steady, CLOCK_MONOTONIC) == 0;
    good = good && pthread_mutex_init(&crew->lock, NULL) == 0;
    good = good && pthread_mutex_init(&crew->alone, NULL) == 0;
    good = good && pthread_cond_init(&crew->room, NULL) == 0;
    good = good && pthread_cond_init(&crew->news, &steady) == 0;
    (void)pthread_condattr_destroy(&steady);
    return good ? status_ok() : status_fail(STATUS_MEMORY, "the system has no locks left to run many vats at once");
}

static struct status verdict(const struct crew *crew)
{
    const struct many *many = crew->many;
    if (crew->failed < many->count) {
        return crew->failure;
    }
    if (crew->done_count < many->count) {
        return status_fail(STATUS_INTERRUPTED, "stopped when %zu of %zu runs were done", crew->done_count, many->count);
    }
    return status_ok();
}

struct status many_run(const struct many *many, bool *done)
{
    int wanted = many_threads(many->threads, many->count);
    struct worker *workers = calloc((size_t)wanted, sizeof *workers);
    bool *own = calloc(many->count + 1, sizeof *own);
    struct crew crew = {.many = many, .done = own, .failed = many->count, .failure = status_ok()};
    struct status status = workers == NULL || own == NULL
                               ? status_fail(STATUS_MEMORY, "no memory left for %zu runs", many->count)
                               : open_crew(&crew);
    if (status_is_ok(&status)) {
        int started = send_to_work(&crew, workers, wanted);
        watch(&crew);
        for (int i = 0; i < started; i++) {
            (void)pthread_join(workers[i].thread, NULL);
        }
        (void)pthread_cond_destroy(&crew.news);
        (void)pthread_cond_destroy(&crew.room);
        (void)pthread_mutex_destroy(&crew.alone);
        (void)pthread_mutex_destroy(&crew.lock);
        status = started == 0 ? status_fail(STATUS_MEMORY, "the system gives no thread to work on") : verdict(&crew);
    }
    if (done != NULL && own != NULL) {
        memcpy(done, own, many->count * sizeof *done);
    }
    free(own);
    free(workers);
    return status;
}
