"""Runs of one scenario with one engine: times, counts, errors."""
import json
import os
import pathlib
import statistics
import subprocess
import sys

import numpy as np

import scenarios

HERE = pathlib.Path(__file__).resolve().parent
LONGEST = 300       # s that one process may take
LEAST = 1e-6        # a series that never exceeds this in its own unit (g/L, mmol/L, g, cm ...) is nothing to a dyer

TITLES = {
    "own": "own engine",
    "cvode": "CVODE BDF",
    "cvode-states": "CVODE BDF, no ledger",
    "arkode": "ARKODE ESDIRK, no ledger",
    "msbdf": "GSL msbdf, no ledger",
    "scipy": "SciPy BDF, no ledger",
}


class Cell:
    """An engine of a tree on one scenario: what is sampled again and again."""

    def __init__(self, tree, engine, folder, rtol=None, repeat=2, **scenario):
        self.tree, self.engine, self.rtol, self.repeat = tree, engine, rtol, repeat
        self.seconds, self.counts, self.fault = [], {}, None
        folder.mkdir(parents=True, exist_ok=True)
        stem = "-".join([tree.build.parent.name + tree.build.name, engine, "default" if rtol is None else "%g" % rtol] +
                        ["%s%g" % pair for pair in sorted(scenario.items())])
        self.scenario = folder / (stem + ".conf")
        self.series = folder / (stem + ".series")
        self.scenario.write_text(scenarios.text(rtol=rtol, **scenario))

    def command(self, *words):
        program = str(self.tree.engine(self.engine.split("-")[0]))
        if self.engine == "scipy":
            start = [sys.executable, "-B", str(HERE / "scipy_run.py"), program, str(self.scenario), self.tree.models,
                     "%g" % self.rtol]
        else:
            start = [program, str(self.scenario), self.tree.models]
        return start + [str(word) for word in words]

    def call(self, *words):
        """What the process prints, as a dict; None after a fault, which is kept."""
        environment = dict(os.environ, OPENBLAS_NUM_THREADS="1", OMP_NUM_THREADS="1",
                           VATCAST_BENCH_EXTENTS="0" if self.engine.endswith("-states") else "1")
        try:
            done = subprocess.run(self.command(*words), stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
                                  timeout=LONGEST, env=environment, check=False)
        except subprocess.TimeoutExpired:
            self.fault = "not done after %d s" % LONGEST
            return None
        if done.returncode != 0:
            self.fault = (done.stderr.strip().splitlines() or ["failed"])[-1]
            return None
        return json.loads(done.stdout)

    def sample(self, like=None):
        """Runs once more (`repeat` runs in one process). `like`: a series file that exists, for SciPy."""
        if self.fault:
            return
        told = self.call(self.repeat, self.series, *([like] if self.engine == "scipy" else []))
        if told:
            self.seconds += told.pop("seconds")
            self.counts = told

    @property
    def best(self):
        return min(self.seconds) if self.seconds else float("nan")

    @property
    def median(self):
        return statistics.median(self.seconds) if self.seconds else float("nan")

    def plain(self):
        """For the JSON file."""
        return {"tree": self.tree.name, "engine": self.engine, "rtol": self.rtol, "seconds": self.seconds,
                "counts": self.counts, "fault": self.fault}


class Shipped(Cell):
    """A scenario file as it is, once, at its own tolerance or at another."""

    def __init__(self, tree, engine, folder, path, rtol=None):
        super().__init__(tree, engine, folder, rtol, 1)
        self.scenario = path
        self.series = folder / ("%s-%s-%s.series" % (path.stem, engine, rtol))

    def sample(self, like=None):
        told = self.call(1, self.series, *([] if self.rtol is None else [self.rtol]))
        if told:
            self.seconds, self.counts = told.pop("seconds"), told


def interleave(cells, rounds, like=None):
    """Every cell once, then every cell again: what else the machine does disturbs all alike."""
    for _ in range(rounds):
        for cell in cells:
            cell.sample(like)


def load(path):
    """The series of a run: {name: values}, without time and without whole numbers such as codes and colours."""
    with open(path, "rb") as file:
        names = file.readline().decode().split()
        values = np.frombuffer(file.read()).reshape(len(names), -1)
    return {name: column for name, column in zip(names, values)
            if not name.endswith("*") and name not in ("time", "liquor_red", "liquor_green", "liquor_blue")}


def errors(path, reference):
    """(largest error of any series at any time, that series, root mean square over series and times), each as a share
    of the largest value of its series in the reference, or of LEAST if that is less."""
    got, want = load(path), load(reference)
    worst, where, squares = 0.0, "", []
    for name, truth in want.items():
        size = np.nanmax(np.abs(truth), initial=LEAST)
        if got[name].shape != truth.shape or np.any(np.isnan(got[name]) != np.isnan(truth)):
            return float("inf"), name, float("inf")
        difference = np.nan_to_num(np.abs(got[name] - truth)) / size
        squares.append(np.mean(difference ** 2))
        if difference.max() > worst:
            worst, where = float(difference.max()), name
    return worst, where, float(np.sqrt(np.mean(squares)))
