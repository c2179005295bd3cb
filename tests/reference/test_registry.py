"""Every rule has a function, every function says what it does, and every word comes from the rule."""

from __future__ import annotations

import ast
import doctest
import inspect
import re
from importlib import import_module
from pathlib import Path

import numpy as np
import pytest

from workbook_builder import reference
from workbook_builder.code_tables.load import load
from workbook_builder.reference.books import book_values
from workbook_builder.reference.plan import is_of_circuits, is_of_entries
from workbook_builder.reference.registry import registered, rule
from workbook_builder.reference.run import calculate_all, plan

from .circuits import circuits_of
from .jobs import plain_job, quoted_words

FOLDER = Path(reference.__file__).parent
MODULES = sorted(path.stem for path in FOLDER.glob("*.py") if path.stem != "__init__")
RULES = load().rules
SETTINGS = [name for name, one in load().books.settings.items() if one.unit != "text"]
MADE = ("entries", "ready_job_no", "row_number", "by_job", *book_values(load().books))
"""Inputs of rules that are no column."""

CHOICES = (
    "circuit_leg", "size_governed_by", "hvac_added", "expansion_fitting", "raceway_bore", "source_place",
    "main_bus_check", "main_bus_route", "existing_bus_check", "added_bus_check", "hold_down", "source_stop",
    "existing_source_stop", "larger_source_stop", "option_rank",
)  # fmt: skip


def test_every_rule_has_a_function_and_every_function_a_rule() -> None:
    assert sorted(RULES) == sorted(registered())


def test_names_of_rules_fields_and_parameters_are_apart() -> None:
    """A rule function finds its inputs by name."""
    fields = [field.name for field in (*load().job_fields, *load().circuit_fields)]
    fields.remove("job_no")  # ties a circuit to its job
    names = [*RULES, *fields, *load().parameters, *SETTINGS, *book_values(load().books)]

    assert [name for name in set(names) if names.count(name) > 1] == []


@pytest.mark.parametrize("name", RULES)
def test_inputs_of_a_rule_exist(name: str) -> None:
    fields = (*load().job_fields, *load().circuit_fields)
    known = {*RULES, *load().parameters, *SETTINGS, *(field.name for field in fields), *MADE}
    needs = {need.removesuffix("_blank") for need in registered()[name].needs}

    assert needs - known == set()


@pytest.mark.parametrize("name", RULES)
def test_function_says_rule_section_inputs_and_result(name: str) -> None:
    words = inspect.getdoc(registered()[name].function)
    first = words.split("\n\n")[0]

    assert first.endswith(".")
    assert re.search(r"Section: .+\nInputs: .+Result: ", words, flags=re.DOTALL)


OWN_WORDS = ("list_state",)
"""States that name other states without repeating their words."""

STATES = [
    name
    for name in RULES
    if name.endswith("_state") and name not in (*OWN_WORDS, "row_state", "circuit_state")
]


@pytest.mark.parametrize("name", STATES)
def test_words_of_a_state_are_those_of_its_rule(name: str) -> None:
    assert {"OK", *quoted_words(name)} == set(registered()[name].words)


@pytest.mark.parametrize("name", OWN_WORDS)
def test_words_of_a_state_of_others_are_its_own(name: str) -> None:
    quoted = set(re.findall(r'"([^"]+)"', RULES[name].sentence))

    assert {"OK", *quoted} == set(registered()[name].words)


@pytest.mark.parametrize("name", CHOICES)
def test_words_of_a_choice_stand_in_its_rule_or_its_table(name: str) -> None:
    text = RULES[name].sentence + str(load().tables["raceway_diameter"].header)

    assert [word for word in registered()[name].words if word not in text] == []


def test_rules_are_computed_after_what_they_need() -> None:
    done = {name for name, one in RULES.items() if is_of_entries(one)}
    for one, how in plan().order:
        assert [need for need in how.needs if need in RULES and need not in done] == [], one.name
        done.add(one.name)


def test_results_have_the_columns_and_types_of_the_rules() -> None:
    """With a list of circuits, and without one."""
    for listed in (circuits_of({"position": 1}), None):
        frames = calculate_all(plain_job(), listed)
        for of_circuits, fields in enumerate((load().job_fields, load().circuit_fields)):
            results = frames[of_circuits]
            rules = {name: one for name, one in RULES.items() if is_of_circuits(one) == of_circuits}

            assert [*rules, *(field.name for field in fields)] == list(results.columns)
            for name, one in rules.items():
                wanted = np.float64 if one.kind in ("number", "fine", "count") else object
                assert results[name].dtype == wanted, name


def test_counts_are_whole_numbers() -> None:
    frames = calculate_all(
        plain_job(add_ev_a=32, main_spaces_used=30), circuits_of({"position": 3}, {"poles": 2}, {})
    )
    for results in frames:
        counts = results[[name for name in results if name in RULES and RULES[name].kind == "count"]]

        assert ((counts == counts.round()) | counts.isna()).all(axis=None)


def test_a_rule_cannot_have_two_functions() -> None:
    with pytest.raises(TypeError, match="lighting_va has two functions"):
        rule("lighting_va")(lambda: None)


def test_a_name_for_an_argument_that_is_not_there_is_refused() -> None:
    with pytest.raises(TypeError, match="no argument"):
        rule("toy_va", load="range_kw")(lambda rating: rating)


@pytest.mark.parametrize("module", MODULES)
def test_examples_print_what_they_say(module: str) -> None:
    found = doctest.testmod(import_module(f"workbook_builder.reference.{module}"))

    assert found.failed == 0


@pytest.mark.parametrize("module", MODULES)
def test_module_imports_only_numbers_and_code_tables(module: str) -> None:
    """numpy, pandas, the standard library, the code tables and the reference itself."""
    tree = ast.parse((FOLDER / f"{module}.py").read_text(encoding="utf-8"))
    modules = [node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)]
    modules += [name.name for node in ast.walk(tree) if isinstance(node, ast.Import) for name in node.names]
    ours = ("workbook_builder.code_tables", "workbook_builder.reference")
    foreign = [
        name
        for name in modules
        if name.startswith("workbook_builder")
        and not name.startswith(ours)
        or name.split(".")[0] in ("openpyxl", "xlsxwriter", "formulas", "ironcalc")
    ]

    assert foreign == []
