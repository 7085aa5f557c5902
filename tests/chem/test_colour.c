/* test_colour.c: XYZ, CIELAB and sRGB against an independent colour library, by the table colours.csv. */
#include "chem/colour.h"
#include "chem/kubelka_munk.h"

#include "support/close.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define COLOUR_NUMBERS 9 /* X, Y, Z, L, a, b, red, green, blue */

struct row {
    char name[64];
    double colour[COLOUR_NUMBERS];
    struct spectrum spectrum;
};

static bool read_numbers(char **rest, double *values, int count)
{
    for (int i = 0; i < count; i++) {
        char *end = NULL;
        values[i] = strtod(*rest, &end);
        if (end == *rest || (*end != ',' && *end != '\n')) {
            return false;
        }
        *rest = end + 1;
    }
    return true;
}

/* The next row of colours.csv; false at its end. */
static bool read_row(FILE *file, struct row *row)
{
    char line[2048];
    while (fgets(line, sizeof line, file) != NULL) {
        if (line[0] == '#' || strncmp(line, "name,", 5) == 0) {
            continue;
        }
        char *rest = strchr(line, ',');
        assert_non_null(rest);
        *rest++ = '\0';
        (void)snprintf(row->name, sizeof row->name, "%.60s", line);
        if (!read_numbers(&rest, row->colour, COLOUR_NUMBERS) ||
            !read_numbers(&rest, row->spectrum.at, SPECTRUM_COUNT)) {
            fail_msg("bad numbers in the row of %s", row->name);
        }
        return true;
    }
    return false;
}

static FILE *open_table(void)
{
    FILE *file = fopen(TESTS_DATA "/colours.csv", "r");
    if (file == NULL) {
        fail_msg("cannot open colours.csv");
    }
    return file;
}

static double cut(double channel)
{
    return fmin(1.0, fmax(0.0, channel));
}

/* Colours by colormath 3.0.0, as colours.csv says. */
static void spectra_against_a_library(void **state)
{
    (void)state;
    FILE *file = open_table();
    struct row row;
    int rows = 0;
    double worst = 0.0;
    while (read_row(file, &row)) {
        struct lab want = {row.colour[3], row.colour[4], row.colour[5]};
        double off = colour_difference_1976(lab_of_xyz(xyz_of_spectrum(&row.spectrum)), want);
        if (!(off <= 0.1)) {
            fail_msg("%s is off by %.3f", row.name, off);
        }
        worst = fmax(worst, off);
        rows++;
    }
    (void)fclose(file);
    assert_true(rows >= 20);
    print_message("%d spectra, worst difference %.3f\n", rows, worst);
}

static void conversions_against_a_library(void **state)
{
    (void)state;
    FILE *file = open_table();
    struct row row;
    while (read_row(file, &row)) {
        struct xyz xyz = {100.0 * row.colour[0], 100.0 * row.colour[1], 100.0 * row.colour[2]};
        struct lab want = {row.colour[3], row.colour[4], row.colour[5]};
        assert_close(colour_difference_1976(lab_of_xyz(xyz), want), 0.0, 0.0, 0.002);
        double rgb[3];
        srgb_of_xyz(xyz, rgb);
        struct swatch swatch = swatch_of_xyz(xyz);
        const unsigned char bytes[3] = {swatch.red, swatch.green, swatch.blue};
        for (int k = 0; k < 3; k++) {
            /* 0.0003 of full scale is less than 0.05 of a colour difference */
            assert_close(cut(rgb[k]), cut(row.colour[6 + k]), 0.0, 0.0003);
            assert_close(bytes[k], 255.0 * cut(row.colour[6 + k]), 0.0, 0.58);
        }
    }
    (void)fclose(file);
}

static void white_and_black(void **state)
{
    (void)state;
    struct spectrum spectrum;
    for (int i = 0; i < SPECTRUM_COUNT; i++) {
        spectrum.at[i] = 1.0;
    }
    struct xyz white = xyz_of_spectrum(&spectrum); /* CIE 015 */
    assert_close(white.x, 95.047, 1e-12, 0.0);
    assert_close(white.y, 100.0, 1e-12, 0.0);
    assert_close(white.z, 108.883, 1e-12, 0.0);
    assert_close(colour_difference_1976(lab_of_xyz(white), (struct lab){100.0, 0.0, 0.0}), 0.0, 0.0, 1e-9);
    struct swatch swatch = swatch_of_xyz(white);
    assert_int_equal(swatch.red, 255);
    assert_int_equal(swatch.green, 255);
    assert_int_equal(swatch.blue, 255);
    swatch = swatch_of_xyz((struct xyz){0.0, 0.0, 0.0});
    assert_int_equal(swatch.red + swatch.green + swatch.blue, 0);
    swatch = swatch_of_xyz((struct xyz){500.0, 0.0, -5.0}); /* cut, never wrapped round */
    assert_int_equal(swatch.red, 255);
    assert_int_equal(swatch.green, 0);
}

static void primaries_of_the_screen(void **state)
{
    (void)state;
    /* sRGB's primaries, IEC 61966-2-1: 4-figure XYZ of red, green, blue */
    const double primaries[3][3] = {{41.24, 21.26, 1.93}, {35.76, 71.52, 11.92}, {18.05, 7.22, 95.05}};
    for (int p = 0; p < 3; p++) {
        double rgb[3];
        srgb_of_xyz((struct xyz){primaries[p][0], primaries[p][1], primaries[p][2]}, rgb);
        for (int k = 0; k < 3; k++) {
            assert_close(rgb[k], k == p ? 1.0 : 0.0, 0.0, 0.002);
        }
    }
}

static void lab_goes_both_ways(void **state)
{
    (void)state;
    for (double l = 0.0; l <= 100.0; l += 5.0) {
        for (double a = -40.0; a <= 40.0; a += 20.0) {
            struct lab lab = {l, a, -a - 10.0};
            assert_close(colour_difference_1976(lab_of_xyz(xyz_of_lab(lab)), lab), 0.0, 0.0, 1e-9);
        }
    }
    /* by hand: 3, 4 and 5; the quarters of the hue circle */
    assert_close(lab_chroma((struct lab){50.0, 3.0, -4.0}), 5.0, 1e-15, 0.0);
    assert_close(lab_hue_degrees((struct lab){50.0, 0.0, -7.0}), 270.0, 1e-12, 0.0);
    assert_close(lab_hue_degrees((struct lab){50.0, -7.0, 0.0}), 180.0, 1e-12, 0.0);
    assert_close(colour_difference_1976((struct lab){50.0, 1.0, 2.0}, (struct lab){52.0, 4.0, 8.0}), 7.0, 1e-14, 0.0);
}

/* What cotton must look like: pale sky to navy, no green, no purple. */
static void dyed_cotton_is_blue(void **state)
{
    (void)state;
    const struct cloth_look cotton = {0.78, 0.86, 660.0, 0.006};
    double last = 100.0;
    for (double k = 0.3; k < 25.0; k += 0.1) {
        struct spectrum spectrum;
        dyed_cloth_reflectance(&cotton, k, 26.5, &spectrum);
        struct xyz xyz = xyz_of_spectrum(&spectrum);
        struct lab lab = lab_of_xyz(xyz);
        struct swatch swatch = swatch_of_xyz(xyz);
        assert_true(lab.l < last);
        assert_between(lab_hue_degrees(lab), 240.0, 285.0);
        assert_true(swatch.blue > swatch.green && swatch.green > swatch.red);
        last = lab.l;
    }
    assert_between(last, 17.0, 24.0);
}

/* Park 2023, abstract: five dips, K/S above 15, L* 22.7, after a light overdye. Seen K/S, so the floor is in it. */
static void five_dips_of_a_paper(void **state)
{
    (void)state;
    const struct cloth_look cotton = {0.78, 0.86, 660.0, 0.006};
    struct spectrum spectrum;
    double k = 0.0;
    do {
        k += 0.1;
        dyed_cloth_reflectance(&cotton, k, 26.5, &spectrum);
    } while (kubelka_munk_ratio(spectrum_value(&spectrum, 660.0)) < 15.0);
    assert_between(lab_of_xyz(xyz_of_spectrum(&spectrum)).l, 22.7, 28.0); /* the overdye made it darker */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(spectra_against_a_library), cmocka_unit_test(conversions_against_a_library),
        cmocka_unit_test(white_and_black),           cmocka_unit_test(primaries_of_the_screen),
        cmocka_unit_test(lab_goes_both_ways),        cmocka_unit_test(dyed_cotton_is_blue),
        cmocka_unit_test(five_dips_of_a_paper),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
