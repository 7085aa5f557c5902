/* lanes.h: numbers side by side in the registers of the processor, each of another run.
 *
 * What is reckoned for one run and for several at once is written once, in headers that are included with these set, here or by who
 * includes them:
 *   NUMBER       what is reckoned with: double, or a vector of doubles of its own width for each kind of processor
 *   MARKS        what comparing such gives: integers, all bits set or none
 *   OF(name)     what functions and structs are called
 *   ON           attributes of the functions
 *   WIDTH        how many numbers there are side by side
 *   SIZE(a)      its absolute value
 *   TAKE_ROOT(to, a), TAKE_EXPONENTIAL(to, a)   to = that of a variable
 *   IS_MORE(a, b), IS_LESS(a, b), IS_SAME(a, b)   marks
 *   CHOOSE(marks, a, b)   a where marked, else b
 *   LARGER(a, b), SMALLER(a, b)   of the two; b where they cannot be compared
 *   IS_ANY(marks)   whether one is marked, of a variable
 *   PART(tag, of, member)   a member, a double, of struct `tag` of doubles only, of which NUMBERs stand in a row at `of`
 * A lane comes to what a double comes to, to the last bit: no product and sum are fused, and what has a function in the C library is
 * asked of it for each lane. Lanes are handed on by address: how they are handed on by value differs between processors.
 */
#ifndef VATCAST_BASE_LANES_H
#define VATCAST_BASE_LANES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define LANES 8 /* at most; processors with narrower registers go through them in two or four parts */

/* What the processor has for them, and what the functions are compiled for. */
enum lanes_kind { LANES_PLAIN, LANES_WIDE, LANES_WIDEST, LANES_KINDS };

/* How many numbers a register of each kind holds, and attributes of functions that a processor of it can run. */
#define LANES_PLAIN_WIDTH 2
#ifdef __x86_64__
#define LANES_WIDE_WIDTH 4
#define LANES_WIDEST_WIDTH 8
#define LANES_ON_WIDE __attribute__((target("avx2")))
#define LANES_ON_WIDEST __attribute__((target("avx512f")))
#define LANES_EACH(name)                                                                                               \
    {                                                                                                                  \
        plain_##name, wide_##name, widest_##name                                                                       \
    } /* what each_kind.h made, by kind */
#else
#define LANES_EACH(name)                                                                                               \
    {                                                                                                                  \
        plain_##name                                                                                                   \
    }
#endif

int lanes_width(enum lanes_kind kind);

/* Whether this processor can run what is compiled for a kind, and the last that it can. */
bool lanes_has(enum lanes_kind kind);
enum lanes_kind lanes_best(void);

/* The narrowest kind, at most `kind`, whose registers hold `count` numbers; `kind` when none does. */
enum lanes_kind lanes_for(enum lanes_kind kind, int count);

#endif
