/* test_spectrum.c: the shape of indigo's absorption, undyed cloth, dyed cloth. */
#include "chem/kubelka_munk.h"
#include "chem/spectrum.h"

#include "support/close.h"

#define LIMIT 26.5

static const struct cloth_look cotton = {0.78, 0.86, 660.0, 0.006};

static double greatest_at(double peak_nm)
{
    double best = 0.0;
    for (double nm = 380.0; nm <= 780.0; nm += 1.0) {
        best = indigo_shape(nm, peak_nm) > indigo_shape(best > 0.0 ? best : 380.0, peak_nm) ? nm : best;
    }
    return best;
}

static void grid(void **state)
{
    (void)state;
    assert_close(spectrum_wavelength_nm(0), 380.0, 0.0, 0.0);
    assert_close(spectrum_wavelength_nm(SPECTRUM_COUNT - 1), 780.0, 0.0, 0.0);
    struct spectrum s;
    for (int i = 0; i < SPECTRUM_COUNT; i++) {
        s.at[i] = 2.0 * spectrum_wavelength_nm(i);
    }
    assert_close(spectrum_value(&s, 503.0), 1006.0, 1e-14, 0.0);
    assert_close(spectrum_value(&s, 300.0), 760.0, 0.0, 0.0);
    assert_close(spectrum_value(&s, 900.0), 1560.0, 0.0, 0.0);
}

static void peak_is_where_it_is_said(void **state)
{
    (void)state;
    /* 660 nm on cotton, common practice; 660 to 620 on wool, Son, Shin & Yoo 2010, abstract */
    for (double peak = 620.0; peak <= 660.0; peak += 10.0) {
        assert_close(indigo_shape(peak, peak), 1.0, 1e-14, 0.0);
        assert_close(greatest_at(peak), peak, 0.0, 2.0);
    }
    /* 635 nm is on the shoulder, not far down (Sahin et al. 2004, abstract; in water) */
    assert_between(indigo_shape(635.0, 660.0), 0.85, 0.999);
    /* blue is let back most: the least absorption lies in the violet, and the far red clears */
    double least = 1.0;
    double least_nm = 0.0;
    for (double nm = 380.0; nm <= 660.0; nm += 5.0) {
        if (indigo_shape(nm, 660.0) < least) {
            least = indigo_shape(nm, 660.0);
            least_nm = nm;
        }
    }
    assert_between(least_nm, 395.0, 440.0);
    assert_between(least, 0.05, 0.20);
    assert_true(indigo_shape(760.0, 660.0) < 0.15);
}

static void undyed_cloth_is_as_given(void **state)
{
    (void)state;
    struct spectrum reflectance;
    dyed_cloth_reflectance(&cotton, 0.0, LIMIT, &reflectance);
    assert_close(spectrum_value(&reflectance, 450.0), 0.78, 1e-12, 0.0);
    assert_close(spectrum_value(&reflectance, 650.0), 0.86, 1e-12, 0.0);
    for (int i = 1; i < SPECTRUM_COUNT; i++) {
        assert_true(reflectance.at[i] > reflectance.at[i - 1] && reflectance.at[i] < 1.0);
    }
    const struct cloth_look grey = {0.5, 0.5, 660.0, 0.01};
    dyed_cloth_reflectance(&grey, 0.0, LIMIT, &reflectance);
    assert_close(reflectance.at[0], 0.5, 1e-12, 0.0);
    assert_close(reflectance.at[SPECTRUM_COUNT - 1], 0.5, 1e-12, 0.0);
}

static void dye_adds_to_the_cloth(void **state)
{
    (void)state;
    struct spectrum dye;
    struct spectrum undyed;
    struct spectrum reflectance;
    indigo_k_over_s(5.0, LIMIT, 660.0, &dye);
    undyed_k_over_s(&cotton, &undyed);
    dyed_cloth_reflectance(&cotton, 5.0, LIMIT, &reflectance);
    assert_close(spectrum_value(&dye, 660.0), 5.0, 1e-12, 0.0);
    for (int i = 0; i < SPECTRUM_COUNT; i++) {
        double inside = reflectance_without_floor(reflectance.at[i], cotton.specular_floor);
        assert_close(kubelka_munk_ratio(inside), dye.at[i] + undyed.at[i], 1e-9, 0.0);
    }
    /* weak dye keeps its shape, strong dye is flattened toward the limit, never past it */
    indigo_k_over_s(1e-6, LIMIT, 660.0, &dye);
    assert_close(spectrum_value(&dye, 500.0), 1e-6 * indigo_shape(500.0, 660.0), 1e-6, 0.0);
    indigo_k_over_s(22.0, LIMIT, 660.0, &dye);
    assert_true(spectrum_value(&dye, 500.0) > 22.0 * indigo_shape(500.0, 660.0));
    indigo_k_over_s(1e9, LIMIT, 660.0, &dye);
    for (int i = 0; i < SPECTRUM_COUNT; i++) {
        assert_true(isfinite(dye.at[i]) && dye.at[i] <= LIMIT);
    }
}

static void more_dye_gives_back_less(void **state)
{
    (void)state;
    struct spectrum last;
    dyed_cloth_reflectance(&cotton, 0.0, LIMIT, &last);
    for (double k = 0.25; k < LIMIT; k += 0.25) {
        struct spectrum now;
        dyed_cloth_reflectance(&cotton, k, LIMIT, &now);
        for (int i = 0; i < SPECTRUM_COUNT; i++) {
            assert_true(now.at[i] < last.at[i] && now.at[i] > cotton.specular_floor);
        }
        last = now;
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(grid),
        cmocka_unit_test(peak_is_where_it_is_said),
        cmocka_unit_test(undyed_cloth_is_as_given),
        cmocka_unit_test(dye_adds_to_the_cloth),
        cmocka_unit_test(more_dye_gives_back_less),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
