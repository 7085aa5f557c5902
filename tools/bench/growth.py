"""How the cost of a run grows with its length, with what is done in it, and with the cloth."""
import numpy as np

import runs
from tables import table

WEEKS = (1, 2, 4, 8, 16)
EVENTS = (25, 50, 100, 200, 400)
PIECES = (6, 12, 24, 48, 96)
A_WEEK = 18         # happenings: two rounds of scenarios.py
LINEAR = 0.15       # from the line


def fit(x, y):
    """A straight line by least squares of the relative deviations: (start, slope, largest relative deviation), and
    the power with which y grows with x."""
    x, y = np.array(x, dtype=float), np.array(y, dtype=float)
    terms = np.stack([1.0 / y, x / y], axis=1)
    start, slope = np.linalg.lstsq(terms, np.ones_like(x), rcond=None)[0]
    power = np.polyfit(np.log(x), np.log(y), 1)[0]
    return start, slope, float(np.max(np.abs((start + slope * x) / y - 1.0))), float(power)


def axis(title, unit, cells, sizes, at_most):
    rows, plain = [], {"sizes": sizes, "seconds": [cell.best for cell in cells]}
    for size, cell in zip(sizes, cells):
        if cell.fault:
            rows.append(["%g" % size, cell.fault[:60], "", "", "", ""])
        else:
            rows.append(["%g" % size, "%.1f" % (1e3 * cell.best), "%.1f" % (1e3 * cell.median),
                         "%.2f" % (1e3 * cell.best / size)] + ["%.0f" % cell.counts[key] for key in ("legs", "steps")])
    whole = [(size, cell) for size, cell in zip(sizes, cells) if not cell.fault]
    notes = []
    if len(whole) > 2:
        start, slope, off, power = fit([size for size, _ in whole], [cell.best for _, cell in whole])
        plain.update(start=start, slope=slope, deviation=off, power=power)
        straight = power <= 1.0 + LINEAR if at_most else off <= LINEAR
        notes = ["line: %.2f ms + %.3f ms for each; farthest from it %.0f %%; grows as the power %.2f: %s%s"
                 % (1e3 * start, 1e3 * slope, 100 * off, power, "" if straight else "NOT ",
                    "at most linear" if at_most else "linear within %.0f %%" % (100 * LINEAR))]
    table(title, [unit, "ms", "median", "ms for each", "legs", "steps"], rows, notes)
    return plain


def run(tree, folder, rounds):
    weeks = [runs.Cell(tree, "own", folder, weeks=size, events=size * A_WEEK) for size in WEEKS]
    events = [runs.Cell(tree, "own", folder, events=size) for size in EVENTS]
    pieces = [runs.Cell(tree, "own", folder, pieces=size) for size in PIECES]
    runs.interleave(weeks + events + pieces, rounds)
    happenings = [int(cell.counts.get("events", size)) for cell, size in zip(events, EVENTS)]
    return {
        "weeks": axis("Cost against length: the same work every week", "weeks", weeks, WEEKS, False),
        "events": axis("Cost against happenings, over six weeks", "happenings", events, happenings, False),
        "pieces": axis("Cost against pieces of cloth, a quarter of them in each dip, over six weeks", "pieces", pieces,
                       PIECES, True),
    }
