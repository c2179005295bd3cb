"""Hours of each package before and after difficulty, and of the way chosen, with their variance."""

from __future__ import annotations

import numpy as np

from workbook_builder.code_tables.load import load
from workbook_builder.code_tables.model import DIFFICULTIES, PACKAGES
from workbook_builder.reference.books import sum_of_lines, variance_of_lines
from workbook_builder.reference.choice import Choice
from workbook_builder.reference.registry import rule
from workbook_builder.reference.texts import is_blank

WITHOUT = "none"
COMMON = "common"
PARTS: dict[str, tuple[str, ...]] = {
    package: tuple(
        difficulty
        for difficulty in DIFFICULTIES
        if any(task.package == package and task.difficulty == difficulty for task in load().work_lines)
    )
    for package in PACKAGES
}
"""The difficulties that the work of each package has."""


def tasks_h(quantities: tuple[np.ndarray, ...], hours: tuple[float, ...]) -> np.ndarray:
    """Hours of the work of one package and one difficulty, before the difficulty.

    Section: own rule.
    Inputs: quantities [each, ft], hours of a unit [h]. Result: [h].
    """
    return sum_of_lines(quantities, hours)


def tasks_var_h(quantities: tuple[np.ndarray, ...], variances: tuple[float, ...]) -> np.ndarray:
    """Variance of the hours of the work of one package and one difficulty, before the difficulty.

    Section: own rule.
    Inputs: quantities [each, ft], variances of a unit [h2]. Result: [h2].
    """
    return variance_of_lines(quantities, variances)


def package_hours(
    *, plain: tuple[np.ndarray, ...], hours: tuple[np.ndarray, ...], factors: tuple[np.ndarray, ...]
) -> np.ndarray:
    """Hours of a package: those without difficulty, and the others times their factor.

    Section: own rule.
    Inputs: plain, hours [h], factors [1]. Result: [h].
    """
    return sum(plain) + sum_of_lines(hours, factors)


for _package, _difficulties in PARTS.items():
    for _difficulty in _difficulties:
        _tasks = tuple(
            task.name
            for task in load().work_lines
            if (task.package, task.difficulty) == (_package, _difficulty)
        )
        _start = f"{_package}_{_difficulty}"
        for _statistic in ("likely", "mean"):
            _units = tuple(f"{task}.{_statistic}" for task in _tasks)
            rule(f"{_start}_{_statistic}_h", quantities=_tasks, hours=_units)(tasks_h)
        _units = tuple(f"{task}.variance" for task in _tasks)
        rule(f"{_start}_var_h", quantities=_tasks, variances=_units)(tasks_var_h)
    _hard = tuple(one for one in _difficulties if one != WITHOUT)
    _easy = tuple(one for one in _difficulties if one == WITHOUT)
    for _statistic in ("likely", "mean"):
        rule(
            f"{_package}_hours_{_statistic}",
            plain=tuple(f"{_package}_{one}_{_statistic}_h" for one in _easy),
            hours=tuple(f"{_package}_{one}_{_statistic}_h" for one in _hard),
            factors=tuple(f"{one}_factor_{_statistic}" for one in _hard),
        )(package_hours)


@rule("in_existing")
def in_existing(option_chosen: Choice, control_in_main: np.ndarray) -> np.ndarray:
    """1 where the way chosen uses the existing spaces.

    Section: own rule.
    Inputs: option_chosen, control_in_main [yes or no]. Result: [0 or 1].
    """
    here = option_chosen.is_("existing spaces") | (option_chosen.is_("load control") & control_in_main)
    return here.astype(np.int64)


@rule("in_added")
def in_added(option_chosen: Choice, control_in_main: np.ndarray, panel_place: Choice) -> np.ndarray:
    """1 where the way chosen has an added panel: by itself, for load control, at another building.

    Section: own rule.
    Inputs: option_chosen, control_in_main [yes or no], panel_place. Result: [0 or 1].
    """
    control = option_chosen.is_("load control") & ~control_in_main
    service = option_chosen.is_("larger service") & panel_place.is_("other building")
    return (option_chosen.is_("added panel") | control | service).astype(np.int64)


@rule("in_control")
def in_control(option_chosen: Choice) -> np.ndarray:
    """1 where the way chosen is load control.

    Section: own rule.
    Inputs: option_chosen. Result: [0 or 1].
    """
    return option_chosen.is_("load control").astype(np.int64)


@rule("in_service")
def in_service(option_chosen: Choice) -> np.ndarray:
    """1 where the way chosen is a larger service.

    Section: own rule.
    Inputs: option_chosen. Result: [0 or 1].
    """
    return option_chosen.is_("larger service").astype(np.int64)


def _packages(ending: str) -> dict[str, str | tuple[str, ...]]:
    """The column of every way, those of the other packages, and which of them are in the way chosen."""
    others = tuple(package for package in PACKAGES if package != COMMON)
    return {
        "common": f"{COMMON}_{ending}",
        "packages": tuple(f"{package}_{ending}" for package in others),
        "taken": tuple(f"in_{package}" for package in others),
    }


def of_packages(
    common: np.ndarray, packages: tuple[np.ndarray, ...], taken: tuple[np.ndarray, ...]
) -> np.ndarray:
    """The value of every way and of the packages in the way chosen, added."""
    pairs = zip(packages, taken, strict=True)
    return common + sum(np.where(there == 1, package, 0.0) for package, there in pairs)


@rule("labour_hours", **_packages("hours_likely"))
@rule("material_usd", **_packages("material_usd"))
def estimated_of_way_chosen(
    *,
    option_chosen: Choice,
    books_bad: int,
    common: np.ndarray,
    packages: tuple[np.ndarray, ...],
    taken: tuple[np.ndarray, ...],
) -> np.ndarray:
    """Likely hours or material of the way chosen, which no book out of order may give.

    Section: own rule.
    Inputs: option_chosen, books_bad [lines], packages [h or USD], taken [0 or 1]. Result: [the same
    unit]; blank without a way, and where a line of the books or a setting is out of order.
    """
    blank = is_blank(option_chosen) | np.greater(books_bad, 0)
    return np.where(blank, np.nan, of_packages(common, packages, taken))


@rule("labour_mean_h", **_packages("hours_mean"))
def of_way_chosen(
    *,
    option_chosen: Choice,
    common: np.ndarray,
    packages: tuple[np.ndarray, ...],
    taken: tuple[np.ndarray, ...],
) -> np.ndarray:
    """Mean hours of the way chosen: every way's, and those of each package in it.

    Section: own rule.
    Inputs: option_chosen, packages [h], taken [0 or 1]. Result: [h]; blank without a way.
    """
    return np.where(is_blank(option_chosen), np.nan, of_packages(common, packages, taken))


def _touched(difficulty: str, ending: str) -> dict[str, tuple[str, ...]]:
    """The columns of a difficulty, and which of them are in the way chosen."""
    packages = [package for package in PACKAGES if difficulty in PARTS[package]]
    others = [package for package in packages if package != COMMON]
    return {
        "always": tuple(f"{one}_{difficulty}_{ending}" for one in packages if one == COMMON),
        "packages": tuple(f"{one}_{difficulty}_{ending}" for one in others),
        "taken": tuple(f"in_{one}" for one in others),
    }


@rule("panel_touched_h", factor="panel_factor_mean", **_touched("panel", "mean_h"))
@rule("wall_touched_h", factor="wall_factor_mean", **_touched("wall", "mean_h"))
@rule("run_touched_h", factor="run_factor_mean", **_touched("run", "mean_h"))
@rule("route_touched_h", factor="route_factor_mean", **_touched("route", "mean_h"))
def touched_h(
    *,
    option_chosen: Choice,
    factor: np.ndarray,
    always: tuple[np.ndarray, ...],
    packages: tuple[np.ndarray, ...],
    taken: tuple[np.ndarray, ...],
) -> np.ndarray:
    """Mean hours of the way chosen that one difficulty touches.

    Section: own rule.
    Inputs: option_chosen, factor [1], packages [h], taken [0 or 1]. Result: [h]; blank without a way.
    """
    return np.where(is_blank(option_chosen), np.nan, factor * of_packages(sum(always), packages, taken))


@rule("lines_none_var_h", factor=1.0, **_touched("none", "var_h"))
@rule("lines_panel_var_h", factor="panel_factor_mean", **_touched("panel", "var_h"))
@rule("lines_wall_var_h", factor="wall_factor_mean", **_touched("wall", "var_h"))
@rule("lines_run_var_h", factor="run_factor_mean", **_touched("run", "var_h"))
@rule("lines_route_var_h", factor="route_factor_mean", **_touched("route", "var_h"))
def lines_var_h(
    *,
    option_chosen: Choice,
    factor: np.ndarray,
    always: tuple[np.ndarray, ...],
    packages: tuple[np.ndarray, ...],
    taken: tuple[np.ndarray, ...],
) -> np.ndarray:
    """Variance of the hours of the way chosen, by themselves, of one difficulty.

    Section: own rule.
    Inputs: option_chosen, factor [1], packages [h2], taken [0 or 1]. Result: [h2]; blank without a way.
    """
    found = np.square(factor) * of_packages(sum(always), packages, taken)
    return np.where(is_blank(option_chosen), np.nan, found)


@rule("shared_var_h")
def shared_var_h(
    *,
    age_rel: np.ndarray,
    condition_rel: np.ndarray,
    wall_rel: np.ndarray,
    access_rel: np.ndarray,
    panel_touched_h: np.ndarray,
    wall_touched_h: np.ndarray,
    run_touched_h: np.ndarray,
    route_touched_h: np.ndarray,
) -> np.ndarray:
    """Variance of the hours from the factors that many kinds of work share.

    Section: own rule.
    Inputs: relative variances [1], hours touched [h]. Result: [h2]; blank without a way.
    Limits: first order in each factor; the cap of their product is taken as not there.
    """
    by_factor = (
        (age_rel, panel_touched_h + wall_touched_h + route_touched_h),
        (condition_rel, panel_touched_h),
        (wall_rel, wall_touched_h + route_touched_h),
        (access_rel, run_touched_h + route_touched_h),
    )
    return sum(relative * np.square(hours) for relative, hours in by_factor)


@rule("labour_var_h")
def labour_var_h(
    *,
    lines_none_var_h: np.ndarray,
    lines_panel_var_h: np.ndarray,
    lines_wall_var_h: np.ndarray,
    lines_run_var_h: np.ndarray,
    lines_route_var_h: np.ndarray,
    shared_var_h: np.ndarray,
) -> np.ndarray:
    """Variance of the hours of the way chosen.

    Section: own rule.
    Inputs: variances [h2]. Result: [h2]; blank without a way.
    """
    lines = lines_none_var_h + lines_panel_var_h + lines_wall_var_h + lines_run_var_h + lines_route_var_h
    return lines + shared_var_h
