#!/usr/bin/env python3
"""make_colours.py: makes colours.csv, spectra with their colours as an independent library finds them.

    python3 make_colours.py > colours.csv

Needs Debian's python3-colormath (3.0.0; a BSD-licensed colour library) and colord-data (1.4.6; the CIE tables). The
tests read only the table made, so neither is needed to build or to test.
"""
import math
import sys

import numpy

numpy.asscalar = getattr(numpy, "asscalar", lambda a: a.item())  # colormath 3.0.0 still asks for it

from colormath.color_conversions import convert_color
from colormath.color_objects import LabColor, SpectralColor, XYZColor, sRGBColor

WAVELENGTHS = list(range(380, 790, 10))
SAMPLES = "/usr/share/colord/ref/CIE-TCS.sp"
CIE_LIGHT = "/usr/share/colord/illuminant/CIE-D65.sp"
CIE_OBSERVER = "/usr/share/colord/cmf/CIE1931-2deg-XYZ.cmf"


def table(path):
    """The rows of a CGATS file as dictionaries from wavelength to value."""
    text = open(path, encoding="ascii").read()
    names = text.split("BEGIN_DATA_FORMAT")[1].split("END_DATA_FORMAT")[0].split()
    body = text.split("BEGIN_DATA\n")[1].split("END_DATA")[0].split()
    rows = [body[i:i + len(names)] for i in range(0, len(body), len(names))]
    return [{int(name[5:]): float(value) for name, value in zip(names, row) if name.startswith("SPEC_")}
            for row in rows]


def cloth(k_over_s, peak, white_450, white_650):
    """Reflectances somewhat as of indigo on cloth; not the program's own formula."""
    def ratio(r):
        return (1 - r) ** 2 / (2 * r)

    def value(nm):
        ground = ratio(white_450) * (ratio(white_650) / ratio(white_450)) ** ((nm - 450) / 200)
        width = 45 if nm > peak else 75
        dye = 0.85 * math.exp(-0.5 * ((nm - peak) / width) ** 2) + 0.15
        q = ground + k_over_s * dye
        return 1 + q - math.sqrt(q * q + 2 * q)
    return [value(nm) for nm in WAVELENGTHS]


def spectra():
    samples = table(SAMPLES)
    for number, sample in enumerate(samples, 1):
        yield "CIE 13.3 test sample %d" % number, [sample[nm] for nm in WAVELENGTHS]
    for flat in (0.0, 0.02, 0.18, 0.5, 1.0):
        yield "flat %g" % flat, [flat] * len(WAVELENGTHS)
    yield "rising", [0.05 + 0.9 * (nm - 380) / 400 for nm in WAVELENGTHS]
    yield "falling", [0.95 - 0.9 * (nm - 380) / 400 for nm in WAVELENGTHS]
    for k_over_s in (0.3, 1, 2.5, 5, 9, 14, 20, 28):
        yield "like cotton at K/S %g" % k_over_s, cloth(k_over_s, 660, 0.78, 0.86)
    yield "like linen at K/S 4", cloth(4, 660, 0.45, 0.62)
    yield "like silk at K/S 6", cloth(6, 650, 0.70, 0.82)
    yield "like wool at K/S 12", cloth(12, 640, 0.52, 0.72)


def finer_than_ten_nanometres():
    """How far sums at 10 nm stray from sums at 5 nm, for the measured samples: to standard error, in XYZ."""
    light, observer = table(CIE_LIGHT)[0], table(CIE_OBSERVER)

    def xyz(sample, step):
        grid = range(380, 785, step)
        white = (95.047, 100.0, 108.883)
        return [white[k] * sum(light[nm] * observer[k][nm] * sample[nm] for nm in grid) /
                sum(light[nm] * observer[k][nm] for nm in grid) for k in range(3)]

    worst = max(abs(a - b) for sample in table(SAMPLES) for a, b in zip(xyz(sample, 10), xyz(sample, 5)))
    print("10 nm against 5 nm: at most %.3f in X, Y or Z" % worst, file=sys.stderr)


def main():
    print("# Reflectance spectra, 380 to 780 nm, and their colours under D65 for the CIE 1931 2 degree observer:")
    print("# XYZ with Y = 1 for white, CIELAB, and sRGB from 0 to 1. Colours by colormath 3.0.0 (python3-colormath of")
    print("# Debian); measured spectra are the test colour samples of CIE 13.3 in Debian's colord-data 1.4.6.")
    print("# Made again by: python3 make_colours.py > colours.csv")
    print(",".join(["name", "X", "Y", "Z", "L", "a", "b", "red", "green", "blue"] + ["r%d" % nm for nm in WAVELENGTHS]))
    for name, values in spectra():
        values = [round(v, 6) for v in values]
        bands = {"spec_%dnm" % nm: 0.0 for nm in range(340, 840, 10)}
        bands.update({"spec_%dnm" % nm: v for nm, v in zip(WAVELENGTHS, values)})
        spectrum = SpectralColor(observer="2", illuminant="d65", **bands)
        xyz = convert_color(spectrum, XYZColor)
        lab = convert_color(xyz, LabColor)
        rgb = convert_color(xyz, sRGBColor)
        numbers = xyz.get_value_tuple() + lab.get_value_tuple() + rgb.get_value_tuple()
        print(",".join([name] + ["%.6f" % (n + 0.0) for n in numbers] + ["%.6g" % v for v in values]))
    finer_than_ten_nanometres()


main()
