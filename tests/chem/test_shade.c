/* test_shade.c: words for shades. */
#include "chem/shade.h"

#include "chem/kubelka_munk.h"

#include "support/close.h"
#include "support/csv.h"

static const struct indigo_yield yield = {26.5, 0.0135, 0.0225};
static const struct cloth_look cotton = {0.78, 0.86, 660.0, 0.006};

static struct lab lab_of_owf(const struct cloth_look *look, double owf)
{
    struct spectrum spectrum;
    dyed_cloth_reflectance(look, indigo_k_over_s_660(owf, 0.25, &yield), yield.k_over_s_limit, &spectrum);
    return lab_of_xyz(xyz_of_spectrum(&spectrum));
}

static void shades_of_practice(void **state)
{
    (void)state;
    /* common practice, no source: palest, pale sky, light-medium, medium, dark, navy; the middle of each range */
    static const char *const names[] = {"palest blue", "pale blue", "light blue", "mid blue", "dark blue", "navy"};
    struct csv csv = csv_read("shades.csv");
    assert_int_equal(csv.rows, 6);
    for (int i = 0; i < csv.rows; i++) {
        double middle = 0.5 * (csv_value(&csv, i, "owf_low_percent") + csv_value(&csv, i, "owf_high_percent"));
        assert_string_equal(shade_name(shade_of_owf(0.01 * middle)), names[i]);
        assert_string_equal(shade_name(shade_of_lab(lab_of_owf(&cotton, 0.01 * middle))), names[i]);
    }
    /* and the bounds lie about half way between the end of one range and the beginning of the next */
    for (int i = 1; i < csv.rows; i++) {
        double gap = 0.5 * (csv_value(&csv, i - 1, "owf_high_percent") + csv_value(&csv, i, "owf_low_percent"));
        assert_close(shade_owf_from((enum shade)(SHADE_PALEST + i)), 0.01 * gap, 0.1, 0.0);
    }
    assert_string_equal(shade_name(shade_of_owf(0.0)), "hardly tinted");
    assert_string_equal(shade_name(shade_of_owf(0.05)), "near black");
}

static void words_by_dye_and_by_colour_agree_on_cotton(void **state)
{
    (void)state;
    int apart = 0;
    int asked = 0;
    for (double owf = 0.0001; owf < 0.06; owf *= 1.02) {
        int by_dye = (int)shade_of_owf(owf);
        int by_colour = (int)shade_of_lab(lab_of_owf(&cotton, owf));
        assert_in_range(by_colour - by_dye + 1, 0, 2); /* never more than a neighbour, and that only at a bound */
        apart += by_dye != by_colour;
        asked++;
    }
    assert_true(apart * 40 < asked);
}

static void bounds_are_where_the_word_begins(void **state)
{
    (void)state;
    for (int i = 0; i < SHADE_COUNT; i++) {
        double from = shade_owf_from((enum shade)i);
        assert_int_equal(shade_of_owf(from), i);
        if (i > 0) {
            assert_int_equal(shade_of_owf(from * (1.0 - 1e-9)), i - 1);
        }
    }
}

static void undyed_cloth_is_hardly_tinted(void **state)
{
    (void)state;
    const struct cloth_look cloths[] = {cotton,
                                        {0.45, 0.62, 660.0, 0.006},
                                        {0.70, 0.82, 650.0, 0.008},
                                        {0.52, 0.72, 640.0, 0.006},
                                        {0.1, 0.2, 660.0, 0.006}};
    for (size_t i = 0; i < sizeof cloths / sizeof cloths[0]; i++) {
        assert_int_equal(shade_of_lab(lab_of_owf(&cloths[i], 0.0)), SHADE_HARDLY_TINTED);
    }
    /* and more dye never gets a paler word */
    for (size_t i = 0; i < 4; i++) {
        int last = 0;
        for (double owf = 0.0; owf < 0.06; owf += 0.0002) {
            int now = (int)shade_of_lab(lab_of_owf(&cloths[i], owf));
            assert_true(now >= last);
            last = now;
        }
        assert_true(last >= SHADE_NAVY);
    }
}

static void words_are_understood(void **state)
{
    (void)state;
    for (int i = 0; i < SHADE_COUNT; i++) {
        enum shade shade = SHADE_COUNT;
        assert_true(shade_for_word(shade_name((enum shade)i), &shade));
        assert_int_equal(shade, i);
    }
    enum shade shade = SHADE_COUNT;
    assert_true(shade_for_word("mid", &shade));
    assert_int_equal(shade, SHADE_MID);
    assert_true(shade_for_word("Dark", &shade));
    assert_int_equal(shade, SHADE_DARK);
    assert_true(shade_for_word("pale", &shade));
    assert_int_equal(shade, SHADE_PALE);
    static const char *const unknown[] = {"", "blue", "pa", "pale ", "pale bluex", "navy blue", "middle", "red"};
    for (size_t i = 0; i < sizeof unknown / sizeof unknown[0]; i++) {
        shade = SHADE_NAVY;
        assert_false(shade_for_word(unknown[i], &shade));
        assert_int_equal(shade, SHADE_NAVY);
    }
    assert_string_equal(shade_name(SHADE_COUNT), "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shades_of_practice),
        cmocka_unit_test(words_by_dye_and_by_colour_agree_on_cotton),
        cmocka_unit_test(bounds_are_where_the_word_begins),
        cmocka_unit_test(undyed_cloth_is_hardly_tinted),
        cmocka_unit_test(words_are_understood),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
