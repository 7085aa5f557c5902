/* bench.c: see bench.h. */
#include "bench.h"

#include "chem/water.h"
#include "scenario/read.h"

#include "support/close.h"

#include <stdlib.h>
#include <string.h>

struct bench *bench_open(double volume, double area, double temperature_K)
{
    struct bench *bench = calloc(1, sizeof *bench);
    assert_non_null(bench);
    struct complaints complaints;
    complaints_init(&complaints);
    const char *names[PROCESSES_KNOWN_MOST + 1];
    process_names(names);
    struct status status = model_read("sugar-lime", NULL, names, MODELS_DIR, &bench->scenario.model, &complaints);
    if (!status_is_ok(&status)) {
        fail_msg("%s", status.message);
    }
    complaints_free(&complaints);
    memset(bench->scenario.model.process_on, 0, sizeof bench->scenario.model.process_on);
    bench->scenario.fill = volume;

    struct vat *vat = &bench->vat;
    vat->scenario = &bench->scenario;
    for (int i = 0; i < CONSTANT_COUNT; i++) {
        vat->constants[i] = bench->scenario.model.constants[i].nominal;
    }
    vat->settings = (struct settings){
        .constants = vat->constants,
        .area = area,
        .lid_oxygen = 1.0,
        .lid_carbon_dioxide = 1.0,
        .lid_evaporation = 1.0,
        .night_K = temperature_K,
        .day_K = temperature_K,
        .humidity = 0.5,
        .carbon_dioxide = 425e-6,
        .pressure_atm = 1.0,
    };
    vat->amount[S_WATER] = volume * water_density(temperature_K) / WATER_MOLAR_MASS;
    bench_set_temperature(bench, temperature_K);
    return bench;
}

void bench_close(struct bench *bench)
{
    model_free(&bench->scenario.model);
    free(bench);
}

void bench_set_temperature(struct bench *bench, double temperature_K)
{
    bench->vat.amount[S_HEAT] = heat_of_temperature(temperature_K, bench->vat.amount[S_WATER]);
}

static size_t index_of(const char *process)
{
    for (size_t i = 0; i < process_count(); i++) {
        if (strcmp(process_at(i)->name, process) == 0) {
            return i;
        }
    }
    fail_msg("no process '%s'", process);
    return 0;
}

void bench_switch_on(struct bench *bench, const char *process)
{
    bench->scenario.model.process_on[index_of(process)] = true;
}

void bench_put(struct bench *bench, enum species species, double per_m3)
{
    bench->vat.amount[species] = per_m3 * bench_liquor(bench)->volume;
}

void bench_set_ph(struct bench *bench, double ph)
{
    double low = 0.0;
    double high = 3000.0;
    for (int i = 0; i < 100; i++) {
        double middle = 0.5 * (low + high);
        bench_put(bench, S_ALKALI, middle);
        if (bench_liquor(bench)->ions.ph < ph) {
            low = middle;
        } else {
            high = middle;
        }
    }
    assert_close(bench_liquor(bench)->ions.ph, ph, 0.0, 1e-9);
}

struct liquor *bench_liquor(struct bench *bench)
{
    struct vat *vat = &bench->vat;
    liquor_from_amounts(&vat->liquor, &vat->settings, vat->time, vat->amount, NULL);
    assert_int_equal(vat->liquor.failure, 0);
    return &vat->liquor;
}

double bench_rate(struct bench *bench, const char *process)
{
    return process_at(index_of(process))->rate(bench_liquor(bench));
}

void bench_run(struct bench *bench, double seconds, double relative)
{
    struct vat *vat = &bench->vat;
    double absolute[STATE_COUNT];
    reaction_prepare(vat);
    reaction_look_at_settings(&vat->reaction);
    for (int s = 0; s < STATE_COUNT; s++) {
        absolute[s] = relative * vat->reaction.typical[s];
    }
    struct ode_problem problem = reaction_problem(&vat->reaction);
    struct ode *ode = NULL;
    struct status status = ode_create(&problem, relative, absolute, &ode);
    assert_true(status_is_ok(&status));
    double stop = vat->time + seconds;
    status = ode_restart(ode, vat->time, vat->amount, 0.0);
    while (status_is_ok(&status) && ode_time(ode) < stop) {
        status = ode_step(ode, stop);
    }
    if (!status_is_ok(&status)) {
        fail_msg("%s", status.message);
    }
    memcpy(vat->amount, ode_state(ode), sizeof vat->amount);
    vat->time = stop;
    ode_free(ode);
}

double bench_uniform(uint64_t *seed)
{
    *seed = *seed * 6364136223846793005ULL + 1442695040888963407ULL;
    return (double)(*seed >> 11) / 9007199254740992.0;
}

void bench_draw(struct bench *bench, uint64_t *seed)
{
    struct vat *vat = &bench->vat;
    struct settings *settings = &vat->settings;
    double volume = vat->scenario->fill;
    bench_set_temperature(bench, 285.0 + 35.0 * bench_uniform(seed));
    for (int s = 0; s < STATE_COUNT; s++) {
        if (s != S_WATER && s != S_HEAT) {
            double share = bench_uniform(seed);
            vat->amount[s] = volume * share * share;
        }
    }
    vat->amount[S_OXYGEN] *= 0.1;
    vat->amount[S_CALCIUM] = volume * 15.0 * bench_uniform(seed);
    vat->amount[S_ALKALI] = volume * (6.0 + 30.0 * bench_uniform(seed));
    vat->amount[S_FRUCTOSE] *= 20.0;
    vat->amount[S_GLUCOSE] *= 20.0;
    vat->time = 86400.0 * bench_uniform(seed);
    settings->stirring = (enum stirring)(int)(4.0 * bench_uniform(seed));
    settings->heater_power = 1500.0;
    settings->heater_hold_K =
        bench_uniform(seed) < 0.5 ? 0.0 : temperature_of_heat(vat->amount[S_HEAT], vat->amount[S_WATER]) + 0.3;
    settings->sun_gain = 400.0;
    settings->covered = bench_uniform(seed) < 0.5;
    settings->perimeter = 1.1;
    settings->wall_u = 5.0;
    settings->surface_u = 8.0;
    settings->draught = 0.1;
    settings->night_K = 283.0;
    settings->day_K = 298.0;
    for (int i = 0; i < MAX_SOAKING_ZONES; i++) {
        settings->cloth[i] = (struct soaking_cloth){.in = true,
                                                    .mass = 0.2,
                                                    .freundlich = 0.01,
                                                    .exponent = 0.5,
                                                    .cap = 0.05,
                                                    .rate_30C = 1e-3,
                                                    .ph_response = i % 3};
    }
}

void bench_all_on(struct bench *bench)
{
    for (size_t i = 0; i < process_count(); i++) {
        bench_switch_on(bench, process_at(i)->name);
    }
    reaction_prepare(&bench->vat);
}
