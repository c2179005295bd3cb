"""What must hold inside and between the code tables, by geometry, physics and the code itself."""

from __future__ import annotations

import math

import pytest

from workbook_builder.code_tables.fields import WIRE_SIZES
from workbook_builder.code_tables.load import load

TABLES = load().tables
SIZED = [name for name, table in TABLES.items() if table.key == "size" and len(table.rows) == 20]
METALS = {
    # Resistivity at 20 C in ohm m and its temperature coefficient: copper of 100 % IACS
    # (IEC 60028) and aluminum of 61 % IACS (IEC 60889). Stranding adds 2 % of length.
    "copper": (1.7241e-8, 0.00393),
    "aluminum": (2.8264e-8, 0.00403),
}


def _values(name: str, column: str) -> list[float]:
    return [value for value in TABLES[name].column(column) if value is not None]


def _rises(values: list[float]) -> bool:
    return all(left < right for left, right in zip(values, values[1:], strict=False))


@pytest.mark.parametrize("name", SIZED)
def test_sizes_stand_in_order(name: str) -> None:
    assert TABLES[name].column("size") == WIRE_SIZES


@pytest.mark.parametrize("column", TABLES["ampacity"].header[1:])
def test_ampacity_rises_with_size(column: str) -> None:
    assert _rises(_values("ampacity", column))


@pytest.mark.parametrize("metal", METALS)
def test_ampacity_rises_with_temperature(metal: str) -> None:
    columns = [TABLES["ampacity"].column(f"{metal} {degrees}") for degrees in (60, 75, 90)]

    assert all(_rises([v for v in row if v is not None]) for row in zip(*columns, strict=True))


def test_aluminum_carries_less_than_copper() -> None:
    pairs = zip(TABLES["ampacity"].column("copper 75"), TABLES["ampacity"].column("aluminum 75"), strict=True)

    assert all(aluminum < copper for copper, aluminum in pairs if aluminum is not None)


def test_ampacity_follows_the_75_to_90_degree_physics() -> None:
    """I scales with the root of the temperature rise (Neher and McGrath): 90 C over 75 C is sqrt(60/45).

    The printed whole amperes scatter; 8 percent holds them all.
    """
    for metal in METALS:
        for low, high in zip(_values("ampacity", f"{metal} 75"), _values("ampacity", f"{metal} 90"), strict=True):
            assert high / low == pytest.approx(math.sqrt(60 / 45), rel=0.085)


@pytest.mark.parametrize("insulation", ["60", "75", "90"])
def test_ambient_factor_is_the_root_of_the_temperature_margin(insulation: str) -> None:
    """310.15(B): the square root of (Tc - Ta) / (Tc - 30), printed with two decimals."""
    limit = float(insulation)
    rows = zip(TABLES["ambient_factor"].column("upper_c"), TABLES["ambient_factor"].column(insulation), strict=True)

    assert all(
        factor == pytest.approx(math.sqrt((limit - upper) / (limit - 30)), abs=0.0051)
        for upper, factor in rows
        if factor is not None
    )


@pytest.mark.parametrize("insulation", TABLES["conductor_area"].header[1:])
def test_area_of_insulated_conductors_is_that_of_a_circle(insulation: str) -> None:
    pairs = zip(
        TABLES["conductor_diameter"].column(insulation), TABLES["conductor_area"].column(insulation), strict=True
    )

    assert all(area == pytest.approx(math.pi / 4 * diameter**2, abs=0.00051) for diameter, area in pairs)


def test_area_of_bare_conductors_is_that_of_a_circle() -> None:
    table = TABLES["bare_conductor"]

    for diameter, area in zip(table.column("diameter_in"), table.column("area_in2"), strict=True):
        assert area == pytest.approx(math.pi / 4 * diameter**2, abs=0.00101)


def test_insulated_conductors_are_larger_than_bare_ones() -> None:
    for column in TABLES["conductor_diameter"].header[1:]:
        pairs = zip(
            TABLES["bare_conductor"].column("diameter_in"), TABLES["conductor_diameter"].column(column), strict=True
        )
        assert all(bare < covered for bare, covered in pairs)


@pytest.mark.parametrize("size", WIRE_SIZES[:13])
def test_circular_mils_follow_the_gauge(size: str) -> None:
    """ASTM B258: d = 5 mil x 92^((36 - n)/39), n = 0, -1, -2, -3 for 1/0 to 4/0."""
    number = 1 - int(size[0]) if "/" in size else int(size)
    mils = (5 * 92 ** ((36 - number) / 39)) ** 2
    found = TABLES["bare_conductor"].column("circular_mils")[WIRE_SIZES.index(size)]

    assert found == pytest.approx(mils, rel=0.001)


@pytest.mark.parametrize("metal", METALS)
def test_direct_current_resistance_is_that_of_the_metal(metal: str) -> None:
    """R = rho l / A at 75 C with 2 % for stranding; one circular mil is 5.067e-10 m2."""
    resistivity, coefficient = METALS[metal]
    at_75 = resistivity * (1 + coefficient * 55)
    table = TABLES["bare_conductor"]

    for mils, resistance in zip(table.column("circular_mils"), table.column(metal), strict=True):
        assert resistance == pytest.approx(at_75 * 304.8 / (mils * 5.06707e-10) * 1.02, rel=0.012)


@pytest.mark.parametrize("metal", METALS)
@pytest.mark.parametrize("conduit", ["PVC", "aluminum", "steel"])
def test_alternating_current_resistance_is_not_under_direct(metal: str, conduit: str) -> None:
    """Skin and proximity effect only add; the printed figures have two digits, so 3.5 percent either way."""
    direct = TABLES["bare_conductor"].column(metal)
    alternating = TABLES["ac_resistance"].column(f"{metal} {conduit}")

    for low, high in zip(direct, alternating, strict=True):
        assert high is None or high >= low * 0.965
        assert high is None or high <= low * 1.42


def test_reactance_is_the_same_for_both_metals_and_larger_in_steel() -> None:
    table = TABLES["ac_reactance"]

    for conduit in ("PVC", "aluminum", "steel"):
        assert table.column(f"copper {conduit}") == table.column(f"aluminum {conduit}")
    for plain, steel in zip(table.column("copper PVC"), table.column("copper steel"), strict=True):
        assert steel == pytest.approx(plain * 1.25, rel=0.03)


def test_impedance_falls_with_size() -> None:
    """A larger conductor never drops more at power factor 0.85."""
    for key in TABLES["ac_resistance"].header[1:]:
        pairs = zip(TABLES["ac_resistance"].column(key), TABLES["ac_reactance"].column(key), strict=True)
        drops = [-(r * 0.85 + x * math.sqrt(1 - 0.85**2)) for r, x in pairs if r is not None]
        assert _rises(drops)


def test_dwelling_conductors_carry_83_percent_and_no_smaller_one_does() -> None:
    """310.12: the smallest size with at least 83 percent of the rating in the 75 C column."""
    table = TABLES["dwelling_conductor"]
    for metal in METALS:
        ampacity = dict(zip(WIRE_SIZES, TABLES["ampacity"].column(f"{metal} 75"), strict=True))
        for rating, size in zip(table.column("rating_a"), table.column(metal), strict=True):
            smallest = next(one for one in WIRE_SIZES if (ampacity[one] or 0) >= 0.83 * rating)
            assert size == smallest


def test_published_83_percent_examples() -> None:
    """200 A takes 2/0 and 100 A takes 4 AWG copper: electricalcodeconnection.com/?p=3533 and
    learnmetrics.com/nec-310-12-table (whose text swaps 3 and 4 AWG)."""
    table = dict(zip(load().tables["dwelling_conductor"].column("rating_a"), TABLES["dwelling_conductor"].column("copper"), strict=True))

    assert table[200] == "2/0"
    assert table[100] == "4"


def test_grounding_conductors_rise_with_the_rating() -> None:
    for name in ("equipment_ground", "electrode_conductor"):
        for metal in METALS:
            assert _rises([WIRE_SIZES.index(size) for size in TABLES[name].column(metal)])


def test_aluminum_grounding_conductors_are_larger() -> None:
    for name in ("equipment_ground", "electrode_conductor"):
        pairs = zip(TABLES[name].column("copper"), TABLES[name].column("aluminum"), strict=True)
        assert all(WIRE_SIZES.index(copper) < WIRE_SIZES.index(aluminum) for copper, aluminum in pairs)


def test_electrode_rows_start_at_circular_mils_of_table_8() -> None:
    mils = set(TABLES["bare_conductor"].column("circular_mils")) | {0, 900000, 1100000, 1750000}

    for metal in METALS:
        assert set(TABLES["electrode_conductor"].column(f"{metal} over")) <= mils


def test_small_conductors_are_within_their_60_degree_ampacity() -> None:
    """240.4(D) repeats the 60 C column for these sizes (aluminum 12 AWG 15 A, 10 AWG 25 A)."""
    for metal in METALS:
        for size, limit in zip(TABLES["small_conductor"].column("size"), TABLES["small_conductor"].column(metal), strict=True):
            assert limit == TABLES["ampacity"].column(f"{metal} 60")[WIRE_SIZES.index(size)]


@pytest.mark.parametrize("raceway", TABLES["raceway_diameter"].header[1:])
def test_bore_rises_with_trade_size(raceway: str) -> None:
    assert _rises(_values("raceway_diameter", raceway))


def test_schedule_80_is_narrower_than_schedule_40() -> None:
    pairs = zip(TABLES["raceway_diameter"].column("PVC 80"), TABLES["raceway_diameter"].column("PVC 40"), strict=True)

    assert all(thick < thin for thick, thin in pairs)


def test_pvc_bore_follows_pipe_dimensions() -> None:
    """Steel-pipe outside diameters (ASME B36.10) less two walls of ASTM D1785 schedule 40 and 80, from
    memory: 1 in 1.315 - 2 x 0.133 / 0.179; 2 in 2.375 - 2 x 0.154 / 0.218. Conduit walls are a little
    thicker where a smallest wall is set, so 4 percent."""
    rows = dict(zip(TABLES["raceway_diameter"].column("trade_size"), TABLES["raceway_diameter"].rows, strict=True))
    header = TABLES["raceway_diameter"].header
    for size, outside, thin, thick in (("1", 1.315, 0.133, 0.179), ("2", 2.375, 0.154, 0.218)):
        assert rows[size][header.index("PVC 40")] == pytest.approx(outside - 2 * thin, rel=0.04)
        assert rows[size][header.index("PVC 80")] == pytest.approx(outside - 2 * thick, rel=0.04)


def test_cooking_demand_rises_and_percentages_fall() -> None:
    assert _rises(_values("cooking_demand", "column_c"))
    for column in ("column_a", "column_b"):
        values = _values("cooking_demand", column)
        assert all(left >= right for left, right in zip(values, values[1:], strict=False))


def test_more_cooking_units_never_lower_the_percentage_load() -> None:
    """n units at the percentage for n never add up to less than n - 1 units at theirs, within the
    two points by which the printed percentages step."""
    for column in ("column_a", "column_b"):
        loads = [n * percent for n, percent in enumerate(_values("cooking_demand", column), start=1)]
        assert all(right >= left - 90 for left, right in zip(loads, loads[1:], strict=False))


def test_standard_ratings_rise() -> None:
    assert _rises(_values("standard_rating", "rating_a"))


def test_count_factor_falls() -> None:
    assert _rises([-factor for factor in _values("count_factor", "factor")])
    assert _rises(_values("count_factor", "conductors_from"))


def test_metal_conduit_needs_no_more_cover_than_plastic() -> None:
    table = TABLES["burial_cover"]
    for metal, plastic in zip(table.column("metal conduit"), table.column("nonmetallic"), strict=True):
        assert metal <= plastic


def test_moved_wire_breakers_are_within_the_small_conductor_rule() -> None:
    limits = dict(zip(TABLES["small_conductor"].column("size"), TABLES["small_conductor"].column("copper"), strict=True))
    for size, breaker in zip(TABLES["moved_wire"].column("size"), TABLES["moved_wire"].column("breaker_a"), strict=True):
        assert breaker == limits.get(size, TABLES["ampacity"].column("copper 60")[WIRE_SIZES.index(size)])


def test_the_largest_panel_of_a_bus_is_the_last_of_its_list() -> None:
    """Both tables are common practice, no source; they must tell the same."""
    sizes, buses = TABLES["panel_size"], TABLES["panel_bus"]

    for bus, largest in zip(buses.column("bus_a"), buses.column("largest_spaces"), strict=True):
        spaces = [value for value in sizes.column(f"{bus:g}") if value is not None]
        assert _rises(spaces)
        assert spaces[-1] == largest
    assert _rises(list(buses.column("bus_a")))


def test_bending_space_never_falls_with_size() -> None:
    space = _values("bending_space", "inches")

    assert space == sorted(space)
    assert TABLES["bending_space"].column("inches")[:3] == (None, None, None)
