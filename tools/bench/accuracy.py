"""The error of every scenario that comes with the program, at the tolerance that it has by itself and about it."""
import runs
from tables import table

LOOSE, TIGHT = 1e-4, 1e-6
PROMISED = 1e-4     # of the largest value of each series, at a scenario's own tolerance


def run(tree, folder):
    rows, plain, over, rising = [], [], 0, 0
    for path in sorted((tree.source / "scenarios").glob("*.conf")):
        own = {rtol: runs.Shipped(tree, "own", folder, path, rtol) for rtol in (LOOSE, None, TIGHT, 1e-9)}
        exact = runs.Shipped(tree, "cvode-states", folder, path, 1e-11) if tree.has("cvode") else own[1e-9]
        for cell in set(own.values()) | {exact}:
            cell.sample()
        faults = [cell.fault for cell in (*own.values(), exact) if cell.fault]
        if faults:
            rows.append([path.stem, faults[0][:60], "", "", "", "", ""])
            over += 1
            continue
        found = {rtol: runs.errors(cell.series, exact.series) for rtol, cell in own.items()}
        worst, where, _ = found[None]
        over += worst > PROMISED
        rising += not found[LOOSE][0] >= worst >= found[TIGHT][0]
        plain.append({"scenario": path.stem, "errors": {str(rtol): one[:2] for rtol, one in found.items()}})
        rows.append([path.stem, "%.1e" % worst, where, "%.1e" % found[LOOSE][0], "%.1e" % found[TIGHT][0],
                     "%.1e" % found[1e-9][0], "%.0f" % (1e3 * own[None].best)])
    table("Largest error of any series, as a share of its largest value, of the scenarios that come with the program",
          ["scenario", "error *", "in series", "at 1e-4", "at 1e-6", "at 1e-9", "ms *"], rows,
          ["* at the tolerance that the scenario has by itself", "counted against %s" %
           ("CVODE at 1e-11" if tree.has("cvode") else "the own engine at 1e-9"),
           "over %.0e: %d of %d; not falling with the tolerance: %d" % (PROMISED, over, len(rows), rising)])
    return plain
