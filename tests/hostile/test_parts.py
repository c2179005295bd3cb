"""Workbooks with parts that act when they are opened, or that do not hang together."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from .books import (
    JOBS,
    LINKS,
    MAIN,
    START,
    TYPES,
    Parts,
    small_book,
    with_change,
    with_formula,
    with_relation,
    with_rows,
    with_type,
)
from .zips import write_zip

Refused = Callable[..., str]

MACROS = "found macros, must be a workbook without macros, links"
BOOKS = "found links to another workbook, must be a workbook without"
CONNECTION = "found a data connection, must be a workbook without"
OBJECT = "found an embedded object or control, must be a workbook without"
RIBBON = "found its own buttons or an add-in, must be a workbook without"
CALL = "found a formula that calls a program or fetches from elsewhere, "

EXCEL, OFFICE = "application/vnd.ms-excel", "application/vnd.ms-office"
SHEET_ML = "application/vnd.openxmlformats-officedocument.spreadsheetml"
BOOK, BOOK_LINKS = "xl/workbook.xml", "xl/_rels/workbook.xml.rels"


def part(name: str, data: bytes = b"<x/>") -> Parts:
    return small_book() | {name: data}


def main_type(kind: str) -> Parts:
    return with_change(TYPES, f"{SHEET_ML}.sheet.main+xml", kind)


def root(name: str) -> Parts:
    """A part under an innocent name and type, told by its first element."""
    return part("xl/notes.xml", f'<x:{name} xmlns:x="{MAIN}"/>'.encode())


def named(attributes: str, text: str = "Jobs!$A$1") -> Parts:
    names = f"<definedNames><definedName {attributes}>{text}</definedName></definedNames>"
    parts = small_book()
    parts[BOOK] = parts[BOOK].replace(b"<definedNames/>", b"").replace(b"<definedNames />", b"")
    assert b"</sheets>" in parts[BOOK]
    parts[BOOK] = parts[BOOK].replace(b"</sheets>", f"</sheets>{names}".encode())
    return parts


ACTIVE = {
    "macros by name": (lambda: part("xl/vbaProject.bin"), MACROS),
    "macros by another name": (lambda: part("other/VBAProject.bin"), MACROS),
    "macros by type": (lambda: with_type(f"{OFFICE}.vbaProject"), MACROS),
    "macros by the type of an ending": (
        lambda: with_change(TYPES, "</Types>", f'<Default Extension="dat" ContentType="{OFFICE}.vbaProject"/></Types>'),
        MACROS,
    ),
    "macros by relation": (lambda: with_relation("vbaProject", "thing.dat", part=BOOK), MACROS),
    "macro-enabled": (lambda: main_type(f"{EXCEL}.sheet.macroEnabled.main+xml"), MACROS),
    "macro-enabled add-in": (lambda: main_type(f"{EXCEL}.addin.macroEnabled.main+xml"), MACROS),
    "binary": (lambda: main_type(f"{EXCEL}.sheet.binary.macroEnabled.main"), MACROS),
    "template": (lambda: main_type(f"{SHEET_ML}.template.main+xml"), "found no workbook in it but 'vnd."),
    "macro sheet by name": (lambda: part("xl/macrosheets/sheet1.xml"), MACROS),
    "macro sheet by type": (lambda: with_type(f"{EXCEL}.macrosheet+xml"), MACROS),
    "macro sheet by relation": (lambda: with_relation("xlMacrosheet", "sheet2.xml", part=BOOK), MACROS),
    "macro sheet by element": (lambda: root("macrosheet"), MACROS),
    "dialog sheet by name": (lambda: part("xl/dialogsheets/sheet1.xml"), MACROS),
    "dialog sheet by type": (lambda: with_type(f"{SHEET_ML}.dialogsheet+xml"), MACROS),
    "dialog sheet by element": (lambda: root("dialogsheet"), MACROS),
    "macro behind a picture": (
        lambda: part("xl/drawings/drawing1.xml", b'<d><sp macro="[0]!go" textlink=""/></d>'), MACROS
    ),
    "macro behind a button": (
        lambda: part("xl/drawings/old.vml", b'<xml xmlns:x="y"><x:FmlaMacro>[0]!go</x:FmlaMacro><br></xml>'), MACROS
    ),
    "name that runs on opening": (lambda: named('name="_xlnm.Auto_Open"'), MACROS),
    "name of the old kind": (lambda: named('name="Auto_Open1"'), MACROS),
    "name of a macro": (lambda: named('name="go" function="1" xlm="1"'), MACROS),
    "external link by name": (lambda: part("xl/externalLinks/externalLink1.xml"), BOOKS),
    "external link by type": (lambda: with_type(f"{SHEET_ML}.externalLink+xml"), BOOKS),
    "external link by relation": (lambda: with_relation("externalLink", "x.xml", part=BOOK), BOOKS),
    "external link by element": (lambda: root("externalLink"), BOOKS),
    "external link in the book": (
        lambda: with_change(BOOK, "</sheets>", "</sheets><externalReferences><externalReference/></externalReferences>"),
        BOOKS,
    ),
    "formula of another book": (lambda: with_formula("[1]Prices!A1"), BOOKS),
    "formula of a book by path": (lambda: with_formula("1+'C:\\jobs\\[prices.xlsx]Prices'!A1"), BOOKS),
    "name of another book": (lambda: named('name="prices"', "[2]Prices!$A$1:$A$9"), BOOKS),
    "link in a drop-down": (
        lambda: with_rows("", after="<dataValidations><dataValidation><formula1>[1]!list</formula1></dataValidation></dataValidations>"),
        BOOKS,
    ),
    "link in a format": (
        lambda: with_rows("", after="<conditionalFormatting><cfRule><formula>[1]A!B2=1</formula></cfRule></conditionalFormatting>"),
        BOOKS,
    ),
    "link in a chart": (lambda: part("xl/charts/chart1.xml", b"<c><f>[1]Sheet1!$A$1:$A$4</f></c>"), BOOKS),
    "DDE link": (lambda: part("xl/links.xml", b"<x><ddeLink ddeService='cmd'/></x>"), BOOKS),
    "DDE formula": (lambda: with_formula("cmd|' /C calc'!A0"), CALL),
    "DDE formula in quotes": (lambda: with_formula("'cmd'|'/c calc'!A0"), CALL),
    "DDE function": (lambda: with_formula('1+dde ("soffice";"x.ods";"a1")'), CALL),
    "DDE in a name": (lambda: named('name="x"', "MSEXCEL|'\\..\\calc.exe'!a"), CALL),
    "web service": (lambda: with_formula('_xlfn.WEBSERVICE("http" &amp; A1)'), CALL),
    "web picture": (lambda: with_formula('_xlfn.IMAGE("x")'), CALL),
    "real-time data": (lambda: with_formula('RTD("x",,"y")'), CALL),
    "call of a library": (lambda: with_formula('CALL("Kernel32","WinExec","JCJ","calc",0)'), CALL),
    "registering a library": (lambda: with_formula('REGISTER.ID("a","b")'), CALL),
    "macro function in a name": (lambda: named('name="x"', "EXEC(&quot;calc&quot;)"), CALL),
    "evaluated name": (lambda: named('name="x"', "EVALUATE(A1)"), CALL),
    "code in a cell": (lambda: with_formula("_xlfn._xlws.PY(0,1)"), CALL),
    "file by address": (lambda: with_formula("'file:///c:/x.ods'#$A.B2"), CALL),
    "connections": (lambda: part("xl/connections.xml"), CONNECTION),
    "connections by type": (lambda: with_type(f"{SHEET_ML}.connections+xml"), CONNECTION),
    "connections by relation": (lambda: with_relation("connections", "c.xml", part=BOOK), CONNECTION),
    "connections by element": (lambda: root("connections"), CONNECTION),
    "query table": (lambda: part("xl/queryTables/queryTable1.xml"), CONNECTION),
    "query table by relation": (lambda: with_relation("queryTable", "q.xml"), CONNECTION),
    "query table by element": (lambda: root("queryTable"), CONNECTION),
    "table of a query": (lambda: part("xl/tables/t.xml", b'<x><table tableType="queryTable"/></x>'), CONNECTION),
    "pivot of a connection": (lambda: part("xl/p.xml", b'<x><cacheSource type="external"/></x>'), CONNECTION),
    "data model": (lambda: part("xl/model/item.data"), CONNECTION),
    "mapped XML": (lambda: root("MapInfo"), CONNECTION),
    "embedded object": (lambda: part("xl/embeddings/oleObject1.bin"), OBJECT),
    "embedded object by type": (
        lambda: with_type("application/vnd.openxmlformats-officedocument.oleObject"), OBJECT
    ),
    "embedded object by relation": (lambda: with_relation("oleObject", "o.bin"), OBJECT),
    "embedded document": (lambda: with_relation("package", "o.docx"), OBJECT),
    "embedded object by element": (
        lambda: with_rows("", after='<oleObjects><oleObject progId="Package" shapeId="1"/></oleObjects>'), OBJECT
    ),
    "control": (lambda: part("xl/activeX/activeX1.xml"), OBJECT),
    "control by type": (lambda: with_type(f"{OFFICE}.activeX+xml"), OBJECT),
    "control by relation": (lambda: with_relation("control", "c.xml"), OBJECT),
    "control by element": (lambda: root("ocx"), OBJECT),
    "buttons": (lambda: part("customUI/customUI14.xml"), RIBBON),
    "buttons by element": (lambda: root("customUI"), RIBBON),
    "add-in": (lambda: part("xl/webextensions/taskpanes.xml"), RIBBON),
    "add-in by element": (lambda: root("taskpanes"), RIBBON),
    "picture from elsewhere": (
        lambda: with_relation("image", "http://192.0.2.1/x.png", mode="External"),
        "found a link to another file, of the kind 'image', must be",
    ),
    "template from elsewhere": (
        lambda: with_relation("attachedTemplate", "//192.0.2.1/x", mode="eXTERNAL"),
        "found a link to another file, of the kind 'attachedtemplate', must be",
    ),
}  # fmt: skip


@pytest.mark.parametrize("kind", ACTIVE)
def test_what_acts_when_it_is_opened(tmp_path: Path, refused: Refused, kind: str) -> None:
    made, words = ACTIVE[kind]

    assert words in refused(write_zip(tmp_path / "book.xlsx", made()))


HARMLESS = {
    "a link to a page": lambda: with_relation("hyperlink", "https://example.org/a?b#c", mode="External"),
    "a link to a cell": lambda: with_relation("hyperlink", "#Jobs!A1"),
    "words in quotes": lambda: with_formula('IF(A1="[1]x!|://DDE(","a","b")'),
    "a column of a table": lambda: with_formula("SUM(Table1[va],Table1[[#This Row],[a b]])+Jobs!A1"),
    "names like functions": lambda: with_formula("TRUNC(A1)+CALLS+Executed(1)"),
    "a macro that is none": lambda: part("xl/drawings/d.xml", b'<d><sp macro="" textlink=""/></d>'),
    "a picture that is gone": lambda: with_relation("image", "NULL"),
    "a drawing of old that is no XML to its end": lambda: part("xl/drawings/old.vml", b"<xml><p>a<br>b</p></xml>"),
    "folders": lambda: small_book() | {"xl/": b"", "xl/worksheets/": b""},
    "blank cells far away": lambda: with_rows('<row r="1"><c r="XFD1" s="1"/></row><row r="1048576" ht="9"/>'),
    "an extent without limit": lambda: with_rows("", before='<dimension ref="A1:XFD1048576"/>'),
}  # fmt: skip


@pytest.mark.parametrize("kind", HARMLESS)
def test_what_honest_programs_write_is_read(tmp_path: Path, kind: str) -> None:
    from workbook_builder.reader.book_jobs import read_book

    assert len(read_book(write_zip(tmp_path / "book.xlsx", HARMLESS[kind]())).jobs) == 1


def lacking(name: str) -> Parts:
    return {part: data for part, data in small_book().items() if part != name}


BROKEN = {
    "no types": (lambda: lacking(TYPES), "found no part '[Content_Types].xml', must be"),
    "no first relations": (lambda: lacking("_rels/.rels"), "found no part '_rels/.rels', must be"),
    "no book": (lambda: lacking(BOOK), "found no part 'xl/workbook.xml', to which '_rels/.rels' leads"),
    "no relations of the book": (lambda: lacking(BOOK_LINKS), "found no part of the sheet 'Start'"),
    "no sheet": (lambda: lacking(JOBS), f"found no part '{JOBS}', to which '{BOOK_LINKS}' leads"),
    "no styles": (lambda: lacking("xl/styles.xml"), "found no part 'xl/styles.xml', to which"),
    "no relation to the book": (lambda: with_change("_rels/.rels", "/officeDocument\"", '/other"'), "found no workbook in it"),
    "two relations to a book": (
        lambda: with_change("_rels/.rels", "</Relationships>", f'<Relationship Id="z" Type="{LINKS}/officeDocument" Target="{BOOK}"/></Relationships>'),
        "found no workbook in it",
    ),
    "a relation out of the file": (
        lambda: with_relation("drawing", "../../../etc/passwd"), "found a relation that leads out of the file, to '../../../etc/"
    ),
    "a masked relation out": (
        lambda: with_relation("drawing", "%2e%2e/%2e%2e/%2e%2e/x"), "found a relation that leads out of the file"
    ),
    "a relation to a file": (lambda: with_relation("drawing", "file:///etc/passwd"), "found a relation that leads out"),
    "a relation to a host": (lambda: with_relation("drawing", "//192.0.2.1/x"), "found a relation that leads out"),
    "a relation with backslashes": (lambda: with_relation("drawing", "..\\..\\x"), "found a relation that leads out"),
    "a relation to nothing": (lambda: with_relation("drawing", ""), "found a relation that leads out of the file, to nothing"),
    "a relation to what is not there": (lambda: with_relation("drawing", "../d.xml"), "found no part 'xl/d.xml', to which"),
    "sheet from elsewhere": (
        lambda: with_change(BOOK_LINKS, 'Target="/xl/worksheets/sheet2.xml"', 'Target="http://192.0.2.1/" TargetMode="External"'),
        "found a link to another file, of the kind 'worksheet'",
    ),
    "two relations of one name": (
        lambda: with_change(BOOK_LINKS, 'Id="rId2"', 'Id="rId1"'), f"found two relations 'rId1' in '{BOOK_LINKS}'"
    ),
    "one part for two sheets": (
        lambda: with_change(BOOK_LINKS, "sheet2.xml", "sheet1.xml"), "found the sheet 'Jobs' twice"
    ),
    "two sheets of one name": (lambda: with_change(BOOK, 'name="Start"', 'name="JOBS"'), "found the sheet 'Jobs' twice"),
    "texts in two parts": (
        lambda: with_change(
            BOOK_LINKS, "</Relationships>",
            f'<Relationship Id="y" Type="{LINKS}/sharedStrings" Target="styles.xml"/>'
            f'<Relationship Id="z" Type="{LINKS}/sharedStrings" Target="theme/theme1.xml"/></Relationships>',
        ),
        "found 2 parts of the kind 'sharedStrings'",
    ),
    "a sheet that is a picture": (lambda: small_book() | {START: b"\x89PNG\r\n"}, "found the damaged sheet Start (not well-formed"),
}  # fmt: skip


@pytest.mark.parametrize("kind", BROKEN)
def test_parts_that_do_not_hang_together(tmp_path: Path, refused: Refused, kind: str) -> None:
    made, words = BROKEN[kind]

    assert words in refused(write_zip(tmp_path / "book.xlsx", made()))


def test_every_danger_is_told_in_the_one_line(tmp_path: Path, refused: Refused) -> None:
    parts = part("xl/vbaProject.bin") | {"xl/connections.xml": b"", "xl/embeddings/a.bin": b""}

    assert "found macros, a data connection and an embedded object or control, must be" in refused(
        write_zip(tmp_path / "book.xlsx", parts)
    )


def test_a_sheet_under_the_name_of_a_picture(tmp_path: Path, refused: Refused) -> None:
    """What a part is, its type and its relations say, not the ending of its name."""
    parts = {
        name.replace("sheet1.xml", "sheet1.png"): data.replace(b"sheet1.xml", b"sheet1.png")
        for name, data in with_formula("[1]A!B2").items()
    }

    assert BOOKS in refused(write_zip(tmp_path / "book.xlsx", parts))
