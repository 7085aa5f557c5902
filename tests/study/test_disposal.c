/* test_disposal.c: the acid that neutralises a vat, against stoichiometry, an independent calculation and common practice. */
#include "study/disposal.h"
#include "study/following.h"

#include "support/close.h"
#include "support/csv.h"

#define VINEGAR_CHARGE 0.83 /* mol/kg: 5 % acetic acid; models/materials.conf */
#define VINEGAR_WATER 0.95
#define CITRIC_CHARGE 15.6
#define MOLAR_LIME 0.074093

/* Sugar and leuco are not in the table, so their constants are of no account. */
static const struct speciation_parameters usual = {8.0, 12.7, 12.1, 12.3, -0.02, 0.4, 3.9};

/* tests/data/titration.csv: SciPy and textbook constants. Both calculations keep the same carbon in solution; what they differ
 * in, the constants of the carbonate pairs, is worth less than a hundredth of the lime's alkali; the nearly neutral liquor
 * has little alkali to begin with. */
static void takes_the_acid_that_scipy_finds(void **state)
{
    (void)state;
    struct csv table = csv_read("titration.csv");
    for (int row = 0; row < table.rows; row++) {
        struct alkaline liquor = {.totals = {.calcium = csv_value(&table, row, "calcium_mmol_per_L"),
                                             .acid = csv_value(&table, row, "acid_mmol_per_L"),
                                             .carbon = csv_value(&table, row, "carbon_mmol_per_L")},
                                  .volume = 1e-3 * csv_value(&table, row, "volume_L"),
                                  .lime = 1e-3 * csv_value(&table, row, "lime_mmol"),
                                  .temperature_K = 298.15,
                                  .parameters = usual};
        double vinegar = acid_to_reach(&liquor, DISPOSAL_PH, VINEGAR_CHARGE, VINEGAR_WATER);
        double citric = acid_to_reach(&liquor, DISPOSAL_PH, CITRIC_CHARGE, 0.0);
        assert_close(vinegar, csv_value(&table, row, "vinegar_kg"), 0.01, 0.0);
        assert_close(citric, csv_value(&table, row, "citric_acid_kg"), 0.01, 0.0);
        assert_close(ph_with_acid(&liquor, vinegar, VINEGAR_CHARGE, VINEGAR_WATER), DISPOSAL_PH, 0.0, 1e-4);
    }
}

/* Ca(OH)2 + 2 H+: each gram of lime takes 2/74.093 mol of acid: 32 mL of 5 % vinegar or 1.73 g of citric acid (practice,
 * section 6). Pure lime in water, no carbonate: only the hydroxide left at the end is not taken up, 1e-5.5 of a mol/L. */
static void lime_takes_two_acids(void **state)
{
    (void)state;
    struct alkaline liquor = {.volume = 0.019, .lime = 0.1 / MOLAR_LIME, .temperature_K = 298.15, .parameters = usual};
    double vinegar = acid_to_reach(&liquor, DISPOSAL_PH, VINEGAR_CHARGE, VINEGAR_WATER);
    double citric = acid_to_reach(&liquor, DISPOSAL_PH, CITRIC_CHARGE, 0.0);
    assert_close(vinegar * VINEGAR_CHARGE, 2.0 * 0.1 / MOLAR_LIME, 1e-3, 0.0);
    assert_close(citric, 0.173, 0.0, 0.001);
    assert_true(vinegar / 1.01 * 1e3 < 3.5e3); /* practice, section 8, row 21: above 3.5 L is a bug */
}

static void half_the_acid_leaves_a_strong_liquor(void **state)
{
    (void)state;
    struct alkaline liquor = {.totals = {.calcium = 40.0, .acid = 40.0, .carbon = 0.2},
                              .volume = 0.02,
                              .temperature_K = 298.15,
                              .parameters = usual};
    double last = 20.0;
    double whole = acid_to_reach(&liquor, DISPOSAL_PH, VINEGAR_CHARGE, VINEGAR_WATER);
    for (int i = 0; i <= 10; i++) { /* pH falls all the way, most of it at the end */
        double ph = ph_with_acid(&liquor, 0.1 * i * whole, VINEGAR_CHARGE, VINEGAR_WATER);
        assert_true(ph < last);
        last = ph;
    }
    assert_true(ph_with_acid(&liquor, 0.5 * whole, VINEGAR_CHARGE, VINEGAR_WATER) > 11.5);
    liquor.totals.acid = 81.0; /* more acid than lime: nothing to neutralise */
    assert_close(acid_to_reach(&liquor, DISPOSAL_PH, VINEGAR_CHARGE, VINEGAR_WATER), 0.0, 0.0, 1e-12);
}

/* 19 L with 100 g of lime still in it: at most 3.2 L of vinegar, or 173 g of citric acid, and what is dissolved on top
 * (practice, section 6); the clear liquor alone 20 to 60 % of it. */
static void answers_for_a_vat(void **state)
{
    (void)state;
    struct scenario vat = following_base();
    struct disposal disposal;
    assert_int_equal(disposal_find(&vat, &disposal).code, STATUS_SCENARIO);
    vat.charge_count = 0;
    vat.fill = 0.019;
    vat.existing = (struct existing_vat){.exists = true,
                                         .temperature_K = 293.15,
                                         .ph = 12.3,
                                         .age = 86400.0 * 60,
                                         .look = LOOK_BLUE,
                                         .indigotin = 0.02,
                                         .lime_solid = 0.1 / MOLAR_LIME,
                                         .lime_known = true,
                                         .acid = NAN,
                                         .leuco = NAN,
                                         .idle = NAN,
                                         .strip = NAN};
    struct status status = disposal_find(&vat, &disposal);
    assert_int_equal(status.code, STATUS_OK);
    assert_true(disposal.lime_known);
    assert_close(disposal.lime, 0.1, 1e-3, 0.0);
    const struct material *vinegar = &vat.model.materials[disposal.acids[0].material];
    double for_lime = (disposal.acids[0].all - disposal.acids[0].liquor) * vinegar->acid;
    assert_close(for_lime, 2.0 * 0.1 / MOLAR_LIME, 0.01, 0.0);
    assert_true(disposal.acids[0].liquor > 0.2 && disposal.acids[0].liquor < 0.6 * disposal.acids[0].all);
    assert_true(disposal.ph > 12.2 && disposal.ph < 12.4);

    /* Lime that nobody stated is believed from the pH. */
    vat.existing.lime_solid = 0.0;
    vat.existing.lime_known = false;
    status = disposal_find(&vat, &disposal);
    assert_int_equal(status.code, STATUS_OK);
    assert_false(disposal.lime_known);
    assert_true(disposal.lime > 0.05);
    scenario_free(&vat);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(takes_the_acid_that_scipy_finds),
        cmocka_unit_test(lime_takes_two_acids),
        cmocka_unit_test(half_the_acid_leaves_a_strong_liquor),
        cmocka_unit_test(answers_for_a_vat),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
