/* standalone.c: runs a harness without libFuzzer: replays files, then a fixed number of mutants of them.
 *
 *   fuzz_NAME [--mutants N] [--random N [--from I]] [--seed S] [--tokens FILE] PATH...     a PATH is a file, or a folder of files
 *
 * With --random come besides so many inputs of random bytes alone, the I-th the same whatever else is run.
 *
 * Ends with a failure when the harness does, and then leaves the input in crash-NAME; an input that takes longer than
 * TIME_MOST_S counts as a hang. The same seed gives the same mutants.
 */
#define _DEFAULT_SOURCE /* strsignal */
#include "fuzz/fuzz.h"

#include <dirent.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#define INPUT_MOST ((size_t)1 << 20)
#define GROW_MOST ((size_t)64)
#define TIME_MOST_S 20
#define RANDOM_MOST 640

/* The sanitizers' own ending, where there are sanitizers: lets the input be kept before the program ends. */
void __sanitizer_set_death_callback(void (*callback)(void)) __attribute__((weak));

struct input {
    char *name; /* owned */
    uint8_t *bytes;
    size_t size;
};

static struct {
    struct input *inputs;
    size_t count;
    char *tokens[512];
    size_t token_count;
    uint64_t random;
    uint8_t *now; /* what the harness is looking at */
    size_t now_size;
    char crash_name[128];
} all;

static void keep_input(void)
{
    static const char words[] = "the input is kept in ";
    int file = open(all.crash_name, O_WRONLY | O_CREAT | O_TRUNC, 0666);
    ssize_t written = 0;
    if (file >= 0) {
        written += write(file, all.now, all.now_size);
        (void)close(file);
    }
    written += write(STDERR_FILENO, words, sizeof words - 1);
    written += write(STDERR_FILENO, all.crash_name, strlen(all.crash_name));
    written += write(STDERR_FILENO, "\n", 1);
    (void)written;
}

static void on_signal(int number)
{
    keep_input();
    (void)signal(number, SIG_DFL);
    (void)raise(number);
}

/* xorshift64* (Vigna 2016). */
static size_t random_below(size_t most)
{
    all.random ^= all.random >> 12;
    all.random ^= all.random << 25;
    all.random ^= all.random >> 27;
    return (size_t)((all.random * UINT64_C(2685821657736338717)) >> 33) % most;
}

static void input_add(const char *path)
{
    FILE *file = fopen(path, "rb");
    struct input *longer = realloc(all.inputs, (all.count + 1) * sizeof *longer);
    uint8_t *bytes = malloc(INPUT_MOST);
    if (file == NULL || longer == NULL || bytes == NULL) {
        perror(path);
        exit(2);
    }
    all.inputs = longer;
    all.inputs[all.count++] =
        (struct input){.name = strdup(path), .bytes = bytes, .size = fread(bytes, 1, INPUT_MOST, file)};
    (void)fclose(file);
}

static int by_name(const void *a, const void *b)
{
    return strcmp(((const struct input *)a)->name, ((const struct input *)b)->name);
}

static void path_add(const char *path)
{
    struct stat about;
    if (stat(path, &about) == 0 && !S_ISDIR(about.st_mode)) {
        input_add(path);
        return;
    }
    size_t first = all.count;
    DIR *folder = opendir(path);
    for (struct dirent *entry = folder == NULL ? NULL : readdir(folder); entry != NULL; entry = readdir(folder)) {
        char name[2048];
        (void)snprintf(name, sizeof name, "%s/%s", path, entry->d_name);
        if (entry->d_name[0] != '.' && stat(name, &about) == 0 && S_ISREG(about.st_mode)) {
            input_add(name);
        }
    }
    if (folder != NULL) {
        (void)closedir(folder);
        qsort(all.inputs + first, all.count - first, sizeof *all.inputs, by_name); /* the same order everywhere */
    }
}

/* Lines of the form "text" or name="text", without escapes other than \" and \\. */
static void tokens_read(const char *path)
{
    FILE *file = fopen(path, "r");
    char line[256];
    while (file != NULL && fgets(line, sizeof line, file) != NULL && all.token_count < 512) {
        char *first = line[0] == '#' ? NULL : strchr(line, '"');
        char *last = strrchr(line, '"');
        if (first != NULL && last > first) {
            char *to = first;
            for (char *from = first + 1; from < last; from++) {
                from += *from == '\\';
                *to++ = *from;
            }
            *to = '\0';
            all.tokens[all.token_count++] = strdup(first);
        }
    }
    if (file != NULL) {
        (void)fclose(file);
    }
}

/* Replaces `cut` bytes at `at` by others; the buffer holds INPUT_MOST. */
static void splice(uint8_t *bytes, size_t *size, size_t at, size_t cut, const uint8_t *put, size_t put_size)
{
    if (*size - cut + put_size > INPUT_MOST) {
        return;
    }
    memmove(bytes + at + put_size, bytes + at + cut, *size - at - cut);
    memcpy(bytes + at, put, put_size);
    *size = *size - cut + put_size;
}

static void mutate_once(uint8_t *bytes, size_t *size)
{
    static const uint8_t odd[] = {0, 0xff, 0x7f, 0x80, '"', '{', '}', '(', ')', ';', '=', '\n', '9', '-', '.', '\\'};
    size_t at = random_below(*size + 1);
    size_t left = *size - at;
    size_t cut = left == 0 ? 0 : random_below(left < GROW_MOST ? left + 1 : GROW_MOST);
    const struct input *other = &all.inputs[random_below(all.count)];
    size_t from = random_below(other->size + 1);
    size_t taken = random_below(other->size - from < GROW_MOST ? other->size - from + 1 : GROW_MOST);
    const char *token = all.token_count > 0 ? all.tokens[random_below(all.token_count)] : "";
    switch (random_below(7)) {
    case 0: /* one bit */
        if (left > 0) {
            bytes[at] ^= (uint8_t)(1u << random_below(8));
        }
        break;
    case 1: /* one byte */
        if (left > 0) {
            bytes[at] = random_below(2) == 0 ? (uint8_t)random_below(256) : odd[random_below(sizeof odd)];
        }
        break;
    case 2: /* a piece goes */
        splice(bytes, size, at, cut, bytes, 0);
        break;
    case 3: /* a piece of another file comes */
        splice(bytes, size, at, 0, other->bytes + from, taken);
        break;
    case 4: /* a piece gives way to one of another file */
        splice(bytes, size, at, cut, other->bytes + from, taken);
        break;
    case 5: /* a token comes */
        splice(bytes, size, at, 0, (const uint8_t *)token, strlen(token));
        break;
    default: /* a token for a piece */
        splice(bytes, size, at, cut < 8 ? cut : 8, (const uint8_t *)token, strlen(token));
        break;
    }
}

static void take(const uint8_t *bytes, size_t size)
{
    uint8_t *exact = malloc(size > 0 ? size : 1); /* no byte more: reading past its end is found */
    if (exact == NULL) {
        exit(2);
    }
    memcpy(exact, bytes, size);
    all.now = exact;
    all.now_size = size;
    (void)alarm(TIME_MOST_S);
    (void)LLVMFuzzerTestOneInput(exact, size);
    (void)alarm(0);
    free(exact);
    all.now = NULL;
    all.now_size = 0;
}

/* Inputs of up to RANDOM_MOST random bytes, numbered from `from`. */
static void run_random(size_t count, size_t from, unsigned long seed)
{
    uint8_t bytes[RANDOM_MOST];
    for (size_t i = from; i < from + count; i++) {
        all.random = (UINT64_C(0x9e3779b97f4a7c15) * (seed + 1)) ^ (UINT64_C(0xd1342543de82ef95) * i);
        for (int stir = 0; stir < 8; stir++) { /* neighbouring numbers begin alike */
            (void)random_below(2);
        }
        size_t size = RANDOM_MOST / 8 + random_below(RANDOM_MOST - RANDOM_MOST / 8);
        for (size_t k = 0; k < size; k++) {
            bytes[k] = (uint8_t)random_below(256);
        }
        take(bytes, size);
    }
}

static void run(size_t mutants)
{
    uint8_t *bytes = malloc(INPUT_MOST);
    if (bytes == NULL) {
        exit(2);
    }
    for (size_t i = 0; i < all.count; i++) {
        take(all.inputs[i].bytes, all.inputs[i].size);
    }
    for (size_t i = 0; i < mutants && all.count > 0; i++) {
        const struct input *parent = &all.inputs[random_below(all.count)];
        size_t size = parent->size;
        memcpy(bytes, parent->bytes, size);
        for (size_t changes = 1 + random_below(6); changes > 0; changes--) {
            mutate_once(bytes, &size);
        }
        take(bytes, size);
    }
    free(bytes);
}

int main(int argc, char **argv)
{
    size_t mutants = 0;
    size_t random = 0;
    size_t from = 1;
    unsigned long seed = 1;
    const char *slash = strrchr(argv[0], '/');
    (void)snprintf(all.crash_name, sizeof all.crash_name, "crash-%.100s", slash == NULL ? argv[0] : slash + 1);
    for (int i = 1; i < argc; i++) {
        if (strcmp(argv[i], "--mutants") == 0 && i + 1 < argc) {
            mutants = (size_t)strtoul(argv[++i], NULL, 10);
        } else if (strcmp(argv[i], "--random") == 0 && i + 1 < argc) {
            random = (size_t)strtoul(argv[++i], NULL, 10);
        } else if (strcmp(argv[i], "--from") == 0 && i + 1 < argc) {
            from = (size_t)strtoul(argv[++i], NULL, 10);
        } else if (strcmp(argv[i], "--seed") == 0 && i + 1 < argc) {
            seed = strtoul(argv[++i], NULL, 10);
        } else if (strcmp(argv[i], "--tokens") == 0 && i + 1 < argc) {
            tokens_read(argv[++i]);
        } else {
            path_add(argv[i]);
        }
    }
    all.random = UINT64_C(0x9e3779b97f4a7c15) * (seed + 1);
    (void)signal(SIGABRT, on_signal);
    (void)signal(SIGALRM, on_signal);
    if (__sanitizer_set_death_callback != NULL) {
        __sanitizer_set_death_callback(keep_input);
    } else {
        (void)signal(SIGSEGV, on_signal);
        (void)signal(SIGFPE, on_signal);
    }
    run(mutants);
    run_random(random, from, seed);
    struct rusage used = {0};
    (void)getrusage(RUSAGE_SELF, &used);
    printf("%zu files replayed, %zu mutants and %zu random inputs run (seed %lu), peak memory %ld MB\n", all.count,
           mutants, random, seed, used.ru_maxrss / 1024);
    for (size_t i = 0; i < all.count; i++) {
        free(all.inputs[i].name);
        free(all.inputs[i].bytes);
    }
    for (size_t i = 0; i < all.token_count; i++) {
        free(all.tokens[i]);
    }
    free(all.inputs);
    return all.count + random > 0 ? 0 : 2;
}
