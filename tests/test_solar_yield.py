"""The yields that the solar sheet takes, against weather years shipped with pvlib."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from workbook_builder.code_tables.load import load

pvlib = pytest.importorskip("pvlib")

YEARS = {"723170TYA.CSV": "tmy3", "12839.tm2": "tm2"}
LOSSES, INVERTER, RATIO, TILT = 0.14, 0.96, 1.2, 20.0


def _yield(name: str, kind: str) -> float:
    """kWh a year for each kW of array facing south at 20 degrees: simple efficiency model, clipped inverter."""
    path = Path(pvlib.__file__).parent / "data" / name
    read = {"tmy3": pvlib.iotools.read_tmy3, "tm2": pvlib.iotools.read_tmy2}[kind]
    if kind == "tmy3":
        data, meta = read(path, coerce_year=1990, map_variables=True)
        where = meta["latitude"], meta["longitude"]
        ghi, dni, dhi, air, wind = (data[key] for key in ("ghi", "dni", "dhi", "temp_air", "wind_speed"))
    else:
        data, meta = read(path)
        where = meta["latitude"], meta["longitude"]
        ghi, dni, dhi = (data[key].astype(float) for key in ("GHI", "DNI", "DHI"))
        air, wind = data["DryBulb"] / 10.0, data["Wspd"] / 10.0
    middle = data.index - pd.Timedelta("30min")
    sun = pvlib.solarposition.get_solarposition(middle, *where)
    sun.index = data.index
    plane = pvlib.irradiance.get_total_irradiance(
        TILT, 180.0, sun["apparent_zenith"], sun["azimuth"], dni, ghi, dhi
    )["poa_global"].fillna(0.0)
    cell = pvlib.temperature.sapm_cell(plane, air, wind, -3.56, -0.075, 3)
    array = pvlib.pvsystem.pvwatts_dc(plane, cell, 1000.0, -0.0037) * (1 - LOSSES)
    output = (array * INVERTER).clip(upper=1000.0 / RATIO)
    return float(output.sum()) / 1000.0


@pytest.mark.parametrize("name", YEARS)
def test_a_weather_year_lies_in_the_range_of_the_entry(name: str) -> None:
    field = {one.name: one for one in load().job_fields}["yield_kwh_per_kw"]
    found = _yield(name, YEARS[name])

    assert field.minimum < found < field.maximum


def test_the_default_yield_is_that_of_a_middling_site() -> None:
    """A weather year of the south-east, in the middle of the country's range: within 10 percent."""
    field = {one.name: one for one in load().job_fields}["yield_kwh_per_kw"]

    assert field.default == pytest.approx(_yield("723170TYA.CSV", "tmy3"), rel=0.10)
