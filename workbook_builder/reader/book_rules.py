"""What a workbook puts in the place of published values, and why."""

from __future__ import annotations

from ..code_tables.fields import TRADE_SIZED, WIRE_SIZES
from ..code_tables.load import load
from ..code_tables.model import Parameter
from .faults import MOST_FAULTS, Fault, shown
from .grid import Grid
from .sheet_cells import Cell

LOCAL_RULES = "Local rules"
RULE_COLUMNS = ("name", "override", "reason")


def local_rules(grid: Grid) -> tuple[dict[str, float | str], dict[str, str], list[Fault]]:
    """Usable values by parameter, the reasons given, and what is wrong with either.

    A value without a reason counts, and is a fault as well.
    """
    parameters = load().parameters
    overrides: dict[str, float | str] = {}
    reasons: dict[str, str] = {}
    faults: list[Fault] = []
    seen: set[str] = set()
    for row in grid.rows:
        if row <= grid.mark_row:
            continue
        if len(faults) > MOST_FAULTS:
            break
        name, given = grid.cell(row, "name").value, grid.cell(row, "override")
        reason = grid.cell(row, "reason").value
        nothing_given = given.value is None and not given.formula
        if nothing_given and (reason is None or name not in parameters):
            if isinstance(name, str):
                seen.add(name)
            continue
        if name not in parameters or name in seen:
            found = f"{shown(name)} a second time" if name in seen else shown(name)
            faults.append(
                grid.fault(
                    row, "name", found, "the name of a rule's value, each in one row",
                    "write the name back as the row has it in a new workbook",
                )
            )  # fmt: skip
            continue
        seen.add(name)
        if reason is not None:
            reasons[name] = reason if isinstance(reason, str) else shown(reason)
        if nothing_given:
            continue
        problem = _problem(given, parameters[name])
        if problem:
            faults.append(grid.fault(row, "override", *problem))
        else:
            overrides[name] = given.value
        if reason is None or not reasons[name].strip():
            faults.append(
                grid.fault(
                    row, "reason", "nothing", "the reason for the override",
                    "write who decided it and where it stands",
                )
            )  # fmt: skip
    return overrides, reasons, faults


def _problem(cell: Cell, parameter: Parameter) -> tuple[str, str, str] | None:
    """Found, expected and what to do, where an override cannot be used."""
    is_size = parameter.unit == "size"
    unit = "" if parameter.unit in ("", "1") else f" ({parameter.unit})"
    noun, sizes = "a conductor size", WIRE_SIZES
    if parameter.name in TRADE_SIZED:
        noun, sizes = "a trade size", tuple(load().tables["raceway_diameter"].column("trade_size"))
    expected = f"{noun} as text" if is_size else f"{parameter.limits}{unit}"
    todo = "type the value, or clear the cell"
    value = cell.value
    if value is None:
        return "a formula without a result", expected, todo
    if cell.is_error:
        return f"the error value {value}", expected, todo
    if isinstance(value, bool) or isinstance(value, str) is not is_size:
        if is_size and isinstance(value, float):
            todo = f"type '{shown(value)} with the apostrophe before it"
        return shown(value), expected, todo
    if is_size and value not in sizes:
        return shown(value), "one of " + ", ".join(sizes), todo
    if not is_size and not parameter.least <= value <= parameter.most:
        return shown(value), expected, todo
    return None
