/* choices.c: see choices.h. */
#include "fuzz/choices.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>

static unsigned next(struct choices *choices)
{
    return choices->at < choices->size ? choices->data[choices->at++] : 0u;
}

size_t below(struct choices *choices, size_t most)
{
    return next(choices) % most;
}

bool yes(struct choices *choices)
{
    return next(choices) % 2 != 0;
}

bool seldom(struct choices *choices, size_t times)
{
    return next(choices) % times == times - 1;
}

double from_to(struct choices *choices, double low, double high)
{
    return low + (high - low) * next(choices) / 255.0;
}

double finely_from_to(struct choices *choices, double low, double high)
{
    unsigned upper = next(choices);
    return low + (high - low) * (256 * upper + next(choices)) / 65535.0;
}

double ratio_from_to(struct choices *choices, double low, double high)
{
    return low * pow(high / low, next(choices) / 255.0);
}

void put(struct choices *choices, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    int length = vsnprintf(choices->text + choices->used, choices->text_size - choices->used, format, arguments);
    va_end(arguments);
    choices->used += (size_t)(length > 0 ? length : 0);
    if (choices->used >= choices->text_size) {
        choices->used = choices->text_size - 1;
    }
}
