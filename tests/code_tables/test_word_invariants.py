"""What words in the code tables must hold to: they name columns, kinds and sizes that stand elsewhere."""

from __future__ import annotations

import re

import pytest

from workbook_builder.code_tables.load import load

TABLES = load().tables
METAL = {"EMT", "RMC", "IMC", "FMC"}
"""Raceways that 250.118 takes as a grounding conductor, so they are of metal."""
PLASTIC = {"PVC 40", "PVC 80", "LFNC"}


def _wiring(column: str) -> dict[str, object]:
    table = TABLES["wiring_method"]
    return dict(zip(table.column("wiring"), table.column(column), strict=True))


def test_what_is_called_a_cable_is_a_cable_and_the_rest_are_raceways() -> None:
    for wiring, kind in _wiring("kind").items():
        assert kind == ("cable" if wiring.endswith(" cable") else "raceway")
        assert (kind == "raceway") == (wiring in METAL | PLASTIC)


def test_every_raceway_but_no_cable_has_a_bore() -> None:
    bores = TABLES["raceway_diameter"].header[1:]

    assert {wiring for wiring, kind in _wiring("kind").items() if kind == "raceway"} <= set(bores)


def test_raceways_take_the_insulation_that_is_pulled_and_cables_have_their_own() -> None:
    kinds = _wiring("kind")

    for wiring, degrees in _wiring("insulation_c").items():
        assert (degrees in (None, "")) == (kinds[wiring] == "raceway")


def test_temperatures_are_columns_of_the_ampacity_table() -> None:
    columns = {float(name.split()[1]) for name in TABLES["ampacity"].header[1:]}
    highest = max(columns)

    for wiring, cap in _wiring("terminal_cap_c").items():
        assert cap in columns
        assert cap == highest or wiring.endswith(" cable"), "a raceway limits no terminal"
    assert {degrees for degrees in _wiring("insulation_c").values() if degrees} <= columns


def test_nm_cable_starts_at_90_and_ends_at_60_degrees() -> None:
    """334.80: ampacity of the 60 C column; 90 C only to start a correction."""
    assert (_wiring("insulation_c")["NM-B cable"], _wiring("terminal_cap_c")["NM-B cable"]) == (90, 60)


def test_service_entrance_cable_has_the_75_degree_column() -> None:
    """338.10(B)(4)."""
    assert _wiring("terminal_cap_c")["SER cable"] == 75


def test_metal_is_steel_to_the_impedance_and_plastic_is_pvc() -> None:
    """Chapter 9 Table 9 has a column for each; a cable has no steel round its conductors here."""
    for wiring, conduit in _wiring("impedance").items():
        assert f"copper {conduit}" in TABLES["ac_resistance"].header
        assert (conduit == "steel") == (wiring in METAL)
        assert conduit == "PVC" or wiring not in PLASTIC


def test_only_rigid_metal_has_the_cover_of_metal_conduit() -> None:
    """Table 300.5(A): rigid and intermediate metal conduit alone; no cable here is one for direct burial."""
    for wiring, cover in _wiring("cover").items():
        assert cover in (None, "", *TABLES["burial_cover"].header[1:])
        assert (cover == "metal conduit") == (wiring in {"RMC", "IMC"})
        assert wiring in METAL | PLASTIC or cover in (None, "")
    assert _wiring("cover")["FMC"] in (None, ""), "348.12: not underground"


@pytest.mark.parametrize("metal", ["copper", "aluminum"])
def test_the_words_of_the_electrode_table_say_its_limits(metal: str) -> None:
    """`1 or 1/0` begins above 2 AWG, `over 350 to 600` above 350 kcmil and ends where the next row begins."""
    table, sizes = TABLES["electrode_conductor"], TABLES["bare_conductor"].column("size")
    mils = dict(zip(sizes, TABLES["bare_conductor"].column("circular_mils"), strict=True))
    over = list(table.column(f"{metal} over"))
    ends = [*over[1:], None]
    for words, low, high in zip(table.column(f"service_{metal}"), over, ends, strict=True):
        assert _limits(words, sizes, mils) == (low, high)


def _limits(words: str, sizes: list[str], mils: dict[str, float]) -> tuple[float, float | None]:
    """Circular mils that a row of Table 250.66 starts above, and those it ends with."""
    pair = re.fullmatch(r"(\S+) or (\S+)", words)
    if pair:
        first, last = pair.groups()
        assert sizes.index(last) == sizes.index(first) + 1
        return mils[sizes[sizes.index(first) - 1]], mils[last]
    span = re.fullmatch(r"(?:over (\S+))? ?(?:to (\S+))?", words)
    low, high = span.groups()
    return (_mils(low, mils) if low else 0), (_mils(high, mils) if high else None)


def _mils(size: str, mils: dict[str, float]) -> float:
    """Of a size that Table 8 lists here; other numbers are kcmil."""
    return mils[size] if size in mils else float(size) * 1000
