"""members_with_python.py: runs a sweep and a run with members and opens both as people with Python would: h5py, xarray.

Ends with 77 (skipped) where a module is missing. The program is $VATCAST; the result given is not looked at.
"""
import os
import pathlib
import subprocess
import sys
import tempfile

import numpy as np

try:
    import h5py
    import xarray as xr
except ImportError as missing:
    print("skipped:", missing)
    sys.exit(77)

VAT = pathlib.Path(os.environ["TESTS_DIR"]) / "cli" / "small-vat.conf"


def vatcast(*arguments):
    subprocess.run([os.environ["VATCAST"], *map(str, arguments)], check=True)


def check_kind(name, item):
    """As in plain results: numbers only, with units and words."""
    if isinstance(item, h5py.Dataset):
        assert item.dtype.kind in "if" and item.dtype.fields is None and h5py.check_enum_dtype(item.dtype) is None, name
        assert item.attrs["units"] and item.attrs["long_name"], name


def check_sweep(path, engine, runs):
    with h5py.File(path, "r") as file:
        assert file.attrs["format_name"] == "vatcast-sweep" and file.attrs["format_version"] == 1
        file.visititems(check_kind)
        assert file["ph"].dims[0][0].name == "/member" and file["ph"].dims[1][0].name == "/time"
        drawn = file["drawn_vat_water_temperature"]
        assert drawn.attrs["setting"] == "vat.water.temperature" and drawn.attrs["low"] == 40.0
    with xr.open_dataset(path, engine=engine) as data:
        assert data.sizes["member"] == runs
        assert np.issubdtype(data["time"].dtype, np.datetime64)
        assert data["ph"].dims == ("member", "time") and data["owf_mean"].dims == ("member",)
        assert np.isfinite(data["ph"].values).all()
        warmth = data["drawn_vat_water_temperature"]
        assert ((warmth >= 40) & (warmth <= 60)).all()
        # the vat begins about as warm as its water, some of it lost to the vessel and the air within the first row
        assert np.corrcoef(warmth, data["temperature"].isel(time=0))[0, 1] > 0.999
        np.testing.assert_array_equal(data["end_ph"], data["ph"].isel(time=-1))
        end_state = data["end_state"]
        np.testing.assert_array_equal(end_state, data["state"].isel(time=-1))
        with xr.open_dataset(path, engine=engine, group="percentiles") as percentiles:
            assert list(percentiles["percentile"]) == [5, 25, 50, 75, 95]
            want = np.nanpercentile(data["owf_mean"], [5, 25, 50, 75, 95])
            np.testing.assert_allclose(percentiles["owf_mean"], want, rtol=1e-12)


def check_members(path, engine):
    with h5py.File(path, "r") as file:
        file.visititems(check_kind)
    with xr.open_dataset(path, engine=engine) as data, xr.open_dataset(path, engine=engine, group="members") as members:
        assert members.sizes == {"member": 8}
        for name in "ph", "leuco", "temperature":
            assert (data[name + "_p05"] <= data[name + "_p95"]).all()
            assert data[name + "_p05"].dims == ("time",)
            assert data[name + "_p05"].attrs["units"] == data[name].attrs["units"]
        ends = members["end_ph"].values
        np.testing.assert_allclose(data["ph_p05"].values[-1], np.percentile(ends, 5), rtol=1e-12)
        np.testing.assert_allclose(data["ph_p95"].values[-1], np.percentile(ends, 95), rtol=1e-12)
        assert "state_p05" not in data


def main():
    engines = [engine for engine in ("h5netcdf", "netcdf4") if engine in xr.backends.list_engines()]
    if not engines:
        print("skipped: xarray has no engine for HDF5 files")
        sys.exit(77)
    with tempfile.TemporaryDirectory() as folder:
        sweep = pathlib.Path(folder) / "sweep.h5"
        banded = pathlib.Path(folder) / "banded.h5"
        vatcast("sweep", VAT, "--over", "vat.water.temperature=40..60 degC", "--runs", 20, "--set", "rtol=1e-4", "-o", sweep, "-q")
        vatcast("run", VAT, "--members", 8, "--set", "rtol=1e-4", "-o", banded, "-q")
        for engine in engines:
            check_sweep(sweep, engine, 20)
            check_members(banded, engine)
    print("read with h5py and xarray:", ", ".join(engines))


main()
