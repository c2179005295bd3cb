"""Damage to sheets, their marks, rows and columns, and to the defined names."""

from __future__ import annotations

import re
from collections.abc import Callable

from workbook_builder.sheets.layout import letter

from ..hostile.books import LINKS
from .kind import DIFFERENT, EQUAL, FAILED, Kind, kind
from .workbook import BLANK, END, FIRST, SECOND, Workbook, at, built, here

MARK = 9
_AREA = here("Jobs", "floor_area_ft2", MARK)[1]
_LOAD = here("Loads", "lighting_va", MARK)[1]
_D, _E = at("Loads", "lighting_va"), at("Loads", "small_appliance_va")
_TABLE = built().layout.tables["cooking_demand"]
_JOBS_LAST = letter(len(built().marks("Jobs")))


def _state(title: str, state: str) -> Callable[[Workbook], None]:
    return lambda book: book.swap_text(None, f'<sheet name="{title}"', f'<sheet name="{title}" state="{state}"')


def _rename(title: str, new: str, *, follow: bool) -> Callable[[Workbook], None]:
    def damage(book: Workbook) -> None:
        book.swap_text(None, f'<sheet name="{title}"', f'<sheet name="{new}"')
        if follow:
            book.everywhere(f"{title}!", f"'{new}'!" if " " in new else f"{new}!")
            book.book = book.book.replace(f"{title}!", f"'{new}'!" if " " in new else f"{new}!")

    return damage


def _delete(title: str) -> Callable[[Workbook], None]:
    return lambda book: setattr(book, "book", re.sub(rf'<sheet name="{title}"[^>]*/>', "", book.book))


def _add(state: str = "") -> Callable[[Workbook], None]:
    """A sheet with a note, as people add one."""

    def damage(book: Workbook) -> None:
        part = "xl/worksheets/sheet99.xml"
        book.parts[part] = (
            b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
            b'<row r="1"><c r="A1" t="inlineStr"><is><t>call the utility</t></is></c></row></sheetData></worksheet>'
        )
        kind_of_part = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"
        for name, old, new in (
            ("[Content_Types].xml", "</Types>", f'<Override PartName="/{part}" ContentType="{kind_of_part}"/></Types>'),
            ("xl/_rels/workbook.xml.rels", "</Relationships>",
             f'<Relationship Id="rId999" Type="{LINKS}/worksheet" Target="worksheets/sheet99.xml"/></Relationships>'),
            ("xl/workbook.xml", "</sheets>", f'<sheet name="Notes" sheetId="99"{state} r:id="rId999"/></sheets>'),
        ):  # fmt: skip
            text = book.parts[name].decode()
            assert old in text
            book.parts[name] = text.replace(old, new).encode()

    return damage


def _to_the_end(title: str) -> Callable[[Workbook], None]:
    def damage(book: Workbook) -> None:
        tag = re.search(rf'<sheet name="{title}"[^>]*/>', book.book)[0]
        book.book = re.sub(r"<definedName [^>]*localSheetId.*?</definedName>", "", book.book)
        book.book = book.book.replace(tag, "").replace("</sheets>", f"{tag}</sheets>")

    return damage


def _insert_row(title: str, row: int) -> Callable[[Workbook], None]:
    return lambda book: book.move_rows(title, row, 1)


def _job_row_inserted(book: Workbook) -> None:
    """A row put between the two jobs; every formula follows as a spreadsheet program does it."""
    book.move_rows("Jobs", SECOND, 1)
    for row in range(BLANK + 1, SECOND, -1):
        _own_row(book, row - 1, row)
    _jobs_end(book, END + 1)


def _own_row(book: Workbook, was: int, row: int) -> None:
    book.put_formula("Jobs", f"A{row}", book.formula("Jobs", f"A{row}").replace(f"$B{was}:${_JOBS_LAST}{was}", f"$B{row}:${_JOBS_LAST}{row}"))


def _jobs_end(book: Workbook, end: int) -> None:
    """The whole columns of Jobs end lower."""
    for title in book.files:
        book[title] = re.sub(rf"(Jobs!\$[A-Z]+\$9:\$[A-Z]+\$){END}\b", rf"\g<1>{end}", book[title])
        book[title] = re.sub(rf"(Jobs!\$[A-Z]+\$10:\$[A-Z]+\$){BLANK}\b", rf"\g<1>{end - 1}", book[title])


def _job_below_the_calculated_rows(book: Workbook) -> None:
    _job_row_inserted(book)
    for name, value in (("job_no", "A3"), ("house_age", "middle"), ("market", "medium"), ("service_a", 200),
                        ("main_spaces", 30), ("main_spaces_used", 20), ("floor_area_ft2", 2000)):  # fmt: skip
        book.put(*here("Jobs", name, BLANK + 1), value)


def _job_row_deleted(book: Workbook) -> None:
    """The blank row is deleted; every formula follows."""
    book.drop_row("Jobs", BLANK)
    _jobs_end(book, END - 1)


def _jobs_sorted(book: Workbook) -> None:
    """The two jobs change places; the state beside them looks up its own row."""
    last = len(built().marks("Jobs"))
    for column in range(2, last + 1):
        cells = f"{letter(column)}{FIRST}", f"{letter(column)}{SECOND}"
        first, second = (book.content("Jobs", cell) for cell in cells)
        book.put_content("Jobs", cells[0], second)
        book.put_content("Jobs", cells[1], first)


def _job_cut_and_pasted(book: Workbook) -> None:
    """The first job cut and pasted into the blank row, the state of its old row going with its cells."""
    last = len(built().marks("Jobs"))
    for column in range(2, last + 1):
        book.put_content("Jobs", f"{letter(column)}{BLANK}", book.content("Jobs", f"{letter(column)}{FIRST}"))
        book.put("Jobs", f"{letter(column)}{FIRST}", None)
    text = book.formula("Jobs", f"A{FIRST}")
    book.put_formula("Jobs", f"A{FIRST}", text.replace(f"$B{FIRST}:${_JOBS_LAST}{FIRST}", f"$B{BLANK}:${_JOBS_LAST}{BLANK}"))


def _columns_swapped(book: Workbook) -> None:
    """Two columns of Jobs with everything in them; the formulas do not follow."""
    one, other = (built().marks("Jobs")[name] for name in ("house_age", "market"))
    book.swap_columns("Jobs", one, other, range(3, END))


def _columns_moved(book: Workbook) -> None:
    """The same, as a spreadsheet program does it: the formulas follow."""
    _columns_swapped(book)
    one, other = (at("Jobs", name) for name in ("house_age", "market"))
    for title in book.files:
        text = re.sub(rf"Jobs!\${one}\$(\d+):\${one}\$", r"Jobs!$@$\1:$@$", book[title])
        text = re.sub(rf"Jobs!\${other}\$(\d+):\${other}\$", rf"Jobs!${one}$\1:${one}$", text)
        book[title] = text.replace("$@$", f"${other}$")


def _row_of_table_lost(book: Workbook) -> None:
    book.drop_row("Load tables", _TABLE.first_row + 3)


def _readers_of_jobs(*names: str) -> set[str]:
    """Columns of Inputs whose formulas read these columns of Jobs, as shifted in all rows."""
    return {f"formulas: shifted Inputs!{at('Inputs', name)}{FIRST}:{at('Inputs', name)}{BLANK} {name}" for name in names}


def _left_behind(title: str, first: int, down: int) -> set[str]:
    """Every formula that reads rows of a sheet from `first` on, where these moved and no formula followed.

    Runs of rows with the same fault are one line. down: how far the sheet's own cells moved.
    """
    front = f"'{title}'!" if " " in title else f"{title}!"
    found: set[str] = set()
    for sheet in built().order:
        columns: dict[tuple[int, str], list[int]] = {}
        for one in built().formulas(sheet):
            others = re.findall(r"((?:'[^']+'|[A-Za-z]+)!)(\$?[A-Z]+\$?\d+(?::\$?[A-Z]+\$?\d+)?)", one.text)
            read = [cells for start, cells in others if start == front]
            if sheet == title:
                read.append(re.sub(r"(?:'[^']+'|[A-Za-z]+)!\$?[A-Z]+\$?\d+(?::\$?[A-Z]+\$?\d+)?", "", one.text))
            rows = [int(row) for cells in read for row in re.findall(r"\$?[A-Z]+\$?(\d+)", cells)]
            if any(row >= first for row in rows):
                own = down if sheet == title and one.row >= first else 0
                columns.setdefault((one.column, one.name), []).append(one.row + own)
        for (column, name), rows in columns.items():
            together = sheet in built().grids and len(rows) > 1
            for row in rows[:1] if together else rows:
                place = f"{letter(column)}{row}" + (f":{letter(column)}{rows[-1]}" if together else "")
                found.add(f"formulas: shifted {sheet}!{place} {name}".rstrip())
    return found


SHEETS: tuple[Kind, ...] = (
    kind("sheet hidden", _state("Loads", "hidden"), "whole: hidden Loads", results=EQUAL),
    kind("sheet hidden from the menus", _state("Feeder", "veryHidden"), "whole: hidden Feeder"),
    kind("sheet put in", _add(), "listed: extra Notes", results=EQUAL),
    kind("hidden sheet put in", _add(' state="hidden"'), "whole: hidden Notes", "listed: extra Notes"),
    kind("order of sheets changed", _to_the_end("Loads"), "listed: order Loads"),
    kind("calculated sheet renamed, formulas following", _rename("Loads", "House loads", follow=True), "whole: renamed Loads", results=EQUAL),
    kind("calculated sheet renamed in the file alone", _rename("Loads", "Burden", follow=False), "whole: renamed Loads"),
    kind("input sheet renamed, formulas following", _rename("Jobs", "Houses", follow=True), "whole: renamed Jobs"),
    kind("sheet of the list of circuits renamed, formulas following", _rename("Circuits", "Breakers", follow=True), "whole: renamed Circuits"),
    kind("calculated sheet deleted", _delete("Readings"), "whole: missing Readings"),
    kind("page deleted", _delete("Quotation"), "whole: missing Quotation"),
    kind("input sheet deleted", _delete("Jobs"), "whole: missing Jobs", "unread: "),
    kind("sheet of local rules deleted", _delete("Local rules"), "whole: missing Local rules", "unread: "),
    kind("mark of an input column changed", lambda b: b.put("Jobs", _AREA, "area"), f"whole: changed Jobs!{_AREA} floor_area_ft2", "unread: Jobs, floor_area_ft2"),
    kind("mark of an optional input column changed", lambda b: b.put(*here("Jobs", "site", MARK), "place"),
         f"whole: changed Jobs!{here('Jobs', 'site', MARK)[1]} site"),
    kind("mark of an optional input column deleted", lambda b: b.put(*here("Jobs", "site", MARK), None),
         f"whole: missing Jobs!{here('Jobs', 'site', MARK)[1]} site"),
    kind("mark of an input column twice", lambda b: b.put("Jobs", f"{letter(len(built().marks('Jobs')) + 1)}{MARK}", "floor_area_ft2"),
         f"whole: doubled Jobs!{letter(len(built().marks('Jobs')) + 1)}{MARK} floor_area_ft2", "unread: Jobs!" + f"{letter(len(built().marks('Jobs')) + 1)}{MARK}, floor_area_ft2"),
    kind("mark of a result changed", lambda b: b.put("Loads", _LOAD, "light"), f"whole: changed Loads!{_LOAD} lighting_va", results=EQUAL),
    kind("mark of a result deleted", lambda b: b.put("Loads", _LOAD, None), f"whole: missing Loads!{_LOAD} lighting_va"),
    kind("mark of a result twice", lambda b: b.put("Loads", f"ZZ{MARK}", "lighting_va"), f"whole: doubled Loads!ZZ{MARK} lighting_va"),
    kind("row of names of a result sheet deleted", lambda b: b.__setitem__("Solar", b["Solar"].replace(b.row("Solar", MARK), "")), "whole: missing Solar"),
    kind("row of names of Jobs deleted", lambda b: b.__setitem__("Jobs", b["Jobs"].replace(b.row("Jobs", MARK), "")), "whole: missing Jobs", "unread: Jobs"),
    kind("two columns of Jobs swapped, formulas left behind", _columns_swapped, *_readers_of_jobs("house_age", "market"), results=DIFFERENT),
    kind("row put between on a calculated sheet, formulas left behind", _insert_row("Solar", BLANK),
         f"whole: extra Solar!{BLANK}:{BLANK}", *_left_behind("Solar", BLANK, 1)),
    kind("row of a code table deleted", _row_of_table_lost, "whole: missing Load tables",
         *_left_behind("Load tables", _TABLE.first_row + 4, -1)),
    kind("defined name removed", lambda b: b.swap_text(None, '<definedName name="built_by">', '<definedName name="built_bi">'),
         "whole: missing Start defined name built_by"),
    kind("defined name led elsewhere", lambda b: b.swap_text(None, '<definedName name="canary">Start!$E$7', '<definedName name="canary">Start!$C$2'),
         "whole: changed Start defined name canary", results=FAILED),
)  # fmt: skip

FOLLOWED: tuple[Kind, ...] = (
    kind("row inserted on Jobs", _job_row_inserted),
    kind("jobs sorted", _jobs_sorted, results=EQUAL),
    kind("columns of Jobs moved, formulas following", _columns_moved, results=EQUAL),
    kind("job typed below the calculated rows", _job_below_the_calculated_rows,
         f"entries: Jobs!{at('Jobs', 'job_no')}{BLANK + 1}, job_no"),
    kind("row of Jobs deleted", _job_row_deleted, "whole: missing Jobs", results=EQUAL),
    kind("job cut and pasted elsewhere", _job_cut_and_pasted, f"formulas: shifted Jobs!A{FIRST} row_state"),
)  # fmt: skip
