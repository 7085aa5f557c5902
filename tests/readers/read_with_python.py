"""read_with_python.py RESULT.h5: opens a result file as people with Python would: h5py, xarray (h5netcdf, netCDF4).

Ends with 77 (skipped) where a module is missing.
"""
import sys

import numpy as np

try:
    import h5py
    import xarray as xr
except ImportError as missing:
    print("skipped:", missing)
    sys.exit(77)

TABLES = ["events", "dips", "pieces", "notes"]
LEAST = (
    "time temperature volume ph orp leuco indigo_suspended indigo_bed hexose reductone acid calcium lime_solid chalk "
    "oxygen turbidity bed_depth"
).split()


def check_codes(name, variable):
    """Codes carry as many words as values and hold no others."""
    words = variable.attrs["flag_meanings"].split()
    values = np.atleast_1d(variable.attrs["flag_values"])
    assert list(values) == list(range(len(words))), name
    held = np.asarray(variable[...])
    assert np.isin(held, np.append(values, -1)).all(), name


def check_kind(name, item):
    """No compound, enum, boolean or string datasets: several readers drop them."""
    if isinstance(item, h5py.Dataset):
        assert item.dtype.kind in "if" and item.dtype.fields is None and h5py.check_enum_dtype(item.dtype) is None, name
        assert item.attrs["units"] and item.attrs["long_name"], name


def check_h5py(path):
    with h5py.File(path, "r") as file:
        assert file.attrs["Conventions"] == "CF-1.10"
        assert file.attrs["format_name"] == "vatcast-result"
        assert file.attrs["format_version"] == 1
        assert file.attrs["status"] in ("complete", "failed", "interrupted")
        series = {name: item for name, item in file.items() if isinstance(item, h5py.Dataset)}
        for name in LEAST:
            assert name in series, f"{name} is missing"
        rows = len(series["time"])
        assert rows > 0
        for name, dataset in series.items():
            assert dataset.shape == (rows,), name
            assert isinstance(dataset.attrs["units"], str) and dataset.attrs["units"], name
            assert isinstance(dataset.attrs["long_name"], str) and dataset.attrs["long_name"], name
            assert dataset.compression == "gzip" and dataset.shuffle, name
            if name != "time":
                assert dataset.dims[0][0].name == "/time", name
            if "flag_values" in dataset.attrs:
                check_codes(name, dataset)
            else:
                assert dataset.dtype == np.dtype("<f8"), name
        file.visititems(check_kind)
        assert series["time"].attrs["units"].startswith("seconds since ")
        assert (np.diff(series["time"][...]) >= 0).all()
        for substance, group in file["ledger"].items():
            assert isinstance(group.attrs["residual_relative"], np.floating), substance
            check_codes(substance, group["row"])
            check_codes(substance, group["part"])
            assert len(group["amount"]) == len(group["row"]), substance
        text = file["notes"].attrs["text"]
        assert isinstance(text, str)
        assert text.count("\n") == len(file["notes/time"])
        origin = file["provenance"].attrs
        assert isinstance(origin["scenario_text"], str) and isinstance(origin["model_text"], str)
        assert len(origin["scenario_text_sha256"]) == 64
        return list(file["ledger"])


def check_xarray(path, engine, substances):
    with xr.open_dataset(path, engine=engine) as data:
        assert np.issubdtype(data["time"].dtype, np.datetime64)
        for name, variable in data.data_vars.items():
            assert variable.dims == ("time",), name
            assert variable.attrs["units"] and variable.attrs["long_name"], name
        assert np.isfinite(data["ph"].values).any()
        data["temperature"].sel(time=data["time"][-1], method="nearest")
    for group in TABLES + [f"ledger/{substance}" for substance in substances]:
        with xr.open_dataset(path, engine=engine, group=group) as table:
            assert len(table.dims) == 1, group
            if "time" in table:
                assert np.issubdtype(table["time"].dtype, np.datetime64), group
            for name, variable in table.variables.items():
                assert variable.attrs.get("long_name"), f"{group}/{name}"


def main():
    path = sys.argv[1]
    substances = check_h5py(path)
    engines = xr.backends.list_engines()
    tried = [engine for engine in ("h5netcdf", "netcdf4") if engine in engines]
    if not tried:
        print("skipped: xarray has no engine for HDF5 files")
        sys.exit(77)
    for engine in tried:
        check_xarray(path, engine, substances)
    print("read with h5py and xarray:", ", ".join(tried))


main()
