"""One run with SciPy's BDF (variable order 1 to 5, Shampine & Reichelt 1997) in the place of the program's integrator.

scipy_run.py LIBRARY SCENARIO MODELS RTOL REPEAT [SERIES-FILE LIKE]. The right-hand side is the compiled one, its
Jacobian SciPy's own difference quotients. Absolute tolerances are those of the scenario, which names the same RTOL. All
states are integrated, extents are not: ledgers stay empty. Prints and writes what one_run.c does; LIKE is such a file,
of which it takes the names. The calls are those of tests/reference/reference.h.
"""
import ctypes
import json
import sys
import time

import numpy as np
from scipy.integrate import BDF

numbers = ctypes.POINTER(ctypes.c_double)
BEGIN = ctypes.CFUNCTYPE(None, ctypes.c_void_p, ctypes.c_double, ctypes.c_double, numbers, numbers, ctypes.c_double)
STEP = ctypes.CFUNCTYPE(ctypes.c_double, numbers, numbers)
BETWEEN = ctypes.CFUNCTYPE(None, ctypes.c_double, numbers, numbers)


class Table(ctypes.Structure):
    _fields_ = [("begin", BEGIN), ("step", STEP), ("between", BETWEEN)]


def view(pointer, count):
    return np.ctypeslib.as_array(pointer, shape=(count,))


class Outside:
    """SciPy behind the three calls of struct reference_integrator."""

    def __init__(self, library, rtol):
        self.library, self.rtol = library, rtol
        self.fault = self.solver = None
        self.counts = dict(steps=0, evaluations=0, jacobians=0, factorisations=0, legs=0)
        self.table = Table(BEGIN(self.begin), STEP(self.step), BETWEEN(self.between))

    def collect(self):
        if self.solver is not None:
            self.counts["evaluations"] += self.calls
            self.counts["jacobians"] += self.solver.njev
            self.counts["factorisations"] += self.solver.nlu
            self.solver = None

    def begin(self, ode, t, stop, y, absolute, longest):
        try:
            self.collect()
            self.calls = 0
            self.counts["legs"] += 1
            self.m = self.library.reference_rates(ode)
            n = self.n = self.library.reference_states(ode)
            out = np.empty(n)
            place = out.ctypes.data_as(numbers)
            derivative = self.library.reference_derivative

            def rates(t, y):
                self.calls += 1
                derivative(ode, t, np.ascontiguousarray(y).ctypes.data_as(numbers), place)
                return out.copy()

            self.solver = BDF(rates, t, view(y, n).copy(), stop, max_step=longest, rtol=self.rtol,
                              atol=view(absolute, n).copy())
        except Exception as fault:  # nothing may be raised into C
            self.fault = self.fault or fault

    def step(self, y, extents):
        try:
            message = self.solver.step()
            if self.solver.status == "failed":
                raise RuntimeError(message)
            self.counts["steps"] += 1
            self.dense = None
            view(y, self.n)[:] = self.solver.y
            return self.solver.t
        except Exception as fault:
            self.fault = self.fault or fault
            return float("nan")

    def between(self, t, y, extents):
        try:
            self.dense = self.dense or self.solver.dense_output()
            view(y, self.n)[:] = self.dense(t)
            if extents:
                view(extents, self.m)[:] = 0.0
        except Exception as fault:
            self.fault = self.fault or fault


def load(path):
    library = ctypes.CDLL(path)
    library.reference_states.restype = library.reference_rates.restype = ctypes.c_size_t
    library.reference_states.argtypes = library.reference_rates.argtypes = [ctypes.c_void_p]
    library.reference_derivative.argtypes = [ctypes.c_void_p, ctypes.c_double, numbers, numbers]
    library.reference_run.restype = ctypes.c_void_p
    library.reference_run.argtypes = [ctypes.c_char_p, ctypes.c_char_p, ctypes.POINTER(Table), ctypes.c_char_p,
                                      ctypes.c_size_t]
    library.reference_free.argtypes = [ctypes.c_void_p]
    library.reference_column.restype = numbers
    library.reference_column.argtypes = [ctypes.c_void_p, ctypes.c_char_p, ctypes.c_char_p,
                                         ctypes.POINTER(ctypes.c_size_t)]
    return library


def write_series(library, result, names, path):
    """`names` as in the series file of another engine: the library knows its columns by name only."""
    rows = ctypes.c_size_t()
    with open(path, "wb") as file:
        file.write((" ".join(names) + "\n").encode())
        for name in names:
            values = library.reference_column(result, b"series", name.rstrip("*").encode(), ctypes.byref(rows))
            file.write(view(values, rows.value).tobytes())


def main():
    path, scenario, models, rtol, repeat = sys.argv[1:6]
    library = load(path)
    seconds = []
    for i in range(int(repeat)):
        outside = Outside(library, float(rtol))
        message = ctypes.create_string_buffer(512)
        began = time.process_time()
        result = library.reference_run(scenario.encode(), models.encode(), outside.table, message, len(message))
        seconds.append(time.process_time() - began)
        outside.collect()
        if not result or outside.fault is not None:
            sys.exit(f"scipy_run: {message.value.decode()} {outside.fault!r}")
        if i + 1 == int(repeat) and len(sys.argv) > 7:
            with open(sys.argv[7], "rb") as like:
                names = like.readline().decode().split()
            write_series(library, result, names, sys.argv[6])
        library.reference_free(result)
    print(json.dumps(dict(outside.counts, seconds=seconds, rejected=None)))


main()
