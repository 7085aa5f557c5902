#!/usr/bin/env python3
"""make_titration.py: makes titration.csv, the acid that limy liquors take up, worked out apart from this program.

    python3 make_titration.py > titration.csv

Needs SciPy (1.10.1). The charge balance is solved by scipy.optimize.brentq with textbook constants at 25 degC
(Stumm & Morgan, Aquatic Chemistry, 3rd ed., 1996, from memory: pKw 14.00, carbonic acid 6.35 and 10.33, CaOH+ 1.3,
CaHCO3+ 1.1, CaCO3(aq) 3.2) and the Davies equation; acids of spent sugar pK 3.86 (lactic), acetic 4.76, citric 3.13,
4.76, 6.40. The tests read only the table made.
"""
from math import log10, sqrt

from scipy.optimize import brentq

CASES = [  # volume L; mmol/L of calcium, acid anions, carbon; mmol of solid lime in all
    (19.0, 20.0, 0.0, 0.1, 0.0),       # limewater
    (19.0, 20.0, 0.0, 0.1, 970.0),     # limewater over about 72 g of lime
    (19.0, 45.0, 60.0, 0.5, 0.0),      # a liquor whose sugar is spent, its lime gone
    (19.0, 60.0, 80.0, 0.5, 1350.0),   # the same with 100 g of lime left
    (50.0, 30.0, 55.0, 2.0, 0.0),      # nearly neutral
]
VINEGAR = 0.83  # mol of acetic acid per kg
VINEGAR_WATER = 0.95
CITRIC = 15.6 / 3  # mol of citric acid per kg
TARGET = 8.5


def residue(h, ca, acid, carbon, acetate, citrate):
    """Charge (mol/L) at an activity of H+; the ionic strength found by going round."""
    i = 0.05
    for _ in range(60):
        f = sqrt(i) / (1 + sqrt(i)) - 0.3 * i
        g1, g2, g3 = (10 ** (-0.509 * z * z * f) for z in (1, 2, 3))
        oh = 1e-14 / h / g1
        hp = h / g1
        # carbon and calcium share pairs: a few rounds of substitution
        free_ca, co3 = ca, 0.0
        for _ in range(60):
            ratio_h = h / 10 ** -10.33                 # {HCO3}/{CO3}
            ratio_c = ratio_h * h / 10 ** -6.35        # {CO2}/{CO3}
            per_co3 = 1 / g2 + ratio_h / g1 + ratio_c + free_ca * g2 * (10 ** 3.2 + 10 ** 1.1 * ratio_h / g1)
            a_co3 = carbon / per_co3
            pairs = g2 * (10 ** 1.3 * (1e-14 / h) / g1 + 10 ** 3.2 * a_co3 + 10 ** 1.1 * a_co3 * ratio_h / g1)
            free_ca = ca / (1 + pairs)
        caoh = 10 ** 1.3 * free_ca * g2 * (1e-14 / h) / g1
        hco3, co3 = a_co3 * ratio_h / g1, a_co3 / g2
        cahco3 = 10 ** 1.1 * free_ca * g2 * a_co3 * ratio_h / g1
        lact = acid / (1 + h * g1 / 10 ** -3.86)
        acet = acetate / (1 + h * g1 / 10 ** -4.76)
        k1, k2, k3 = 10 ** -3.13, 10 ** -4.76, 10 ** -6.40
        d = 1 + h * g1 / k3 + h * h * g1 ** 2 / k3 / k2 + h ** 3 / k1 / k2 / k3
        cit3, cit2, cit1 = citrate / d, citrate * h / k3 / d, citrate * h * h / k3 / k2 / d
        charge = (hp + 2 * free_ca + caoh + cahco3 - oh - hco3 - 2 * co3 - lact - acet - 3 * cit3 - 2 * cit2 - cit1)
        new = 0.5 * (hp + oh + 4 * free_ca + caoh + cahco3 + hco3 + 4 * co3 + lact + acet + 9 * cit3 + 4 * cit2 + cit1)
        i = min(0.5 * (i + new), 0.5)
    return charge


def needed(volume, ca, acid, carbon, solid, per_kg, water, citric):
    def at(mass):
        v = volume + mass * water
        dose = mass * per_kg / v
        return residue(10 ** -TARGET, (ca * volume + solid) / 1e3 / v, acid * volume / 1e3 / v,
                       carbon * volume / 1e3 / v, 0 if citric else dose, dose if citric else 0)
    return brentq(at, 0, 100, xtol=1e-9)


print("# Acid that brings limy liquors to pH 8.5 at 25 degC, by make_titration.py (SciPy, textbook constants).")
print("volume_L,calcium_mmol_per_L,acid_mmol_per_L,carbon_mmol_per_L,lime_mmol,vinegar_kg,citric_acid_kg")
for volume, ca, acid, carbon, solid in CASES:
    vinegar = needed(volume, ca, acid, carbon, solid, VINEGAR, VINEGAR_WATER, False)
    citric = needed(volume, ca, acid, carbon, solid, CITRIC, 0.0, True)
    print(f"{volume:g},{ca:g},{acid:g},{carbon:g},{solid:g},{vinegar:.5f},{citric:.6f}")
