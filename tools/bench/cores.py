"""Many runs at once: time for each over one and two workers, and the memory of a run."""
import concurrent.futures
import json
import os
import re
import subprocess
import time

import scenarios
from tables import table

OVER = "constants.leuco_pk1=7.9..8.3"


def sweep_words(program):
    """Options of `vatcast sweep`, the one for its number of workers last; None when the program has no such verb."""
    told = subprocess.run([program, "sweep", "--help"], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
                          check=False)
    found = re.search(r"--(threads|workers|jobs|cores)\b", told.stdout)
    if told.returncode != 0 or not found:
        return None
    return ["--force"] + ["--summary-only"] * ("--summary-only" in told.stdout) + [found.group(0)]


def waited(tree, *words):
    """What a run of the program takes: {"wall", "processor", "peak_MB"}, seconds and megabytes."""
    done = subprocess.run([str(tree.build / "bench_spent"), str(tree.vatcast)] + [str(word) for word in words],
                          stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, check=False,
                          env=dict(os.environ, VATCAST_MODELS=tree.models))
    if done.returncode != 0:
        raise SystemExit("bench: vatcast %s\n%s" % (" ".join(map(str, words)), done.stderr))
    return json.loads(done.stdout)


def by_sweep(tree, options, scenario, folder, count, workers):
    out = folder / "sweep.h5"
    return waited(tree, "sweep", scenario, "--over", OVER, "--runs", count, "-o", out, "-q", *options, workers)


def by_processes(tree, scenario, folder, count, workers):
    def one(i):
        return waited(tree, "run", scenario, "-q", "--force", "-o", folder / ("run-%d.h5" % i))

    began = time.monotonic()
    with concurrent.futures.ThreadPoolExecutor(workers) as pool:
        told = list(pool.map(one, range(count)))
    for i in range(count):
        (folder / ("run-%d.h5" % i)).unlink()
    return {"wall": time.monotonic() - began, "processor": sum(one["processor"] for one in told),
            "peak_MB": max(one["peak_MB"] for one in told)}


def run(tree, folder, rounds, count):
    scenario = folder / "cores.conf"
    scenario.write_text(scenarios.text())
    options = sweep_words(str(tree.vatcast))
    single = min((waited(tree, "run", scenario, "-q", "--force", "-o", folder / "one.h5") for _ in range(rounds)),
                 key=lambda one: one["processor"])
    cores = len(os.sched_getaffinity(0))
    told = {}
    for _ in range(rounds):     # in turn, as the machine may have other work too
        for workers in sorted({1, min(2, cores), cores}):
            one = (by_sweep(tree, options, scenario, folder, count, workers) if options
                   else by_processes(tree, scenario, folder, count, workers))
            told[workers] = min(told.get(workers, one), one, key=lambda one: one["wall"])
    rows = [["%d" % workers, "%.1f" % (1e3 * one["wall"] / count), "%.1f" % (1e3 * one["processor"] / count),
             "%.2f" % (told[1]["wall"] / one["wall"]), "%.1f" % one["peak_MB"]] for workers, one in told.items()]
    table("%d runs of six weeks, %s" % (count, "by `vatcast sweep`" if options else
                                        "one process each (this program has no verb `sweep`)"),
          ["workers", "ms wall for each", "ms processor for each", "faster than 1", "peak MB"], rows,
          ["one run by `vatcast run`, result file and all: %.0f ms processor, %.1f MB at its peak"
           % (1e3 * single["processor"], single["peak_MB"])])
    return {"runs": count, "by": "sweep" if options else "processes", "single": single, "workers": told}
