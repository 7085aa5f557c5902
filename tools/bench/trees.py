"""The trees that are measured: the one this file stands in, and the one frozen before the engine was made fast."""
import os
import pathlib
import subprocess

TOP = pathlib.Path(__file__).resolve().parents[2]
FROZEN = "253e97c"      # the last commit before the engine and the chemistry were worked on for speed


class Tree:
    """A source tree and where the programs of engines.cmake are built from it."""

    def __init__(self, name, source, build):
        self.name, self.source, self.build = name, pathlib.Path(source), pathlib.Path(build)
        self.models = str(self.source / "models")

    def engine(self, name):
        return self.build / ("libbench_scipy.so" if name == "scipy" else "bench_" + name)

    def has(self, name):
        return self.engine(name).exists()

    @property
    def vatcast(self):
        return self.build / "tree" / "vatcast"

    def make(self):
        """Builds all that can be built; an engine that does not fit the interface is left out, and the log says why."""
        self.build.mkdir(parents=True, exist_ok=True)
        log = self.build / "build.log"
        jobs = str(len(os.sched_getaffinity(0)))
        with open(log, "w") as out:
            subprocess.run(["cmake", "-S", str(TOP / "tools/bench"), "-B", str(self.build),
                            "-DCMAKE_BUILD_TYPE=Release", "-DVATCAST_TREE=%s" % self.source], stdout=out, stderr=out,
                           check=False)
            done = subprocess.run(["cmake", "--build", str(self.build), "--parallel", jobs, "--", "-k"], stdout=out,
                                  stderr=out, check=False)
        if not self.has("own") or not self.vatcast.exists():
            raise SystemExit("bench: the build of %s failed; see %s" % (self.name, log))
        if done.returncode != 0:
            print("Not everything could be built of %s; see %s" % (self.name, log))
        return self


def git(*words):
    return subprocess.run(["git", "-C", str(TOP)] + list(words), stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
                          check=False)


def present(folder):
    return Tree("the present tree", TOP, folder / "now").make()


def unchanged(commit):
    """Whether the present sources and models are those of the commit."""
    return (git("diff", "--quiet", commit, "--", "src", "models").returncode == 0 and
            git("status", "--porcelain", "--", "src", "models").stdout == b"")


def frozen(folder, commit):
    """The tree of a commit, out of git's history. None when the history is not there."""
    full = git("rev-parse", "--verify", "--quiet", commit + "^{commit}")
    if full.returncode != 0:
        return None
    name = full.stdout.decode().strip()[:12]
    source = folder / ("frozen-" + name) / "source"
    if not (source / ".complete").exists():
        source.mkdir(parents=True, exist_ok=True)
        archive = git("archive", name)
        if archive.returncode != 0:
            return None
        subprocess.run(["tar", "-x", "-C", str(source)], input=archive.stdout, check=True)
        (source / ".complete").touch()
    return Tree(commit, source, source.parent / "build").make()
