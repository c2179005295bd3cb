"""Checks of a job: each reaches each of its states. Expected words come from the sentence of the rule."""

from __future__ import annotations

import re

import numpy as np
import pytest

from workbook_builder.code_tables.load import load
from workbook_builder.reference.by_job import ByJob
from workbook_builder.reference.checks_result import POINTS
from workbook_builder.reference.choice import spell
from workbook_builder.reference.registry import function_of, registered

from .check_cases import CASES
from .jobs import quoted_words
from .toys import said, said_together

RULES = load().rules
COPIES = {name: found[1] for name in POINTS if (found := re.fullmatch(r"(\w+)\.", RULES[name].sentence))}
OF_ADDED = {
    name: found[1]
    for name in POINTS
    if (found := re.fullmatch(r"OK where in_added is 0; else (\w+)\.", RULES[name].sentence))
}
READINGS = [name for name in RULES if name.endswith("_reading")]


def own_words(name: str) -> list[str]:
    """The words of a check in the order of its sentence, and of the state that it repeats."""
    sentence = RULES[name].sentence
    repeated = re.search(r"(?:^|else )(\w+_state)\.$", sentence)
    if repeated is None:
        return re.findall(r'"([^"]+)"', sentence)
    if repeated[1] == "list_state":  # it names other states without repeating their words
        return re.findall(r'"([^"]+)"', RULES["list_state"].sentence)
    return list(dict.fromkeys(quoted_words(name)))


def test_checks_run_from_the_edition_to_the_readings() -> None:
    checks = [name for name, one in RULES.items() if one.sheet == "Checks"]

    assert (POINTS[0], POINTS[-1], len(POINTS)) == ("point_edition", "point_readings", 63)
    assert [name for name in checks if name in POINTS] == list(POINTS)
    assert {RULES[name].kind for name in POINTS} == {"state"}


@pytest.mark.parametrize("name", [*POINTS, *READINGS])
def test_words_are_those_of_the_sentence(name: str) -> None:
    words = registered()[name].words

    assert words[0] == "OK"
    assert set(words[1:]) == set(own_words(name))


@pytest.mark.parametrize("name", [name for name in POINTS if name not in {**COPIES, **OF_ADDED}])
def test_words_stand_in_the_order_of_the_sentence(name: str) -> None:
    if '"' in RULES[name].sentence:
        assert list(registered()[name].words[1:]) == own_words(name)


def test_repeated_states_have_one_order_of_words() -> None:
    for name, state in {**COPIES, **OF_ADDED}.items():
        if state in registered():
            assert registered()[name].words == registered()[state].words, name


def test_how_many_checks_repeat_a_state() -> None:
    assert (len(COPIES), len(OF_ADDED)) == (9, 14)


@pytest.mark.parametrize("name", COPIES)
def test_state_as_it_is(name: str) -> None:
    for word in registered()[name].words:
        assert said(name, **{COPIES[name]: word}) == word


@pytest.mark.parametrize("name", OF_ADDED)
def test_state_only_of_an_added_panel(name: str) -> None:
    for word in registered()[name].words:
        assert said(name, in_added=0, **{OF_ADDED[name]: word}) == "OK"
        assert said(name, in_added=1, **{OF_ADDED[name]: word}) == word


@pytest.mark.parametrize("name", CASES)
def test_check_says_what_its_sentence_says(name: str) -> None:
    for inputs, word in CASES[name]:
        assert said(name, **inputs) == word, inputs


def test_every_check_reaches_every_state() -> None:
    missed = {
        name: sorted(set(registered()[name].words) - {word for _, word in CASES.get(name, ())})
        for name in POINTS
        if name not in {**COPIES, **OF_ADDED}
    }

    assert {name: words for name, words in missed.items() if words} == {}


@pytest.mark.parametrize("name", CASES)
def test_many_rows_are_judged_as_each_alone(name: str) -> None:
    inputs, words = zip(*CASES[name], strict=True)

    assert said_together(name, list(inputs)) == list(words)


@pytest.mark.parametrize(
    ("edition", "disconnect", "surge"), [(2017, "OK", "OK"), (2020, "CHECK", "OK"), (2023, "CHECK", "CHECK")]
)
def test_disconnect_outdoors_and_surge_device_begin_with_their_editions(
    edition: int, disconnect: str, surge: str
) -> None:
    """The values of emergency_disconnect and surge_feeder in the parameters."""
    found = (
        said("point_emergency_disconnect", edition=edition, in_service=1),
        said("point_surge", edition=edition, in_added=1, is_building=1),
    )

    assert tuple(word.split(":")[0] for word in found) == (disconnect, surge)


@pytest.mark.parametrize("name", ["from_state", "wire_state", "suggested_state"])
def test_states_counted_have_no_words_but_those_of_a_check(name: str) -> None:
    """Listed circuits with a CHECK are counted as those that are not OK."""
    assert registered()[name].words[0] == "OK"
    assert all(word.startswith("CHECK: ") for word in registered()[name].words[1:])


@pytest.mark.parametrize("name", ["listed_from_checks", "listed_wire_checks", "listed_suggested_checks"])
def test_listed_checks_are_counted_by_job(name: str) -> None:
    """Four circuits of three jobs; the second job has none."""
    by_job = ByJob(jobs=3, place=np.array([0, 0, 2, 2]))

    assert function_of(name)(by_job=by_job, state=np.array([1, 0, 1, 1])).tolist() == [1, 0, 2]


def test_listed_checks_count_the_state_of_their_name() -> None:
    for kind in ("from", "wire", "suggested"):
        assert registered()[f"listed_{kind}_checks"].inputs["state"] == f"{kind}_state"


STOPS = {
    "point_room": "STOP: no overcurrent device in this room",
    "point_torque": "STOP: terminations not torqued",
}
OPEN = {
    "point_edition": "CHECK: values of this edition are assumed unchanged, see Provenance",
    "point_call": "CHECK: have buried utilities located before digging",
    "point_readings": "CHECK: a reading is off, see Readings",
}


@pytest.mark.parametrize(
    ("points", "stops", "open_", "status", "first"),
    [
        ({}, 0, 0, "OK", "Nothing open."),
        (OPEN, 0, 3, "CHECK", OPEN["point_edition"]),
        ({"point_readings": OPEN["point_readings"]}, 0, 1, "CHECK", OPEN["point_readings"]),
        (STOPS, 2, 0, "STOP", STOPS["point_room"]),
        (STOPS | OPEN, 2, 3, "STOP", STOPS["point_room"]),
        (OPEN | {"point_torque": STOPS["point_torque"]}, 1, 3, "STOP", STOPS["point_torque"]),
    ],
)
def test_result_of_all_checks(points: dict, stops: int, open_: int, status: str, first: str) -> None:
    """STOP before CHECK, then the order of the checks; own rule."""
    assert (said("stops", **points), said("checks_open", **points)) == (stops, open_)
    assert said("job_status", stops=stops, checks_open=open_) == status
    assert said("first_finding", **points) == first


@pytest.mark.parametrize("name", POINTS)
def test_each_word_of_each_check_counts_and_is_found(name: str) -> None:
    """Own rule: one check alone."""
    for word in registered()[name].words[1:]:
        found = (said("stops", **{name: word}), said("checks_open", **{name: word}))

        assert found == ((1, 0) if word.startswith("STOP") else (0, 1))
        assert said("first_finding", **{name: word}) == word


def test_results_of_many_jobs_at_once() -> None:
    """Random states of 200 jobs, each judged by a plain loop over its checks."""
    draw = np.random.default_rng(7)
    words = [registered()[name].words for name in POINTS]
    open_ones = [np.where(draw.random(200) < 0.03, draw.integers(0, len(own), 200), 0) for own in words]
    jobs = [
        [own[place] for own, place in zip(words, places, strict=True)]
        for places in zip(*open_ones, strict=True)
    ]
    points = tuple(open_ones)
    found = function_of("first_finding")(points)

    def first(job: list[str]) -> str:
        by_start = [word for start in ("STOP", "CHECK") for word in job if word.startswith(start)]
        return by_start[0] if by_start else "Nothing open."

    assert spell(found.words, found.codes).tolist() == [first(job) for job in jobs]
    for name, start in (("stops", "STOP"), ("checks_open", "CHECK")):
        wanted = [sum(word.startswith(start) for word in job) for job in jobs]
        assert function_of(name)(points).tolist() == wanted
