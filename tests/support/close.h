/* close.h: cmocka in the right include order, and a comparison of doubles that tells both numbers. */
#ifndef VATCAST_TESTS_CLOSE_H
#define VATCAST_TESTS_CLOSE_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>

static inline void assert_close_at(double got, double want, double relative, double absolute, const char *expression,
                                   const char *file, int line)
{
    double allowed = absolute + relative * fabs(want);
    /* written so that a NaN fails */
    if (!(fabs(got - want) <= allowed)) {
        print_error("%s: got %.17g, want %.17g, off by %.3g, allowed %.3g\n", expression, got, want, got - want,
                    allowed);
        _fail(file, line);
    }
}

/* Passes when |got - want| <= absolute + relative |want|; otherwise prints both and fails the test. */
#define assert_close(got, want, relative, absolute)                                                                    \
    assert_close_at((got), (want), (relative), (absolute), #got, __FILE__, __LINE__)

static inline void assert_between_at(double got, double low, double high, const char *expression, const char *file,
                                     int line)
{
    if (!(got >= low && got <= high)) {
        print_error("%s: got %.17g, want %.17g to %.17g\n", expression, got, low, high);
        _fail(file, line);
    }
}

/* Passes when low <= got <= high. */
#define assert_between(got, low, high) assert_between_at((got), (low), (high), #got, __FILE__, __LINE__)

#endif
