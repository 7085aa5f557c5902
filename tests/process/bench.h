/* bench.h: a vat on the bench, laid out by hand: chosen constants, settings, amounts and processes, and the real
 * integrator. */
#ifndef VATCAST_TESTS_PROCESS_BENCH_H
#define VATCAST_TESTS_PROCESS_BENCH_H

#include "sim/vat.h"

#include <stdint.h>

struct bench {
    struct scenario scenario; /* holds the model only */
    struct vat vat;           /* constants, settings and amounts are free to be changed */
};

/* A bench with the constants of models/sugar-lime.conf, all processes off, and `volume` m3 of pure water at a
 * temperature in a still, dark room of the same temperature. No heat passes walls or surface until their U is set. */
struct bench *bench_open(double volume, double area, double temperature_K);
void bench_close(struct bench *bench);

void bench_set_temperature(struct bench *bench, double temperature_K);
void bench_switch_on(struct bench *bench, const char *process);

/* Amounts as mol per m3 of the bench's water. */
void bench_put(struct bench *bench, enum species species, double per_m3);

/* Alkali such that the liquor has this pH. */
void bench_set_ph(struct bench *bench, double ph);

/* The liquor at the bench's amounts, settings and constants, worked out anew. */
struct liquor *bench_liquor(struct bench *bench);

/* Rate of a process in that liquor, extent per second. */
double bench_rate(struct bench *bench, const char *process);

/* Switches all processes on and prepares the integrator's problem. */
void bench_all_on(struct bench *bench);

/* A number from 0 to 1, and the next seed. */
double bench_uniform(uint64_t *seed);

/* A liquor of everything, limy or not, warm or cool, in a draughty sunny place, with cloth in it. */
void bench_draw(struct bench *bench, uint64_t *seed);

/* Integrates the processes switched on for some seconds. */
void bench_run(struct bench *bench, double seconds, double relative);

#endif
