/* test_kubelka_munk.c: reflectance and K/S, the floor, and how K/S grows with the dye. */
#include "chem/kubelka_munk.h"

#include "support/close.h"
#include "support/csv.h"

static const struct indigo_yield yield = {26.5, 0.0135, 0.0225};

static void table_of_reflectance(void **state)
{
    (void)state;
    /* Kubelka & Munk 1931; the table's own source is in its file. 0.05 percentage points */
    struct csv csv = csv_read("kubelka_munk.csv");
    for (int i = 0; i < csv.rows; i++) {
        double got = 100.0 * kubelka_munk_reflectance(csv_value(&csv, i, "k_over_s"));
        assert_close(got, csv_value(&csv, i, "reflectance_percent"), 0.0, 0.05);
    }
    assert_close(kubelka_munk_reflectance(0.0), 1.0, 0.0, 0.0);
    assert_close(kubelka_munk_reflectance(-1.0), 1.0, 0.0, 0.0);
    /* the published form, where it does not cancel */
    assert_close(kubelka_munk_reflectance(4.0), 1.0 + 4.0 - sqrt(16.0 + 8.0), 1e-14, 0.0);
    /* far out R goes as 1 / (2 K/S) */
    assert_close(kubelka_munk_reflectance(1e9), 0.5e-9, 1e-8, 0.0);
}

static void ratio_is_the_other_way_round(void **state)
{
    (void)state;
    for (double q = 1e-4; q < 1e4; q *= 3.0) {
        assert_close(kubelka_munk_ratio(kubelka_munk_reflectance(q)), q, 1e-9, 0.0);
    }
    assert_close(kubelka_munk_ratio(0.5), 0.25, 1e-15, 0.0); /* by hand: 0.25 / 1 */
    assert_close(kubelka_munk_ratio(1.0), 0.0, 0.0, 0.0);
    assert_close(kubelka_munk_ratio(1.2), 0.0, 0.0, 0.0);
    assert_true(isinf(kubelka_munk_ratio(0.0)));
}

static void floor_keeps_black_off(void **state)
{
    (void)state;
    assert_close(reflectance_with_floor(0.0, 0.01), 0.01, 1e-15, 0.0);
    assert_close(reflectance_with_floor(1.0, 0.01), 1.0, 1e-15, 0.0);
    assert_close(reflectance_with_floor(0.3, 0.0), 0.3, 0.0, 0.0);
    for (double r = 0.0; r <= 1.0; r += 0.1) {
        assert_close(reflectance_without_floor(reflectance_with_floor(r, 0.02), 0.02), r, 0.0, 1e-14);
    }
    assert_close(reflectance_without_floor(0.001, 0.02), 0.0, 0.0, 0.0);
    /* without the floor off, a deep shade is read as lighter than it is: 3 % seen, 1 % of it floor, K/S 15.7 for
     * 23.8 */
    assert_close(kubelka_munk_ratio(0.03), 15.68, 0.001, 0.0);
    assert_close(kubelka_munk_ratio(reflectance_without_floor(0.03, 0.01)), 23.76, 0.001, 0.0);
}

static void more_dye_is_deeper(void **state)
{
    (void)state;
    /* by hand: 1 - exp(-1) = 0.632121 of the limit at the owf of each kind of dyeing */
    assert_close(indigo_k_over_s_660(0.0135, 1.0, &yield), 26.5 * 0.632121, 1e-6, 0.0);
    assert_close(indigo_k_over_s_660(0.0225, 0.0, &yield), 26.5 * 0.632121, 1e-6, 0.0);
    assert_close(indigo_k_over_s_660(0.0, 0.5, &yield), 0.0, 0.0, 0.0);
    assert_close(indigo_k_over_s_660(-0.01, 0.5, &yield), 0.0, 0.0, 0.0);
    /* slopes mix: half of each ring and core gives the mean of the two first slopes */
    double ring = indigo_k_over_s_660(1e-7, 1.0, &yield);
    double core = indigo_k_over_s_660(1e-7, 0.0, &yield);
    assert_close(indigo_k_over_s_660(1e-7, 0.5, &yield), 0.5 * (ring + core), 1e-5, 0.0);
    double last = 0.0;
    for (double owf = 0.001; owf < 0.08; owf += 0.001) {
        double now = indigo_k_over_s_660(owf, 0.25, &yield);
        assert_true(now > last && now < yield.k_over_s_limit);
        assert_true(indigo_k_over_s_660(owf, 0.8, &yield) > now); /* a ring shows more (Etters 1996) */
        assert_close(indigo_owf(now, 0.25, &yield), owf, 1e-9, 0.0);
        last = now;
    }
    assert_true(isinf(indigo_owf(26.5, 0.25, &yield)));
}

static void shades_of_practice(void **state)
{
    (void)state;
    /* K/S 660 by shade, estimate; at the geometric mean of each range of owf */
    struct csv csv = csv_read("shades.csv");
    for (int i = 0; i < csv.rows; i++) {
        double low = csv_value(&csv, i, "owf_low_percent");
        double high = csv_value(&csv, i, "owf_high_percent");
        double got = indigo_k_over_s_660(0.01 * sqrt(low * high), 0.25, &yield);
        assert_between(got, csv_value(&csv, i, "k_over_s_low"), csv_value(&csv, i, "k_over_s_high"));
    }
    /* first slope per 1 % owf, estimate: 8 to 12 well penetrated, 15 to 20 strong ring dyeing */
    assert_between(0.01 * 26.5 / indigo_yield_owf(0.0, &yield), 8.0, 12.0);
    assert_between(0.01 * 26.5 / indigo_yield_owf(1.0, &yield), 15.0, 20.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(table_of_reflectance),  cmocka_unit_test(ratio_is_the_other_way_round),
        cmocka_unit_test(floor_keeps_black_off), cmocka_unit_test(more_dye_is_deeper),
        cmocka_unit_test(shades_of_practice),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
