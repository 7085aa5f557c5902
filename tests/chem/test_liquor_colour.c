/* test_liquor_colour.c: a glass of liquor, from a ready vat to an oxidised one. What it should look like: common
 * practice, no source, unless another is named. */
#include "chem/liquor_colour.h"

#include "support/close.h"

#include <stdio.h>
#include <string.h>

static const struct liquor_optics optics = {1200.0, 1200.0, 100.0, 0.8,   15.0,
                                             410e-9, 1.7e5,  660e-9, 1.5, 85e-9};

static struct liquor_colour look(double leuco, double indigo, double browned, double white)
{
    const struct liquor_contents contents = {leuco, indigo, browned, white};
    return liquor_look(&contents, &optics, LIQUOR_GLASS);
}

/* "clear amber" */
static const char *words_of(struct liquor_colour glass)
{
    static char words[64];
    (void)snprintf(words, sizeof words, "%s %s", liquor_clarity_words[glass.clarity], liquor_hue_words[glass.hue]);
    return words;
}

static void layer_keeps_to_its_limits(void **state)
{
    (void)state;
    /* Lambert: no scatter, only what goes through */
    assert_close(layer_seen(10.0, 0.0, 0.05), exp(-0.5), 1e-12, 0.0);
    assert_close(layer_seen(1e-9, 0.0, 0.05), 1.0, 1e-9, 0.0);
    /* nothing absorbed, nothing lost, however it scatters */
    assert_close(layer_seen(0.0, 0.0, 0.05), 1.0, 0.0, 0.0);
    assert_close(layer_seen(0.0, 500.0, 0.05), 1.0, 0.0, 1e-12);
    assert_close(layer_seen(1e-6, 500.0, 0.05), layer_seen(2e-6, 500.0, 0.05), 1e-6, 0.0);
    /* too thick to see through: Kubelka & Munk 1931, R = 1 + K/S - sqrt((K/S)^2 + 2 K/S); K/S 2 gives 0.1716 */
    assert_close(layer_seen(200.0, 100.0, 1.0), 0.171573, 1e-5, 0.0);
    assert_close(layer_seen(2e6, 1e6, 1.0), 0.171573, 1e-5, 0.0);
    /* a layer, by hand: K = S = 20, d = 0.05: rate sqrt(1200); through + back
     * = (rate + S sinh) / ((K + S) sinh + rate cosh), at rate d = 1.732051 */
    assert_close(layer_seen(20.0, 20.0, 0.05), (34.641016 + 20.0 * 2.737656) / (40.0 * 2.737656 + 34.641016 * 2.914578),
                 1e-5, 0.0);
}

static void water_is_clear(void **state)
{
    (void)state;
    struct liquor_colour water = look(0.0, 0.0, 0.0, 0.0);
    assert_string_equal(words_of(water), "clear white");
    assert_close(water.lab.l, 100.0, 1e-9, 0.0);
    assert_close(water.haze, 0.0, 0.0, 0.0);
    assert_string_equal(words_of(look(-1.0, -1.0, -1.0, -1.0)), "clear white");
}

static void ready_vat_is_amber(void **state)
{
    (void)state;
    /* ready, sugar-lime: clear amber or yellow-green; 0.5 to 2 g/L of leuco */
    for (double leuco = 2.0; leuco <= 8.0; leuco += 1.0) {
        struct liquor_colour ready = look(leuco, 0.002, 4.0, 0.01);
        assert_string_equal(words_of(ready), "clear amber");
        assert_between(lab_hue_degrees(ready.lab), 60.0, 115.0);
        assert_true(ready.swatch.red > ready.swatch.green && ready.swatch.green > ready.swatch.blue);
    }
    /* indigo spent: clear and thin, yellow to straw */
    struct liquor_colour spent = look(0.1, 0.0, 2.0, 0.0);
    assert_true(strncmp(words_of(spent), "clear yellow", 12) == 0);
    assert_true(spent.lab.l > 85.0);
}

static void tired_vat_is_green(void **state)
{
    (void)state;
    struct liquor_colour tired = look(0.3, 0.03, 4.0, 0.01);
    assert_non_null(strstr(words_of(tired), "green"));
    assert_true(tired.swatch.green > tired.swatch.red && tired.swatch.green > tired.swatch.blue);
}

static void oxidised_vat_is_blue(void **state)
{
    (void)state;
    for (double indigo = 0.1; indigo <= 2.0; indigo *= 2.0) {
        struct liquor_colour oxidised = look(0.0, indigo, 4.0, 0.01);
        assert_non_null(strstr(words_of(oxidised), "blue"));
        assert_true(oxidised.swatch.blue > oxidised.swatch.green && oxidised.swatch.green > oxidised.swatch.red);
        assert_true(oxidised.haze > 0.35);
    }
    assert_string_equal(words_of(look(0.0, 1.0, 4.0, 0.0)), "cloudy dark blue");
}

/* Leuco turning to blue indigo in suspension: amber, then greener and greener, then blue, with no way back. */
static void air_turns_it(void **state)
{
    (void)state;
    double last = 0.0;
    for (double share = 0.0; share <= 1.0; share += 0.02) {
        double hue = lab_hue_degrees(look(1.0 * (1.0 - share), 0.262 * share + 0.001, 2.0, 0.0).lab);
        assert_true(hue > last);
        last = hue;
    }
    assert_between(last, 225.0, 300.0);
}

static void spent_sugar_is_browner(void **state)
{
    (void)state;
    struct liquor_colour last = look(0.0, 0.0, 2.0, 0.0);
    for (double browned = 5.0; browned <= 100.0; browned += 5.0) {
        struct liquor_colour now = look(0.0, 0.0, browned, 0.0);
        assert_true(now.lab.l < last.lab.l && lab_hue_degrees(now.lab) < lab_hue_degrees(last.lab));
        last = now;
    }
    assert_non_null(strstr(words_of(last), "brown"));
    /* and so it is with leuco there */
    assert_true(look(2.0, 0.002, 60.0, 0.0).lab.l < look(2.0, 0.002, 5.0, 0.0).lab.l);
}

static void lime_is_milky(void **state)
{
    (void)state;
    /* too much lime: milky pale yellow */
    struct liquor_colour limed = look(0.05, 0.0, 1.0, 2.0);
    assert_true(strncmp(words_of(limed), "milky ", 6) == 0);
    assert_string_equal(words_of(look(0.0, 0.0, 0.0, 2.0)), "milky white");
    assert_true(look(2.0, 0.0, 2.0, 0.5).haze > look(2.0, 0.0, 2.0, 0.1).haze);
    /* sediment stirred: opaque */
    assert_true(strncmp(words_of(look(3.0, 1.0, 20.0, 3.0)), "cloudy ", 7) == 0);
}

/* Whatever is in it, there are words and numbers. */
static void never_without_words(void **state)
{
    (void)state;
    for (double leuco = 0.0; leuco < 60.0; leuco = 3.0 * leuco + 0.01) {
        for (double indigo = 0.0; indigo < 60.0; indigo = 3.0 * indigo + 0.001) {
            for (double browned = 0.0; browned < 3000.0; browned = 4.0 * browned + 1.0) {
                struct liquor_colour got = look(leuco, indigo, browned, 0.1);
                assert_true(isfinite(got.lab.l) && isfinite(got.lab.a) && isfinite(got.lab.b));
                assert_true(strlen(words_of(got)) > 8);
            }
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(layer_keeps_to_its_limits), cmocka_unit_test(water_is_clear),
        cmocka_unit_test(ready_vat_is_amber),        cmocka_unit_test(tired_vat_is_green),
        cmocka_unit_test(oxidised_vat_is_blue),      cmocka_unit_test(air_turns_it),
        cmocka_unit_test(spent_sugar_is_browner),    cmocka_unit_test(lime_is_milky),
        cmocka_unit_test(never_without_words),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
