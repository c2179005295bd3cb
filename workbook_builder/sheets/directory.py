"""The panel directory: which circuit stands in which space of one panel of one job.

It is a page and no grid: two cells say which job and panel, and every other
cell looks the circuits up by the keys of their spaces.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from .layout import Layout, quoted
from .model import FIRST_ROW, JOB_NUMBER, ROW_NUMBER, ROW_STATE, CompiledSheet

DIRECTORY = "Directory"
JOB_CELL, PANEL_CELL = "$A$5", "$H$5"
"""Where a person picks the job and the panel."""

SITE_CELL, STATE_CELL = "$A$6", "$H$6"
JOB_ROW_CELL, STOPS_CELL, UNPLACED_CELL, BEYOND_CELL = "$J$4", "$J$5", "$J$6", "$J$7"
"""Row of the job; circuits of the panel whose position is a STOP, that have none, and that are not shown."""

TOP_ROW, SPACES = 10, 42
LAST_ROW = TOP_ROW + SPACES // 2 - 1
LEFT = {"label": "A", "breaker_a": "B", "leg": "C", "space": "D", "row": "I"}
RIGHT = {"label": "H", "breaker_a": "G", "leg": "F", "space": "E", "row": "J"}
"""Columns of the odd and of the even spaces, from outside in; row is that of Circuit check."""

SECOND_POLE = " (second pole)"
NO_JOB = "STOP: no such job is ready"
STOPPED = "STOP: a space is taken twice or beyond the panel"
UNPLACED = "CHECK: circuits without a space: "
BEYOND = "CHECK: circuits in later spaces: "

Place = tuple[Mapping[str, str], int, int]


def places() -> tuple[Place, ...]:
    """(columns, sheet row, space number) of every space, down the page."""
    return tuple(
        (columns, TOP_ROW + line, 2 * line + 1 + right)
        for line in range(SPACES // 2)
        for right, columns in enumerate((LEFT, RIGHT))
    )


def directory_formulas(sheets: Sequence[CompiledSheet], layout: Layout) -> dict[str, str]:
    """Every formula of the page by the cell it stands in, no leading `=`."""
    whole = _Columns(sheets, layout)
    last = f"${RIGHT['space']}${LAST_ROW}"
    here = f"({whole['circuit_job_row']}={JOB_ROW_CELL})*({whole['panel']}={PANEL_CELL})*({whole['circuit_stays']}=\"yes\")"
    position = whole["position"]
    formulas = {
        JOB_ROW_CELL: f'SUMPRODUCT(({whole[JOB_NUMBER]}={JOB_CELL}&"")*({whole[ROW_STATE]}="ready")*{whole[ROW_NUMBER]})',
        STOPS_CELL: (
            f"COUNTIFS({whole['circuit_job_row']}, {JOB_ROW_CELL}, {whole['panel']}, {PANEL_CELL}, "
            f'{whole["position_state"]}, "STOP*")'
        ),
        UNPLACED_CELL: f'SUMPRODUCT({here}*({position}=""))',
        BEYOND_CELL: f'SUMPRODUCT({here}*({position}<>"")*({position}>{last}))',
        SITE_CELL: f'IF({JOB_ROW_CELL}=0, "", INDEX({whole["site"]}, {JOB_ROW_CELL}))',
        STATE_CELL: (
            f'IF({JOB_CELL}="", "", IF({JOB_ROW_CELL}=0, "{NO_JOB}", IF({STOPS_CELL}>0, "{STOPPED}", '
            f'IF({UNPLACED_CELL}>0, "{UNPLACED}"&{UNPLACED_CELL}, '
            f'IF({BEYOND_CELL}>0, "{BEYOND}"&{BEYOND_CELL}, "OK")))))'
        ),
    }
    for columns, row, _ in places():
        formulas |= _space(whole, columns, row)
    return {cell.replace("$", ""): formula for cell, formula in formulas.items()}


def _space(whole: Mapping[str, str], columns: Mapping[str, str], row: int) -> dict[str, str]:
    """What stands in one space: the row of its circuit, and what is shown of it."""
    key = f'{JOB_ROW_CELL}&"|"&{PANEL_CELL}&"|"&${columns["space"]}{row}'
    at = f"${columns['row']}{row}"
    first, leg = f"INDEX({whole['space_key']}, {at})={key}", f"INDEX({whole['circuit_leg']}, {at})"
    shown = {
        "breaker_a": f"INDEX({whole['breaker_a']}, {at})",
        "label": f'INDEX({whole["label"]}, {at})&IF({first}, "", "{SECOND_POLE}")',
        "leg": f'IF({first}, {leg}, IF({leg}="A", "B", "A"))',
    }
    found = (
        f"IFERROR(MATCH({key}, {whole['space_key']}, 0), "
        f"IFERROR(MATCH({key}, {whole['second_space_key']}, 0), 0))"
    )
    return {f"{columns['row']}{row}": found} | {
        f"{columns[name]}{row}": f'IF({at}=0, "", {formula})' for name, formula in shown.items()
    }


def columns_of(sheets: Sequence[CompiledSheet], layout: Layout) -> Mapping[str, str]:
    """Whole calculated columns of both sheets of entries by name."""
    return _Columns(sheets, layout)


class _Columns(dict[str, str]):
    """Whole calculated columns by name; job number and row number are those of jobs."""

    def __init__(self, sheets: Sequence[CompiledSheet], layout: Layout) -> None:
        for sheet in sheets:
            place = layout.grids[sheet.grid]
            if sheet.name != place.home:
                continue
            letters = {column.name: column.letter for column in sheet.columns} | {ROW_NUMBER: "A"}
            for name, at in letters.items():
                if name in (JOB_NUMBER, ROW_NUMBER) and place.state != ROW_STATE:
                    continue
                self[name] = f"{quoted(sheet.name)}!${at}${FIRST_ROW}:${at}${place.last_row}"
