/* fuzz_result.c: a result file with any bytes of it changed, read and told as text.
 *
 * Files are read as ever, after a child process has tried them. fuzz_result_bare does without the child, to look into
 * inputs that break it down.
 *
 * An input is a list of changes to a sound file, four bytes each: where (three bytes, the lowest first) and the new
 * value; an input that begins like an HDF5 file is taken as the file itself.
 *
 * The seal and HDF5's own checksums would turn away nearly every mutated file at the door. Here the seal is left out,
 * which a reader allows, and most checksums are taken as they stand: H5_checksum_metadata below comes before the
 * library's and answers, for blocks known by their first letters, with the four bytes that follow them, which is where
 * their checksum is kept.
 */
#define _GNU_SOURCE /* RTLD_NEXT */
#include "fuzz/fuzz.h"

#include "cli/summary.h"
#include "record/fake_result.h"
#include "record/record.h"
#include "record/seal.h"

#include <dlfcn.h>
#include <math.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "record/guard.h"

#ifdef FUZZ_BARE
/* Stands in for the real one, so that a breakdown is seen where it happens: in HDF5, or in our reader? */
struct status guard_try(guard_attempt *attempt, const char *path)
{
    (void)attempt;
    (void)path;
    return status_ok();
}
#endif

typedef uint32_t checksum_function(const void *data, size_t length, uint32_t start);
checksum_function H5_checksum_metadata;

static bool checksums_are_believed; /* while reading */

uint32_t H5_checksum_metadata(const void *data, size_t length, uint32_t start)
{
    static checksum_function *real;
    static const char *const blocks[] = {"\x89HDF", "OHDR", "OCHK", "BTHD", "BTIN", "BTLF", "FRHP", "FHIB", "FSHD", "FSSE"};
    for (size_t i = 0; checksums_are_believed && length > 4 && i < sizeof blocks / sizeof blocks[0]; i++) {
        if (memcmp(data, blocks[i], 4) == 0) {
            uint32_t stored;
            memcpy(&stored, (const char *)data + length, sizeof stored);
            return stored;
        }
    }
    if (real == NULL) {
        void *found = dlsym(RTLD_NEXT, "H5_checksum_metadata");
        fuzz_expect(found != NULL, "the library has a checksum");
        memcpy(&real, &found, sizeof real);
    }
    return real(data, length, start);
}

#if !GUARD_BOUNDS_MEMORY && __has_include(<sanitizer/allocator_interface.h>)
#include <sanitizer/allocator_interface.h>
/* Without a bound the guard's child would pass files that ask for gigabytes, which the program as built for use refuses. */
static size_t child_may_hold; /* bytes; 0: this is no child */

static void start_of_child(void)
{
    child_may_hold = __sanitizer_get_current_allocated_bytes() + GUARD_MEMORY;
}

static void count_memory(const volatile void *block, size_t size)
{
    (void)block;
    (void)size;
    if (child_may_hold > 0 && __sanitizer_get_current_allocated_bytes() > child_may_hold) {
        _exit(1);
    }
}

static void no_count(const volatile void *block)
{
    (void)block;
}

static void bound_memory_of_children(void)
{
    static bool bound;
    if (!bound) {
        bound = pthread_atfork(NULL, NULL, start_of_child) == 0 &&
                __sanitizer_install_malloc_and_free_hooks(count_memory, no_count) != 0;
        fuzz_expect(bound, "the memory of the guard's child can be bounded");
    }
}
#else
static void bound_memory_of_children(void) {}
#endif

static void result_expect(const struct result *result)
{
    for (size_t i = 0; i < result->series.column_count; i++) {
        fuzz_expect(result->series.rows == 0 || result->series.columns[i].values != NULL, "columns have values");
    }
    fuzz_expect(isfinite(result->start_unix), "the start is a time");
}

/* The sound file, without its seal; owned by the program. */
static const uint8_t *sound_file(size_t *size)
{
    static uint8_t *bytes;
    static size_t length;
    if (bytes == NULL) {
        struct result result;
        const char *path = fuzz_file("sound.h5", (const uint8_t *)"", 0);
        fake_result(&result);
        struct status status = record_write(&result, path, true);
        fuzz_expect(status_is_ok(&status), "the sound file can be written");
        result_free(&result);
        FILE *file = fopen(path, "rb");
        bytes = malloc((size_t)1 << 24);
        length = file == NULL || bytes == NULL ? 0 : fread(bytes, 1, (size_t)1 << 24, file);
        fuzz_expect(length > SEAL_SIZE && length < (size_t)1 << 24, "the sound file can be read");
        length -= SEAL_SIZE;
        if (file != NULL) {
            (void)fclose(file);
        }
    }
    *size = length;
    return bytes;
}

/* The file that an input stands for. */
static const char *input_file(const uint8_t *data, size_t size)
{
    static uint8_t *changed;
    size_t length;
    const uint8_t *sound = sound_file(&length);
    if (size > 8 && memcmp(data, sound, 8) == 0) {
        return fuzz_file("result.h5", data, size);
    }
    if (changed == NULL) {
        changed = malloc(length);
        fuzz_expect(changed != NULL, "memory for the file");
    }
    memcpy(changed, sound, length); /* NOLINT(clang-analyzer-core.NonNullParamChecker): expected above */
    for (size_t i = 0; i + 4 <= size; i += 4) {
        size_t at = ((size_t)data[i] | (size_t)data[i + 1] << 8 | (size_t)data[i + 2] << 16) % length;
        changed[at] = data[i + 3];
    }
    return fuzz_file("result.h5", changed, length);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct result result;
    const char *path = input_file(data, size);
    bound_memory_of_children();
    checksums_are_believed = true;
    struct status status = record_read(path, &result);
    checksums_are_believed = false;
    if (status_is_ok(&status)) {
        result_expect(&result);
        char *told = NULL;
        size_t length = 0;
        FILE *out = open_memstream(&told, &length);
        if (out != NULL) {
            summary_print(out, &result, "result.h5", false);
            (void)fclose(out);
        }
        free(told);
    } else {
        fuzz_expect(status.code == STATUS_IO || status.code == STATUS_LIMIT || status.code == STATUS_MEMORY,
                    "a file that is no result is refused in words");
        fuzz_expect(status.message[0] != '\0', "a refusal says why");
    }
    result_free(&result);
    return 0;
}
