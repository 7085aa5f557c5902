/* colour.c: see colour.h. */
#include "chem/colour.h"

#include <math.h>

#define PI 3.14159265358979323846

/* D65, and the CIE 1931 2 degree colour-matching functions x, y, z, at 380 to 780 nm every 10 nm. CIE 015 (the
 * tables of ISO/CIE 11664-1 and -2), copied from the files CIE-D65.sp and CIE1931-2deg-XYZ.cmf of Debian's
 * colord-data 1.4.6. Kept as their products, which is what they are read for. */
#define BAND(light, x, y, z) {(light) * (x), (light) * (y), (light) * (z)}
static const double light_and_observer[SPECTRUM_COUNT][3] = {
    BAND(49.9755, 0.001368, 3.9000e-05, 0.006450001), /* 380 nm */
    BAND(54.6482, 0.004243, 0.00012, 0.02005001),     /* 390 nm */
    BAND(82.7549, 0.01431, 0.000396, 0.06785001),     /* 400 nm */
    BAND(91.486, 0.04351, 0.00121, 0.2074),           /* 410 nm */
    BAND(93.4318, 0.13438, 0.004, 0.6456),            /* 420 nm */
    BAND(86.6823, 0.2839, 0.0116, 1.3856),            /* 430 nm */
    BAND(104.865, 0.34828, 0.023, 1.74706),           /* 440 nm */
    BAND(117.008, 0.3362, 0.038, 1.77211),            /* 450 nm */
    BAND(117.812, 0.2908, 0.06, 1.6692),              /* 460 nm */
    BAND(114.861, 0.19536, 0.09098, 1.28764),         /* 470 nm */
    BAND(115.923, 0.09564, 0.13902, 0.8129501),       /* 480 nm */
    BAND(108.811, 0.03201, 0.20802, 0.46518),         /* 490 nm */
    BAND(109.354, 0.0049, 0.323, 0.272),              /* 500 nm */
    BAND(107.802, 0.0093, 0.503, 0.1582),             /* 510 nm */
    BAND(104.79, 0.06327, 0.71, 0.07824999),          /* 520 nm */
    BAND(107.689, 0.1655, 0.862, 0.04216),            /* 530 nm */
    BAND(104.405, 0.2904, 0.954, 0.0203),             /* 540 nm */
    BAND(104.046, 0.4334499, 0.9949501, 0.008749999), /* 550 nm */
    BAND(100.0, 0.5945, 0.995, 0.0039),               /* 560 nm */
    BAND(96.3342, 0.7621, 0.952, 0.0021),             /* 570 nm */
    BAND(95.788, 0.9163, 0.87, 0.001650001),          /* 580 nm */
    BAND(88.6856, 1.0263, 0.757, 0.0011),             /* 590 nm */
    BAND(90.0062, 1.0622, 0.631, 0.0008),             /* 600 nm */
    BAND(89.5991, 1.0026, 0.503, 0.00034),            /* 610 nm */
    BAND(87.6987, 0.8544499, 0.381, 0.00019),         /* 620 nm */
    BAND(83.2886, 0.6424, 0.265, 5.0000e-05),         /* 630 nm */
    BAND(83.6992, 0.4479, 0.175, 2.0000e-05),         /* 640 nm */
    BAND(80.0268, 0.2835, 0.107, 0.0),                /* 650 nm */
    BAND(80.2146, 0.1649, 0.061, 0.0),                /* 660 nm */
    BAND(82.2778, 0.0874, 0.032, 0.0),                /* 670 nm */
    BAND(78.2842, 0.04677, 0.017, 0.0),               /* 680 nm */
    BAND(69.7213, 0.0227, 0.00821, 0.0),              /* 690 nm */
    BAND(71.6091, 0.01135916, 0.004102, 0.0),         /* 700 nm */
    BAND(74.349, 0.005790346, 0.002091, 0.0),         /* 710 nm */
    BAND(61.604, 0.002899327, 0.001047, 0.0),         /* 720 nm */
    BAND(69.8856, 0.001439971, 0.00052, 0.0),         /* 730 nm */
    BAND(75.087, 0.0006900786, 0.0002492, 0.0),       /* 740 nm */
    BAND(63.5927, 0.0003323011, 0.00012, 0.0),        /* 750 nm */
    BAND(46.4182, 0.0001661505, 6.0000e-05, 0.0),     /* 760 nm */
    BAND(66.8054, 8.3075e-05, 3.0000e-05, 0.0),       /* 770 nm */
    BAND(63.3828, 4.1510e-05, 1.4990e-05, 0.0),       /* 780 nm */
};
#undef BAND
/* The sums of its columns, in that order. */
static const double light_and_observer_sum[3] = {1004.1490033628378, 1056.805422500272, 1149.9391878611486};

/* D65's white as CIE 015 gives it. */
static const struct xyz white = {95.047, 100.0, 108.883};

struct xyz xyz_of_spectrum(const struct spectrum *spectrum)
{
    double sum[3] = {0.0, 0.0, 0.0};
    for (int i = 0; i < SPECTRUM_COUNT; i++) {
        for (int k = 0; k < 3; k++) {
            sum[k] += light_and_observer[i][k] * spectrum->at[i];
        }
    }
    const double *full = light_and_observer_sum;
    return (struct xyz){white.x * sum[0] / full[0], white.y * sum[1] / full[1], white.z * sum[2] / full[2]};
}

/* CIELAB's cube root, straight near black. */
static double lab_function(double t)
{
    const double delta = 6.0 / 29.0;
    return t > delta * delta * delta ? cbrt(t) : t / (3.0 * delta * delta) + 4.0 / 29.0;
}

static double lab_inverse(double f)
{
    const double delta = 6.0 / 29.0;
    return f > delta ? f * f * f : 3.0 * delta * delta * (f - 4.0 / 29.0);
}

struct lab lab_of_xyz(struct xyz xyz)
{
    double fx = lab_function(xyz.x / white.x);
    double fy = lab_function(xyz.y / white.y);
    double fz = lab_function(xyz.z / white.z);
    return (struct lab){116.0 * fy - 16.0, 500.0 * (fx - fy), 200.0 * (fy - fz)};
}

struct xyz xyz_of_lab(struct lab lab)
{
    double fy = (lab.l + 16.0) / 116.0;
    return (struct xyz){white.x * lab_inverse(fy + lab.a / 500.0), white.y * lab_inverse(fy),
                        white.z * lab_inverse(fy - lab.b / 200.0)};
}

void srgb_of_xyz(struct xyz xyz, double rgb[3])
{
    /* the inverse of the primaries and white of IEC 61966-2-1, to more figures than its 4 (as Lindbloom prints them) */
    static const double matrix[3][3] = {
        {3.2404542, -1.5371385, -0.4985314}, {-0.9692660, 1.8760108, 0.0415560}, {0.0556434, -0.2040259, 1.0572252}};
    for (int k = 0; k < 3; k++) {
        double linear = (matrix[k][0] * xyz.x + matrix[k][1] * xyz.y + matrix[k][2] * xyz.z) / 100.0;
        rgb[k] = linear <= 0.0031308 ? 12.92 * linear : 1.055 * pow(linear, 1.0 / 2.4) - 0.055;
    }
}

static unsigned char eight_bit(double channel)
{
    return (unsigned char)(255.0 * fmin(1.0, fmax(0.0, channel)) + 0.5);
}

struct swatch swatch_of_xyz(struct xyz xyz)
{
    double rgb[3];
    srgb_of_xyz(xyz, rgb);
    return (struct swatch){eight_bit(rgb[0]), eight_bit(rgb[1]), eight_bit(rgb[2])};
}

double lab_chroma(struct lab lab)
{
    return hypot(lab.a, lab.b);
}

double lab_hue_degrees(struct lab lab)
{
    double degrees = atan2(lab.b, lab.a) * 180.0 / PI;
    return degrees < 0.0 ? degrees + 360.0 : degrees;
}

double colour_difference_1976(struct lab one, struct lab other)
{
    double l = one.l - other.l;
    double a = one.a - other.a;
    double b = one.b - other.b;
    return sqrt(l * l + a * a + b * b);
}
