"""Runs a scenario with the program, and with SciPy in the place of its integrator; compares every number.

reference.py LIBRARY SCENARIO, with the program in $VATCAST and the models in $VATCAST_MODELS. SciPy's Radau (Radau IIA
of order 5, Hairer & Wanner 1996) runs at 1e-9 where the program runs at the scenario's tolerance. The two must agree to
1e-4 of each series' own size. Ends with 77 when SciPy or h5py is missing.
"""
import ctypes
import os
import subprocess
import sys
import tempfile

try:
    import h5py
    import numpy as np
    from scipy.integrate import Radau
except ImportError as missing:
    print("skipped:", missing)
    sys.exit(77)

AGREE = 1e-4        # of the largest value of a series, or of a column of a table
RELATIVE = 1e-9     # of the integrator from outside
ABSOLUTE = 1e-4     # its absolute tolerances, as a share of the program's own
# Gauss-Legendre nodes for the extents of a step.
NODES, WEIGHTS = np.polynomial.legendre.leggauss(4)

numbers = ctypes.POINTER(ctypes.c_double)
BEGIN = ctypes.CFUNCTYPE(None, ctypes.c_void_p, ctypes.c_double, ctypes.c_double, numbers, numbers, ctypes.c_double)
STEP = ctypes.CFUNCTYPE(ctypes.c_double, numbers, numbers)
BETWEEN = ctypes.CFUNCTYPE(None, ctypes.c_double, numbers, numbers)


def view(pointer, count):
    """The numbers behind a pointer, to read and to write."""
    return np.ctypeslib.as_array(pointer, shape=(count,))


class Integrator(ctypes.Structure):
    _fields_ = [("begin", BEGIN), ("step", STEP), ("between", BETWEEN)]


class Outside:
    """SciPy behind the three calls of struct reference_integrator."""

    def __init__(self, library):
        self.library = library
        self.fault = None
        self.steps = 0
        self.table = Integrator(BEGIN(self.begin), STEP(self.step), BETWEEN(self.between))

    def call(self, function, t, y, shape):
        out = np.empty(shape)
        failed = function(self.ode, t, np.ascontiguousarray(y).ctypes.data_as(numbers), out.ctypes.data_as(numbers))
        if failed:
            out.fill(np.nan)
        return out

    def begin(self, ode, t, stop, y, absolute, longest):
        try:
            self.ode = ctypes.c_void_p(ode)
            self.n = self.library.reference_states(self.ode)
            self.m = self.library.reference_rates(self.ode)
            self.solver = Radau(lambda t, y: self.call(self.library.reference_derivative, t, y, self.n),
                                t, view(y, self.n).copy(), stop, max_step=longest, rtol=RELATIVE,
                                atol=ABSOLUTE * view(absolute, self.n),
                                jac=lambda t, y: self.call(self.library.reference_jacobian, t, y, (self.n, self.n)))
        except Exception as fault:  # nothing may be raised into C
            self.fault, self.solver = fault, None

    def extents(self, to):
        start = self.solver.t_old
        half = 0.5 * (to - start)
        times = start + half * (1.0 + NODES)
        rates = np.array([self.call(self.library.reference_extent_rates, t, self.dense(t), self.m) for t in times])
        return half * (WEIGHTS @ rates)

    def step(self, y, extents):
        try:
            message = self.solver.step()
            if self.solver.status == "failed":
                raise RuntimeError(message)
            self.steps += 1
            self.dense = self.solver.dense_output()
            view(y, self.n)[:] = self.solver.y
            view(extents, self.m)[:] += self.extents(self.solver.t)
            return self.solver.t
        except Exception as fault:
            self.fault = self.fault or fault
            return float("nan")

    def between(self, t, y, extents):
        try:
            view(y, self.n)[:] = self.dense(t)
            if extents:
                view(extents, self.m)[:] = self.extents(t)
        except Exception as fault:
            self.fault = self.fault or fault


def load(path):
    library = ctypes.CDLL(path)
    library.reference_states.restype = library.reference_rates.restype = ctypes.c_size_t
    library.reference_states.argtypes = library.reference_rates.argtypes = [ctypes.c_void_p]
    for name in ("derivative", "jacobian", "extent_rates"):
        getattr(library, "reference_" + name).argtypes = [ctypes.c_void_p, ctypes.c_double, numbers, numbers]
    library.reference_run.restype = ctypes.c_void_p
    library.reference_run.argtypes = [ctypes.c_char_p, ctypes.c_char_p, ctypes.POINTER(Integrator), ctypes.c_char_p,
                                      ctypes.c_size_t]
    library.reference_free.argtypes = [ctypes.c_void_p]
    library.reference_column.restype = numbers
    library.reference_column.argtypes = [ctypes.c_void_p, ctypes.c_char_p, ctypes.c_char_p,
                                         ctypes.POINTER(ctypes.c_size_t)]
    return library


def plain(values):
    """A dataset as numbers; codes that do not apply are NaN, as they are inside a run."""
    out = np.array(values, dtype=float)
    if values.dtype.kind in "iu":
        out[out == float(np.ravel(values.attrs.get("_FillValue", -1))[0])] = np.nan
    return out


def program_tables(scenario):
    """Every column that the program's result holds, by (table, column)."""
    tables = {}
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "result.h5")
        done = subprocess.run([os.environ["VATCAST"], "run", "-q", scenario, "-o", path], stdout=subprocess.PIPE,
                              stderr=subprocess.STDOUT, text=True)
        if done.returncode != 0:
            sys.exit(done.stdout)
        with h5py.File(path, "r") as file:
            for name, item in file.items():
                if isinstance(item, h5py.Dataset):
                    tables["series", name] = item
                elif name in ("events", "dips", "pieces"):
                    tables.update({(name, column): values for column, values in item.items()})
                elif name == "ledger":
                    for substance, group in item.items():
                        tables.update({("ledger/" + substance, column): values for column, values in group.items()})
            return {key: (plain(values), "flag_meanings" in values.attrs) for key, values in tables.items()
                    if values.dtype.kind in "fiu"}


def compare(got, want, is_code):
    """The largest difference as a share of the column's size, or a word for what does not match."""
    if got.shape != want.shape:
        return f"{len(got)} rows and {len(want)}"
    if not np.array_equal(np.isnan(got), np.isnan(want)):
        return "numbers where the other has none"
    difference = np.abs(got - want)[~np.isnan(got)]
    if is_code:
        wrong = int(np.count_nonzero(difference))
        return f"{wrong} codes of {len(got)} differ" if wrong else 0.0
    size = np.max(np.abs(want[~np.isnan(want)]), initial=0.0)
    return float(np.max(difference, initial=0.0) / size) if size > 0.0 else float(np.max(difference, initial=0.0))


def main():
    path, scenario = sys.argv[1:3]
    library = load(path)
    outside = Outside(library)
    message = ctypes.create_string_buffer(512)
    models = os.environ["VATCAST_MODELS"].encode()
    result = library.reference_run(scenario.encode(), models, outside.table, message, len(message))
    if not result or outside.fault is not None:
        sys.exit(f"the run with SciPy failed: {message.value.decode()} {outside.fault!r}")
    faults, compared, worst = [], 0, (0.0, "")
    for (table, column), (got, is_code) in sorted(program_tables(scenario).items()):
        rows = ctypes.c_size_t()
        values = library.reference_column(result, table.encode(), column.encode(), ctypes.byref(rows))
        if not values:
            continue
        outcome = compare(got, view(values, rows.value).copy(), is_code)
        compared += 1
        if isinstance(outcome, str) or outcome > AGREE:
            faults.append(f"{table}/{column}: {outcome if isinstance(outcome, str) else format(outcome, '.2e')}")
        else:
            worst = max(worst, (outcome, f"{table}/{column}"))
    library.reference_free(result)
    print(f"{compared} columns compared, {outside.steps} steps by SciPy;"
          f" largest difference {worst[0]:.1e} in {worst[1]}")
    if compared < 60:
        faults.append(f"only {compared} columns were found on both sides")
    sys.exit("\n".join(faults) if faults else 0)


main()
