"""Work and precision: for every engine and tolerance the error achieved and the time taken; times at equal error."""
import math

import runs
from tables import number, table

TOLERANCES = {
    "own": (1e-3, 1e-4, None, 1e-6, 1e-7),
    "cvode": (1e-4, 1e-5, 1e-6, 1e-7, 1e-8),
    "cvode-states": (1e-4, 1e-5, 1e-6, 1e-7, 1e-8),
    "msbdf": (1e-4, 1e-5, 1e-6, 1e-7),
    "arkode": (1e-3, 1e-4, 1e-5, 1e-6),
    "scipy": (1e-3, 1e-4, 1e-5, 1e-6, 1e-7),
}
BRIEF = {"msbdf", "arkode", "scipy"}    # looked at for evidence: sampled in two rounds, with the first tree only
MARKS = (1e-3, 1e-4, 1e-5, 1e-6)
SAME_MODEL = 1e-4   # trees whose references differ by less are held to compute the same model


def engines_of(tree, with_scipy):
    names = [name for name in TOLERANCES if tree.has(name.split("-")[0])]
    return [name for name in names if name != "scipy" or with_scipy]


def reference(tree, folder):
    """A run that counts as exact, and how far another engine at a tight tolerance is from it."""
    other = runs.Cell(tree, "own", folder, rtol=1e-10, repeat=1)
    tight = runs.Cell(tree, "cvode-states", folder, rtol=1e-12, repeat=1) if tree.has("cvode") else None
    other.sample()
    if tight:
        tight.sample()
    if not tight or tight.fault:
        return other, None
    return tight, None if other.fault else runs.errors(other.series, tight.series)


def curve(points):
    """The (error, time) pairs that nothing beats in both, from loose to tight."""
    kept, fastest = [], math.inf
    for error, time in sorted(point for point in points if 0.0 < point[0] < math.inf):
        if time < fastest:
            kept.append((error, time))
            fastest = time
    return kept[::-1]


def time_at(points, error):
    """Time at which an engine achieves an error, interpolated between its tolerances on logarithmic scales; its
    fastest run if even that is better; None when no tolerance tried was tight enough."""
    kept = curve(points)
    if not kept or kept[-1][0] > error:
        return None
    if kept[0][0] <= error:
        return kept[0][1]
    for (loose, fast), (tight, slow) in zip(kept, kept[1:]):
        if tight <= error:
            share = math.log(loose / error) / math.log(loose / tight)
            return math.exp((1.0 - share) * math.log(fast) + share * math.log(slow))
    return None


def show(tree, cells):
    rows, notes = [], ["* the tolerance that a scenario has by itself"]
    for cell in cells:
        counts = cell.counts
        rtol = "%.0e%s" % (counts.get("rtol", cell.rtol) or 0.0, "" if cell.rtol else " *")
        if cell.fault:
            rows.append([runs.TITLES[cell.engine], rtol, "gave up"] + [""] * 10)
            notes.append("gave up: %s at %s: %s" % (runs.TITLES[cell.engine], rtol, cell.fault))
            continue
        rows.append([runs.TITLES[cell.engine], rtol, "%.1e" % cell.error[0], cell.error[1], "%.1e" % cell.error[2],
                     number(1e3 * cell.best, "%.1f"), number(1e3 * cell.median, "%.1f")] +
                    [number(counts.get(key), "%.0f") for key in
                     ("steps", "rejected", "evaluations", "jacobians", "factorisations")] +
                    [number(counts.get("residual"), "%.0e") if "no ledger" not in runs.TITLES[cell.engine] else "-"])
    head = ["engine", "rtol", "error", "in series", "rms", "ms", "median", "steps", "rejected", "rates", "Jacobians",
            "factored", "ledger"]
    table("Work and precision: six weeks, %.0f happenings, %.0f legs; rates of %s"
          % (cells[0].counts.get("events", 0), cells[0].counts.get("legs", 0), tree.name), head, rows, notes)


def measure(trees, folder, rounds, with_scipy):
    """All cells of the trees, sampled, each with its error. First the frozen tree, last the present one."""
    exact, plain = {}, {"references": []}
    for tree in trees:
        exact[tree], agreement = reference(tree, folder)
        told = ("CVODE at 1e-12, which the own engine at 1e-10 meets to %.0e (%s)" % agreement[:2] if agreement
                else "the own engine at 1e-10, checked by no other")
        print("Errors with the rates of %s are counted against %s." % (tree.name, told))
        plain["references"].append({"tree": tree.name, "agreement": agreement and agreement[0]})
    against = {tree: exact[tree].series for tree in trees}
    if len(trees) > 1:
        apart = runs.errors(exact[trees[-1]].series, exact[trees[0]].series)
        plain["references_apart"] = apart[0]
        print("The two references differ by %.1e (%s)." % apart[:2], end=" ")
        if apart[0] < SAME_MODEL:
            against[trees[-1]] = against[trees[0]]
            print("It is one model: errors of the present tree are counted against the frozen reference too.")
        else:
            print("The model has changed since: each tree is held against its own reference.")
    cells = [runs.Cell(tree, engine, folder, rtol=rtol, repeat=1 if engine in BRIEF else 2)
             for tree in trees for engine in engines_of(tree, with_scipy) if tree is trees[0] or engine not in BRIEF
             for rtol in TOLERANCES[engine]]
    like = exact[trees[0]].series
    runs.interleave(cells, 2, like)
    runs.interleave([cell for cell in cells if cell.engine not in BRIEF], max(0, rounds - 2))
    for cell in cells:
        if not cell.fault:
            cell.error = runs.errors(cell.series, against[cell.tree])
    plain["cells"] = [dict(cell.plain(), error=getattr(cell, "error", None)) for cell in cells]
    return cells, plain


def points_of(cells, tree, engine):
    return [(cell.error[0], cell.best) for cell in cells
            if cell.tree is tree and cell.engine == engine and not cell.fault]


def equal_error(trees, cells):
    """Times at equal error, and ratios against the own engine of the last tree. Returns them for the JSON file."""
    now = trees[-1]
    default = [cell for cell in cells if cell.tree is now and cell.engine == "own" and cell.rtol is None][0]
    marks = MARKS + ((default.error[0],) if not default.fault else ())
    lines = []
    for tree in trees:
        for engine in TOLERANCES:
            points = points_of(cells, tree, engine)
            if points:
                lines.append((tree, engine, [time_at(points, mark) for mark in marks]))
    own = next(times for tree, engine, times in lines if tree is now and engine == "own")
    head = (["rates of", "engine"] + ["%.0e" % mark for mark in MARKS] +
            ["%.1e *" % mark for mark in marks[len(MARKS):]])
    note = ["* the error that the own engine achieves at the tolerance that a scenario has by itself",
            "- no tolerance tried was tight enough"]
    table("Milliseconds for a run at equal achieved error (largest of any series)", head,
          [[tree.name, runs.TITLES[engine]] + [number(time and 1e3 * time, "%.1f") for time in times]
           for tree, engine, times in lines], note)
    ratios = [(tree, engine, [time / ours if time and ours else None for time, ours in zip(times, own)])
              for tree, engine, times in lines if not (tree is now and engine == "own")]
    table("How many times faster the own engine of %s is, at equal achieved error" % now.name, head,
          [[tree.name, runs.TITLES[engine]] + [number(ratio, "%.2f") for ratio in found]
           for tree, engine, found in ratios], note)
    return {"errors": marks,
            "milliseconds": [{"tree": t.name, "engine": e, "at": [v and 1e3 * v for v in at]} for t, e, at in lines],
            "ratios": [{"tree": t.name, "engine": e, "at": found} for t, e, found in ratios]}


def rates(trees, folder, rounds):
    """What one evaluation of the rates costs, and where the time of a run goes."""
    rows, plain = [], []
    for tree in trees:
        cell = runs.Cell(tree, "own", folder)
        told = [cell.call("rates") for _ in range(rounds)]
        if cell.fault:
            rows.append([tree.name, cell.fault[:60], "", "", ""])
            continue
        best = {key: min(one[key] for one in told) for key in ("evaluation", "inside", "outside")}
        plain.append(dict(best, tree=tree.name))
        rows.append([tree.name, "%.2f" % (1e6 * best["evaluation"]), "%.1f" % (1e3 * best["inside"]),
                     "%.1f" % (1e3 * best["outside"]),
                     "%.0f %%" % (100 * best["outside"] / (best["inside"] + best["outside"]))])
    table("Cost of the rates, and where a run of the own engine spends its time",
          ["tree", "us per evaluation", "ms in the integrator", "ms outside", "outside"], rows,
          ["outside: applying what is done, recording 2017 rows, looking at them, closing the books"])
    return plain


def run(trees, folder, rounds, with_scipy):
    cells, plain = measure(trees, folder, rounds, with_scipy)
    for tree in trees:
        show(tree, [cell for cell in cells if cell.tree is tree])
    plain["equal_error"] = equal_error(trees, cells)
    plain["rates"] = rates(trees, folder, rounds)
    return plain
