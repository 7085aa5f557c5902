/* numbers.h: what is asked of numbers in many places. */
#ifndef VATCAST_BASE_NUMBERS_H
#define VATCAST_BASE_NUMBERS_H

/* The value, or 0 when it is below; also for NAN. */
static inline double at_least_zero(double value)
{
    return value > 0.0 ? value : 0.0;
}

#endif
