/* choices.h: bytes taken one by one as choices, and the text that they write. Bytes that run out count as zero. */
#ifndef VATCAST_TESTS_FUZZ_CHOICES_H
#define VATCAST_TESTS_FUZZ_CHOICES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct choices {
    const uint8_t *data;
    size_t size;
    size_t at;
    char *text; /* of text_size bytes */
    size_t text_size, used;
};

/* One of `most` numbers from 0; `most` is at most 256. */
size_t below(struct choices *choices, size_t most);
bool yes(struct choices *choices);
/* True once in so many times. */
bool seldom(struct choices *choices, size_t times);
/* A number from low to high in 255 steps; the same in 65535 steps; the same in equal ratios. */
double from_to(struct choices *choices, double low, double high);
double finely_from_to(struct choices *choices, double low, double high);
double ratio_from_to(struct choices *choices, double low, double high);

#define COUNT(list) (sizeof(list) / sizeof(list)[0])
#define PICK(choices, list) (list)[below((choices), COUNT(list))]

void put(struct choices *choices, const char *format, ...) __attribute__((format(printf, 2, 3)));

#endif
