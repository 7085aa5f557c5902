/* fuzz.h: what the harnesses of this folder share.
 *
 * Each fuzz_NAME.c defines LLVMFuzzerTestOneInput, which takes any bytes and ends the program when a promise is broken.
 * Linked with libFuzzer (tools/fuzz.sh) it is led by coverage; linked with standalone.c it replays files and mutates them.
 */
#ifndef VATCAST_TESTS_FUZZ_FUZZ_H
#define VATCAST_TESTS_FUZZ_FUZZ_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Takes one input; always 0. The name is libFuzzer's. */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* Puts the bytes into a file of that name, in a folder of this process that is removed at its end. The path stays the
 * same from call to call. Ends the program when it cannot be written. */
const char *fuzz_file(const char *name, const uint8_t *data, size_t size);

/* The bytes as a text, up to their first NUL; freed by the caller. */
char *fuzz_text(const uint8_t *data, size_t size);

/* Ends the program, saying what promise was broken, when it does not hold. */
void fuzz_expect(bool holds, const char *promise);

#endif
