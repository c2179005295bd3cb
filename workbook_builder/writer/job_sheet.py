"""Job sheet: two printed pages of one job, with diagram, sizes, load bar, ways, directory and findings."""

from __future__ import annotations

from collections.abc import Mapping

from xlsxwriter.utility import xl_cell_to_rowcol

from ..sheets import job_sheet_page as page
from ..sheets.job_page import STATE_CELL
from ..sheets.model import CIRCUIT_GRID
from .context import Context
from .grids import colour_states
from .job_pages import first_job, line_looks, line_values, look, put, write_head
from .page import head, number_of, print_setup, protect
from .sheet_class import PlainFormulaSheet
from .start_words import CAUTIONS
from .styles import ACCENT, LINE, STYLES
from .values import amount

TITLE = "Job sheet"
NOTE = "Pick a job number in the yellow cell; print both pages for the file, the site and the inspector."
_WIDTHS = {"A": 42, "B": 24, "C": 34, "D": 42, "I": 2, "J": 22, "K": 26, "L": 40, "M": 7, "O": 7, "P": 7, "Q": 7}
_SIGN_OFF = ("Estimator, date", "Reviewed, date", "Inspector, date")


def write_job_sheet(context: Context, sheet: PlainFormulaSheet) -> int:
    """The two pages. Returns how many formulas they have."""
    get = context.formats.get
    sheet.hide_gridlines(2)
    for at, width in _WIDTHS.items():
        sheet.set_column(number_of(at), number_of(at), width)
    head(context, sheet, TITLE, NOTE, note_at=2)
    number, row, at_row = first_job(context)
    values: dict[str, object] = {page.ROW_CELL.replace("$", ""): at_row}
    values |= write_head(context, sheet, number, at_row)
    lines = page.lines()
    values |= line_values(lines, row) | _bar(row) | _findings(context, row) | _directory(context, row, at_row)
    values |= _moves(context, row, at_row)
    looks = line_looks(context, lines)
    cell, note = get("formula", align="left", border=1, border_color=LINE, shrink=True), look(context, "note")
    tables = [(top, rows, "BCD") for top, rows in ((page.SIZES_TOP, len(page.SIZES)), (page.WAYS_TOP, 4))]
    for top, rows, columns in tables:
        looks |= {f"{at}{line}": cell for line in range(top, top + rows) for at in columns}
    listed, space = get("formula", align="left", shrink=True), get("formula", align="center", bold=True)
    for _, at, number_at, line in page.spaces():
        looks |= {f"{at}{line}": listed, f"{number_at}{line}": space}
    looks |= {f"{at}{line}": listed for at in "ABCD" for line in range(page.MOVES_TOP, page.MOVES_TOP + page.MOVES_ROWS)}
    looks[f"A{page.DIRECTORY_TOP + page.DIRECTORY_ROWS}"] = get("note")
    for line in range(page.FINDINGS_TOP, page.FINDINGS_TOP + page.FINDINGS_ROWS):
        looks |= {f"A{line}": get("formula", align="left"), f"B{line}": get("formula", align="left", bold=True)}
    looks[f"A{page.FINDINGS_TOP + page.FINDINGS_ROWS}"] = get("note")
    looks[STATE_CELL.replace("$", "")] = get("formula", bold=True)
    total = put(context, sheet, page.job_sheet_formulas(context.sheets, context.layout), values, looks, note)
    _words(context, sheet)
    _chart(context, sheet)
    frame = context.book.add_format({
        "font_color": STYLES["formula"].color, "bg_color": "#FFFFFF", "border": 1, "border_color": ACCENT,
    })  # fmt: skip
    boxes = [(f"{line.cell}:{line.cell}", line.cell) for line in page.DIAGRAM if line.look == page.BOX]
    ruled = context.book.add_format({
        "font_color": STYLES["formula"].color, "bg_color": "#FFFFFF", "border": 1, "border_color": LINE,
    })  # fmt: skip
    for (cells, criterion), framed in (*((one, frame) for one in boxes), *((one, ruled) for one in _ruled())):
        first, last = (xl_cell_to_rowcol(cell) for cell in cells.split(":"))
        sheet.conditional_format(*first, *last, {
            "type": "formula", "criteria": f'={criterion}<>""', "format": framed,
        })  # fmt: skip
    states = ("OK", "CHECK", "STOP")
    colour_states(context, sheet, number_of("D"), number_of("D"), 5, 5, states)
    colour_states(context, sheet, number_of("B"), number_of("B"), page.FINDINGS_TOP,
                  page.FINDINGS_TOP + page.FINDINGS_ROWS - 1, states)  # fmt: skip
    protect(sheet)
    last = page.DIRECTORY_TOP + page.DIRECTORY_ROWS
    print_setup(
        context, sheet, last_row=last, last_column=number_of("D"), header_rows=None,
        width_points=0, portrait=True,
    )  # fmt: skip
    sheet.set_h_pagebreaks([page.SECOND_PAGE - 1])
    return total


def _words(context: Context, sheet: PlainFormulaSheet) -> None:
    get = context.formats.get
    band = get("band", font_size=10)
    header = get("header", font_size=9, align="left", border=1, border_color=LINE)
    text = get("text", border=1, border_color=LINE)

    def heading(line: int, *words: str) -> None:
        for at in range(4):
            sheet.write_string(line - 1, at, words[at] if at < len(words) else "", band if len(words) == 1 else header)

    heading(page.DIAGRAM_TOP - 1, "One-line diagram")
    heading(page.SIZES_TOP - 1, "Sizes of the way chosen", "Size", "Decided by", "Section, numbers of 2023")
    for line, (what, _, _, section) in enumerate(page.SIZES, start=page.SIZES_TOP):
        sheet.write_string(line - 1, 0, what, text)
        sheet.write_string(line - 1, 3, section, text)
    heading(page.BAR_TOP - 1, "Load against the service")
    for place, (words, _) in enumerate(page.BARS):
        sheet.write_string(page.BAR_TOP - 1 + place, number_of(page.BAR_NAMES), words, get("note", font_size=8))
    heading(page.WAYS_TOP - 1, "Ways to serve the house", "Works", "Price", "Why, and what is left")
    for line, way in enumerate(page.WAYS, start=page.WAYS_TOP):
        sheet.write_string(line - 1, 0, way.capitalize(), text)
    heading(page.DIRECTORY_TOP - 2, "Directory of the added panel")
    heading(page.DIRECTORY_TOP - 1, "Circuit, odd space", "Space", "Space", "Circuit, even space")
    heading(page.MOVES_TOP - 2, "Circuits that leave the main panel")
    heading(page.MOVES_TOP - 1, "Circuit", "Breaker", "Leaves", "Gets")
    heading(page.FINDINGS_TOP - 1, "What is open")
    beside = get("note", font_size=8)
    for place in range(page.FINDINGS_ROWS):
        sheet.write_number(page.FINDINGS_TOP - 1 + place, number_of(page.NUMBER_COLUMN), place + 1, beside)
    for line, (_, title) in enumerate(page.checks(context.code), start=page.ALL_FIRST):
        sheet.write_string(line - 1, number_of(page.TITLE_COLUMN), title, beside)
    heading(page.CAUTIONS_TOP - 1, "Cautions")
    for line, words in enumerate(CAUTIONS[: page.SIGN_ROW - page.CAUTIONS_TOP - 2], start=page.CAUTIONS_TOP):
        sheet.write_string(line - 1, 0, words, get("stop", font_size=8))
        for at in range(1, 4):
            sheet.write_blank(line - 1, at, None, get("stop", font_size=8))
    for at, words in zip((0, 2, 3), _SIGN_OFF, strict=True):
        sheet.write_string(page.SIGN_ROW - 1, at, words, get("note", font_size=9, top=1, top_color=ACCENT))


def _chart(context: Context, sheet: PlainFormulaSheet) -> None:
    chart = context.book.add_chart({"type": "bar"})
    first, last = page.BAR_TOP - 1, page.BAR_TOP + len(page.BARS) - 2
    chart.add_series({
        "name": "Amperes",
        "categories": [page.JOB_SHEET, first, number_of(page.BAR_NAMES), last, number_of(page.BAR_NAMES)],
        "values": [page.JOB_SHEET, first, number_of(page.BAR_VALUES), last, number_of(page.BAR_VALUES)],
        "fill": {"color": ACCENT}, "data_labels": {"value": True, "num_format": '0" A"'}, "gap": 60,
        "points": [{"fill": {"color": "#9FB3C8"}}, {"fill": {"color": ACCENT}}, {"fill": {"color": "#1F3864"}}],
    })  # fmt: skip
    chart.set_title({"none": True})
    chart.set_legend({"none": True})
    chart.set_x_axis({"visible": False, "min": 0, "major_gridlines": {"visible": False}})
    chart.set_y_axis({"reverse": True})
    chart.set_size({"width": 860, "height": 200})
    row, at = xl_cell_to_rowcol(f"A{page.BAR_TOP}")
    sheet.insert_chart(row, at, chart, {"object_position": 2, "y_offset": 4,
                                        "description": "Load as it is, load with the planned loads, and service, in amperes"})  # fmt: skip


def _bar(row: Mapping[str, object] | None) -> dict[str, object]:
    volts = 0.0 if row is None else amount(row["line_v"])
    value = round(amount(row["existing_load_va"]) / volts, 6) if row is not None and volts else ""
    service = "" if row is None else row["new_service_a" if amount(row["in_service"]) else "service_a"]
    return {f"{page.BAR_VALUES}{page.BAR_TOP}": value, f"{page.BAR_VALUES}{page.BAR_TOP + 2}": service}


def _findings(context: Context, row: Mapping[str, object] | None) -> dict[str, object]:
    values: dict[str, object] = {}
    found: list[tuple[str, str]] = []
    for line, (name, title) in enumerate(page.checks(context.code), start=page.ALL_FIRST):
        state = "OK" if row is None else str(row[name])
        if state != "OK":
            found.append((title, state))
        values |= {f"{page.FINDING_COLUMN}{line}": state, f"{page.COUNT_COLUMN}{line}": len(found)}
    if row is not None and not found:
        values[f"A{page.FINDINGS_TOP}"] = page.NOTHING_OPEN
    for place, (title, state) in enumerate(found[: page.FINDINGS_ROWS]):
        values |= {f"A{page.FINDINGS_TOP + place}": title, f"B{page.FINDINGS_TOP + place}": state}
    more = len(found) - page.FINDINGS_ROWS
    values[f"A{page.FINDINGS_TOP + page.FINDINGS_ROWS}"] = f"and {more} more on Checks" if more > 0 else ""
    return values


def _ruled() -> tuple[tuple[str, str], ...]:
    """Cells that get lines where they are in use, and the cell of their first row that says so."""
    top, last = page.DIRECTORY_TOP, page.DIRECTORY_TOP + page.DIRECTORY_ROWS - 1
    return (
        (f"A{top}:B{last}", f"$B{top}"),
        (f"C{top}:D{last}", f"$C{top}"),
        (f"A{page.MOVES_TOP}:D{page.MOVES_TOP + page.MOVES_ROWS - 1}", f"$A{page.MOVES_TOP}"),
    )


def _directory(context: Context, row: Mapping[str, object] | None, at_row: int) -> dict[str, object]:
    """Labels and breakers in the spaces of the added panel, and the rows of the list they come from."""
    circuits = context.rows[CIRCUIT_GRID].results
    size = 0 if row is None or not amount(row["in_added"]) else int(amount(row["added_spaces_chosen"]))
    values: dict[str, object] = {
        page.SIZE_CELL.replace("$", ""): size,
        f"A{page.DIRECTORY_TOP + page.DIRECTORY_ROWS}": page.LATER_SPACES if size > 2 * page.DIRECTORY_ROWS else "",
    }
    first: dict[str, int] = {}
    second: dict[str, int] = {}
    if circuits is not None:
        for place, (one, two) in enumerate(zip(circuits["space_key"], circuits["second_space_key"], strict=True)):
            first.setdefault(one, place)
            second.setdefault(two, place)
    for space, at, number, line in page.spaces():
        key = f"{at_row}|added|{space}"
        place = first.get(key, second.get(key))
        helper = page.FIRST_PLACE if at == "A" else page.SECOND_PLACE
        values |= {f"{helper}{line}": 0 if place is None else place + 1, f"{number}{line}": space if space <= size else ""}
        if place is not None:
            circuit = circuits.iloc[place]
            values[f"{at}{line}"] = f"{circuit['label']}, {int(circuit['breaker_a'])} A"
    return values


def _moves(context: Context, row: Mapping[str, object] | None, at_row: int) -> dict[str, object]:
    """Circuits that leave the main panel, in the order of the list."""
    circuits = context.rows[CIRCUIT_GRID].results
    values: dict[str, object] = {}
    places = [] if circuits is None or row is None or not amount(row["in_added"]) else [
        place
        for place, (job, leaves) in enumerate(zip(circuits["circuit_job_row"], circuits["leaves"], strict=True))
        if leaves == "yes" and job == at_row
    ]
    for number in range(page.MOVES_ROWS):
        line = page.MOVES_TOP + number
        values[f"{page.FIRST_PLACE}{line}"] = places[number] + 1 if number < len(places) else 0
        if number < len(places):
            circuit = circuits.iloc[places[number]]
            here = circuit["panel"] == "main"
            leaves = _whole(circuit["position"] if here else circuit["from_position"])
            gets = "" if here else _whole(circuit["position"])
            values |= {
                f"{page.SECOND_PLACE}{line}": int(leaves) if leaves else "",
                f"{page.OTHER_SPACE}{line}": int(gets) if gets else "",
                f"A{line}": circuit["label"],
                f"B{line}": f"{int(circuit['breaker_a'])} A, {int(circuit['poles'])}-pole",
                f"C{line}": f"from space {leaves}" if leaves else "",
                f"D{line}": f"to space {gets or _whole(circuit['suggested_position']) + page.SUGGESTED}",
            }
    return values


def _whole(value: object) -> str:
    """A count as it is shown, blank where there is none."""
    return str(int(amount(value))) if amount(value) else ""
