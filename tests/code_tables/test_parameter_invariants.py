"""What must hold between the values of a parameter, and between parameters and tables."""

from __future__ import annotations

import itertools

import pytest

from workbook_builder.code_tables.load import load
from workbook_builder.code_tables.model import EDITIONS

PARAMETERS = load().parameters
STEPS = list(itertools.pairwise(EDITIONS))
LATER = [(name, before, edition) for name in PARAMETERS for before, edition in STEPS]
TABLE_SIZES = load().tables["bare_conductor"].column("size")


@pytest.mark.parametrize(("name", "before", "edition"), LATER)
def test_a_value_is_that_of_the_edition_before_unless_the_claim_says_changed(
    name: str, before: int, edition: int
) -> None:
    """`same` and `assumed same` mean the value of the edition before; `changed` means another one."""
    parameter = PARAMETERS[name]
    kept = parameter.values[edition] == parameter.values[before]

    assert kept == (parameter.editions[edition].status != "changed")


def test_the_steps_of_pulling_follow_one_another() -> None:
    steps = [
        TABLE_SIZES.index(PARAMETERS[name].values[2023])
        for name in ("pull_8_6_to", "pull_4_2_to", "pull_1_to")
    ]

    assert steps == sorted(set(steps))


def test_the_positions_of_a_panel_hold_the_largest_panel_of_the_list() -> None:
    assert PARAMETERS["panel_positions"].values[2023] >= max(
        load().tables["panel_bus"].column("largest_spaces")
    )


def test_old_wire_and_aluminum_outweigh_what_speaks_for_moving() -> None:
    """The trade moves whole cables and two-pole circuits first, cloth and aluminum last."""
    cost = {
        name: parameter.values[2023] for name, parameter in PARAMETERS.items() if name.startswith("move_")
    }
    light = cost["move_cost_splice"] + cost["move_cost_neutral"] + cost["move_gain_two_pole"]

    assert min(cost["move_cost_old"], cost["move_cost_aluminum"]) > light
