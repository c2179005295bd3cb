"""Voltages at the added panel. Limits: 5 percent of nominal, ANSI C84.1 range A at the service."""

from __future__ import annotations

import pytest

from workbook_builder.code_tables.load import load
from workbook_builder.reference.registry import registered

from .toys import said

OUTSIDE = "CHECK: outside the service range"
ONE_LEG = "STOP: both hots stand on one leg, or a line is dead"
LOST = "STOP: lost neutral: one leg high, the other low"
LOOSE = "CHECK: the legs differ; look for a loose connection"
HIGH = "CHECK: high: look for a loose neutral or a load on the ground"
GROUND = "CHECK: line to ground differs from line to neutral: look at the ground path"

VOLTAGES = ("l1_l2_v", "l1_n_v", "l2_n_v", "l1_g_v", "l2_g_v", "n_g_v")
STATES = (
    "l1_l2_reading", "l1_n_reading", "l2_n_reading", "l1_g_reading", "l2_g_reading", "n_g_reading",
    "lost_neutral_reading", "ground_reading",
)  # fmt: skip

LINE = {240: (228.0, 252.0), 208: (197.6, 218.4)}
LEG = (114.0, 126.0)
"""ANSI C84.1 range A: 114 to 126 V of 120 V, 228 to 252 V of 240 V, 197.6 to 218.4 V of 208 V."""


def readings(line_v: float = 240, **voltages: float | None) -> dict[str, object]:
    """Every rule of the sheet for some voltages; those that are not given are not taken."""
    low, high = (said(f"line_{end}_v", line_v=line_v) for end in ("low", "high"))
    leg_low, leg_high = (said(f"leg_{end}_v") for end in ("low", "high"))
    voltages = dict.fromkeys(VOLTAGES) | voltages
    one, other, between = voltages["l1_n_v"], voltages["l2_n_v"], voltages["l1_l2_v"]
    found: dict[str, object] = {"readings_given": said("readings_given", **voltages)}
    found["l1_l2_reading"] = said("l1_l2_reading", l1_l2_v=between, line_low_v=low, line_high_v=high)
    for leg in ("l1_n", "l2_n", "l1_g", "l2_g"):
        inputs = {f"{leg}_v": voltages[f"{leg}_v"], "leg_low_v": leg_low, "leg_high_v": leg_high}
        found[f"{leg}_reading"] = said(f"{leg}_reading", **inputs)
    found["n_g_reading"] = said("n_g_reading", n_g_v=voltages["n_g_v"])
    found["legs_apart_v"] = said("legs_apart_v", l1_n_v=one, l2_n_v=other)
    found["legs_sum_holds"] = said("legs_sum_holds", l1_n_v=one, l2_n_v=other, l1_l2_v=between, line_v=line_v)
    found["lost_neutral_reading"] = said(
        "lost_neutral_reading", legs_apart_v=found["legs_apart_v"], legs_sum_holds=found["legs_sum_holds"]
    )
    found["ground_reading"] = said("ground_reading", l1_n_v=one, l1_g_v=voltages["l1_g_v"])
    found["reading_result"] = said("reading_result", **{name: found[name] for name in STATES})
    result = found["reading_result"]
    found["advice_unless_stop"] = said("advice_unless_stop", reading_result=result)
    found["reading_advice"] = said(
        "reading_advice", reading_result=result, advice_unless_stop=found["advice_unless_stop"]
    )
    return found


SOUND = {"l1_l2_v": 240, "l1_n_v": 120, "l2_n_v": 120, "l1_g_v": 120, "l2_g_v": 120, "n_g_v": 0}


@pytest.mark.parametrize("line_v", LINE)
def test_service_range_is_that_of_the_standard(line_v: int) -> None:
    """ANSI C84.1 range A: 5 percent of nominal."""
    line = tuple(said(name, line_v=line_v) for name in ("line_low_v", "line_high_v"))

    assert line == pytest.approx(LINE[line_v])
    assert (said("leg_low_v"), said("leg_high_v")) == pytest.approx(LEG)


@pytest.mark.parametrize("line_v", LINE)
def test_between_the_lines(line_v: int) -> None:
    """ANSI C84.1 range A; dead under 10 V: own rule."""
    low, high = LINE[line_v]
    limits = {"line_low_v": low, "line_high_v": high}
    wanted = {
        None: "not taken", 0: ONE_LEG, 9.9: ONE_LEG, 10: OUTSIDE, 120: OUTSIDE, low - 0.1: OUTSIDE,
        low: "OK", line_v: "OK", high: "OK", high + 0.1: OUTSIDE, 480: OUTSIDE,
    }  # fmt: skip

    assert {volts: said("l1_l2_reading", l1_l2_v=volts, **limits) for volts in wanted} == wanted


@pytest.mark.parametrize("leg", ["l1_n", "l2_n", "l1_g", "l2_g"])
def test_from_a_line_to_neutral_and_to_ground(leg: str) -> None:
    """ANSI C84.1 range A; dead under 10 V: own rule."""
    wanted = {
        None: "not taken", 0: "STOP: dead", 9.9: "STOP: dead", 10: OUTSIDE, 113.9: OUTSIDE, 114: "OK",
        120: "OK", 126: "OK", 126.1: OUTSIDE, 240: OUTSIDE,
    }  # fmt: skip
    limits = {"leg_low_v": LEG[0], "leg_high_v": LEG[1]}

    assert {volts: said(f"{leg}_reading", **{f"{leg}_v": volts}, **limits) for volts in wanted} == wanted


def test_neutral_to_ground() -> None:
    """Two volts: common practice, no source."""
    wanted = {None: "not taken", 0: "OK", 2: "OK", 2.1: HIGH, 120: HIGH}

    assert {volts: said("n_g_reading", n_g_v=volts) for volts in wanted} == wanted


@pytest.mark.parametrize(
    ("one", "other", "between", "line_v", "word"),
    [
        (None, 150, 240, 240, "OK"),
        (90, None, 240, 240, "OK"),
        (120, 120, 240, 240, "OK"),
        (118.5, 121.5, 240, 240, "OK"),
        (121.1, 118.1, 240, 240, "OK"),
        (118.5, 121.6, 240, 240, LOST),
        (121.6, 118.5, 240, 240, LOST),
        (90, 150, 240, 240, LOST),
        (150, 90, 240, 240, LOST),
        (90, 150, None, 240, LOST),
        (90, 150, 243, 240, LOST),
        (90, 150, 237, 240, LOST),
        (90, 150, 243.1, 240, LOOSE),
        (90, 150, 236.9, 240, LOOSE),
        (90, 120, None, 240, LOOSE),
        (90, 120, 240, 240, LOOSE),
        (100, 108, 208, 208, LOOSE),
        (90, 118, None, 208, LOOSE),
        (120, 120, 208, 208, "OK"),
    ],
)
def test_lost_neutral(
    one: float | None, other: float | None, between: float | None, line_v: float, word: str
) -> None:
    """Three volts, without binary noise in 121.1 less 118.1. Common practice, no source."""
    found = readings(line_v, l1_n_v=one, l2_n_v=other, l1_l2_v=between)

    assert found["lost_neutral_reading"] == word


def test_sum_of_the_legs_only_where_both_are_measured_and_no_wye() -> None:
    """Common practice, no source: two legs of a wye are a third of a turn apart."""
    legs = {"l1_n_v": 120, "l2_n_v": 120}

    assert readings(**legs)["legs_sum_holds"] == "yes"
    assert readings(**legs, l1_l2_v=230)["legs_sum_holds"] == "no"
    assert readings(208, l1_n_v=104, l2_n_v=104)["legs_sum_holds"] == "no"
    assert readings(l1_n_v=240)["legs_sum_holds"] == "no"
    assert readings(l1_n_v=121.1, l2_n_v=118.1)["legs_apart_v"] == 3.0


@pytest.mark.parametrize(
    ("neutral", "ground", "word"),
    [(None, 120, "OK"), (120, None, "OK"), (120, 120, "OK"), (121.1, 118.1, "OK"), (118.1, 121.1, "OK"),
     (120, 116.9, GROUND), (116.9, 120, GROUND), (120, 0, GROUND)],
)  # fmt: skip
def test_ground_path(neutral: float | None, ground: float | None, word: str) -> None:
    """Common practice, no source."""
    assert readings(l1_n_v=neutral, l1_g_v=ground)["ground_reading"] == word


def test_sound_panel() -> None:
    """Nominal voltages, ANSI C84.1."""
    found = readings(**SOUND)

    assert found["readings_given"] == 6
    assert {found[name] for name in STATES} == {"OK"}
    assert (found["reading_result"], found["reading_advice"]) == ("OK", "Nothing to do.")


def test_sound_panel_of_a_wye() -> None:
    """208Y/120: 208 V between two lines of 120 V."""
    assert readings(208, **SOUND | {"l1_l2_v": 208})["reading_result"] == "OK"


@pytest.mark.parametrize(
    ("line_v", "voltages", "wrong"),
    [
        # lost neutral: the legs share 240 V by their loads; common practice, no source
        (240, {"l1_n_v": 90, "l2_n_v": 150},
         {"l1_n_reading": OUTSIDE, "l2_n_reading": OUTSIDE, "lost_neutral_reading": LOST,
          "ground_reading": GROUND}),
        # both hots on one leg: arithmetic, no difference between equal voltages
        (240, {"l1_l2_v": 0}, {"l1_l2_reading": ONE_LEG}),
        # L1 is open and nothing feeds it back: arithmetic
        (240, {"l1_n_v": 0, "l1_g_v": 0, "l1_l2_v": 0},
         {"l1_l2_reading": ONE_LEG, "l1_n_reading": "STOP: dead", "l1_g_reading": "STOP: dead",
          "lost_neutral_reading": LOOSE}),
        # L1 is open and hangs on the neutral through a load: the full leg adds up, so that speaks, too
        (240, {"l1_n_v": 0, "l1_g_v": 0, "l1_l2_v": 120},
         {"l1_l2_reading": OUTSIDE, "l1_n_reading": "STOP: dead", "l1_g_reading": "STOP: dead",
          "lost_neutral_reading": LOST}),
        # one dead line of a wye
        (208, {"l1_l2_v": 120, "l1_n_v": 0, "l1_g_v": 0},
         {"l1_l2_reading": OUTSIDE, "l1_n_reading": "STOP: dead", "l1_g_reading": "STOP: dead",
          "lost_neutral_reading": LOOSE}),
        # the ground of L1 is open: common practice, no source
        (240, {"l1_g_v": 60, "l2_g_v": 60},
         {"l1_g_reading": OUTSIDE, "l2_g_reading": OUTSIDE, "ground_reading": GROUND}),
        # a 208 V supply taken for 240 V: arithmetic
        (240, {"l1_l2_v": 208}, {"l1_l2_reading": OUTSIDE}),
        # current on the ground: common practice, no source
        (240, {"n_g_v": 5}, {"n_g_reading": HIGH}),
    ],
)  # fmt: skip
def test_physical_cases(line_v: float, voltages: dict, wrong: dict) -> None:
    found = readings(line_v, **SOUND | voltages)

    assert {name: found[name] for name in STATES if found[name] != "OK"} == wrong


@pytest.mark.parametrize(
    ("states", "result", "advice"),
    [
        ({}, "OK", "Nothing to do."),
        ({"l2_g_reading": "not taken"}, "not taken", "Take and record every reading when the panel is energized."),
        ({"n_g_reading": "not taken", "ground_reading": GROUND}, "CHECK",
         "Take the reading again under load; find the cause before leaving."),
        ({"l1_l2_reading": ONE_LEG, "n_g_reading": HIGH, "l1_n_reading": "not taken"}, "STOP",
         "Switch off, do not leave energized; find the fault before anything else."),
        ({"lost_neutral_reading": LOST, "ground_reading": GROUND}, "STOP",
         "Switch off, do not leave energized; find the fault before anything else."),
    ],
)  # fmt: skip
def test_result_and_advice(states: dict, result: str, advice: str) -> None:
    """Own rule, the words of the sentence."""
    unless_stop = "Nothing to do." if result == "STOP" else advice

    assert said("reading_result", **states) == result
    assert said("advice_unless_stop", reading_result=result) == unless_stop
    assert said("reading_advice", reading_result=result, advice_unless_stop=unless_stop) == advice


@pytest.mark.parametrize("name", STATES)
def test_each_reading_counts(name: str) -> None:
    """The result is the word with which one reading alone begins."""
    for word in registered()[name].words:
        wanted = "not taken" if word == "not taken" else word.split(":")[0]
        assert said("reading_result", **{name: word}) == wanted


def test_how_many_readings_are_given() -> None:
    for taken in range(len(VOLTAGES) + 1):
        assert said("readings_given", **dict.fromkeys(VOLTAGES[:taken], 0)) == taken


def test_voltages_are_all_that_the_job_has() -> None:
    fields = [one.name for one in load().job_fields if one.group == "readings" and one.kind == "number"]

    assert tuple(fields) == VOLTAGES
