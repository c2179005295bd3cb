"""A written workbook keeps to the standard for its file format, ECMA-376 part 1, and to Excel's limits.

Programs forgive what others refuse or repair, so each check is of its own and
is shown to find a fault planted for it.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from workbook_builder.cli import FINE, run

from . import checks_looks, checks_package, checks_rules, checks_sheet
from .package import TYPES, Package, relations_of

SAMPLE = Path(__file__).parents[2] / "samples" / "panel-capacity.xlsx"
OF_THE_PACKAGE = (*checks_package.CHECKS, *checks_looks.OF_THE_PACKAGE)
OF_A_SHEET = (*checks_sheet.CHECKS, *checks_rules.CHECKS, *checks_looks.OF_A_SHEET)


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workbook of one job without circuits and few rows."""
    folder = tmp_path_factory.mktemp("ooxml")
    jobs = folder / "jobs.csv"
    jobs.write_text(
        "job_no,house_age,market,service_a,main_spaces,main_spaces_used,floor_area_ft2,line_v,run_ft\n"
        "A1,middle,medium,100,20,20,1500,240,30\n",
        encoding="utf-8",
    )
    path = folder / "small.xlsx"
    assert run(["build", "--jobs", str(jobs), "--rows", "2", "--circuit-rows", "2", "--out", str(path)]) == FINE
    return path


@pytest.fixture(params=["sample", "small"])
def package(request: pytest.FixtureRequest) -> Package:
    return Package(SAMPLE if request.param == "sample" else request.getfixturevalue("small"))


def test_package_keeps_to_the_standard(package: Package) -> None:
    assert {check.__name__: list(check(package)) for check in OF_THE_PACKAGE} == {
        check.__name__: [] for check in OF_THE_PACKAGE
    }


def test_each_sheet_keeps_to_the_standard(package: Package) -> None:
    faults, seen = [], []
    for title, root in package.sheets():
        seen.append(title)
        for check in OF_A_SHEET:
            faults += check(package, title, root)

    assert seen == package.titles
    assert faults[:20] == []


BOOK, LINKS, STYLES = "xl/workbook.xml", relations_of("xl/workbook.xml"), "xl/styles.xml"
STRINGS, CHART, DRAWING = "xl/sharedStrings.xml", "xl/charts/chart1.xml", "xl/drawings/drawing1.xml"
LONG_LIST = ",".join(["choice"] * 40)

PLANTED: dict[str, list[tuple[str, str, str, str]]] = {
    "order_of_parts": [
        (BOOK, r"(<sheets>.*</sheets>)(<definedNames>.*</definedNames>)", r"\2\1", "workbook: sheets stands after"),
        (STYLES, r"(<fonts.*</fonts>)(<fills.*</fills>)", r"\2\1", "styles: fonts stands after fills"),
    ],
    "relations": [
        (LINKS, r"worksheets/sheet2\.xml", "worksheets/sheet99.xml", "which is not there"),
        (LINKS, r'Id="rId2"', 'Id="rId1"', "rId1 stands twice"),
        (LINKS, r'Target="styles.xml"', 'Target="http://a.example/s.xml" TargetMode="External"', "leads outside"),
        (BOOK, r'r:id="rId2"', 'r:id="rId999"', "no relation rId999"),
        (LINKS, r'<Relationship [^>]*Target="theme/theme1.xml"/>', "", "no relation leads to xl/theme/theme1.xml"),
    ],
    "content_types": [
        (TYPES, r'<Override PartName="/xl/styles.xml"[^>]*/>', "", "no content type of xl/styles.xml"),
        (TYPES, r'PartName="/xl/styles.xml"', 'PartName="/xl/style.xml"', "of xl/style.xml, which is not there"),
    ],
    "sheet_titles": [
        (BOOK, 'name="Circuits"', 'name="jobs"', "the title jobs stands 2 times"),
        (BOOK, 'name="Circuits"', f'name="{"x" * 32}"', "has 32 characters"),
        (BOOK, 'name="Circuits"', 'name="A/B"', "A/B is not allowed"),
        (BOOK, 'sheetId="3"', 'sheetId="2"', "sheetId 2 stands twice"),
    ],
    "defined_names": [
        (BOOK, r'name="canary">[^<]*', 'name="canary">Nope!$A$1', "canary: no sheet Nope"),
        (BOOK, r'name="canary">[^<]*', 'name="canary">Start!$A$0', "Start!$A$0 is no area"),
        (BOOK, 'name="canary"', 'name="AB12"', "AB12: no valid name"),
        (BOOK, 'name="canary"', 'name="a b"', "a b: no valid name"),
        (BOOK, 'name="canary"', 'name="BUILT_BY"', "built_by: stands 2 times"),
        (BOOK, r'(name="_xlnm.Print_Area" localSheetId=)"0"', r'\1"99"', "no sheet number 99"),
        (BOOK, r'_xlnm.Print_Area', "_xlnm.Print_Place", "_xlnm.Print_Place: no name of a sheet's own"),
    ],
    "styles": [
        (STYLES, r'fontId="[1-9]\d*"', 'fontId="9999"', "no fonts 9999"),
        (STYLES, r'fillId="[2-9]\d*"', 'fillId="9999"', "no fills 9999"),
        (STYLES, r'borderId="[1-9]\d*"', 'borderId="9999"', "no borders 9999"),
        (STYLES, r'<xf numFmtId="16\d"', '<xf numFmtId="999"', "no number format 999"),
        (STYLES, r'<cellXfs count="\d+"', '<cellXfs count="1"', "cellXfs: count 1"),
        (STYLES, r'formatCode="[^"]*"', f'formatCode="{"0" * 256}"', "number format 16"),
    ],
    "strings": [
        (STRINGS, r'uniqueCount="\d+"', 'uniqueCount="3"', "uniqueCount 3"),
        (STRINGS, r"<t>[^<]*", "<t>" + "x" * 40_000, "too long for a cell"),
    ],
    "charts": [
        (CHART, r"<c:f>[^<]*", "<c:f>Nope!$A$1:$A$2", "is no area of a sheet"),
        (CHART, r"<c:f>[^<]*", "<c:f>'Job sheet'!$J$38:$J$60", "has blank cells"),
    ],
    "drawings": [
        (DRAWING, r'descr="[^"]*"', "", "has no description"),
        (DRAWING, r"<xdr:row>\d+", "<xdr:row>9999", "ends before it begins"),
    ],
    "text_on_fill": [
        (STYLES, r'<color rgb="FF5F6368"/>', '<color rgb="FF8A8F94"/>', "8A8F94 on FFFFFF is"),
        (STYLES, r'<fgColor rgb="FF334E68"/>', '<fgColor rgb="FFAAC0D0"/>', "FFFFFF on AAC0D0 is"),
    ],
    "order_of_elements": [
        ("Jobs", r"(<pageMargins[^>]*/>)(<pageSetup[^>]*/>)", r"\2\1", "Jobs: pageMargins stands after pageSetup"),
        ("Loads", r"(<sheetProtection[^>]*/>)", r"\1<guard/>", "Loads: unknown element guard"),
    ],
    "attributes": [
        ("Loads", "<sheetProtection ", '<sheetProtection rows="1" ', "sheetProtection: unknown attribute rows"),
        ("Loads", '<sheetProtection sheet="1"', '<sheetProtection sheet="yes"', "sheetProtection: sheet is 'yes'"),
        ("Jobs", r'orientation="landscape"', 'orientation="flat"', "pageSetup: orientation is 'flat'"),
        ("Jobs", r"<pane ", '<pane ySpilt="3" ', "pane: unknown attribute ySpilt"),
    ],
    "columns": [
        ("Jobs", r'(<col min="1" [^>]*?width=)"[^"]*"', r'\1"300"', "column 1 is 300 wide"),
        ("Jobs", r'(<col min="1" max="1"[^>]*/>)', r"\1\1", "columns 1 to 1 after 1"),
    ],
    "rows_and_cells": [
        ("Jobs", r'<c r="A1" s="\d+"', '<c r="A1" s="99999"', "Jobs!A1: no look 99999"),
        ("Jobs", r'(<c r="A1"[^>]*t="s"><v>)\d+', r"\g<1>999999", "Jobs!A1: no text 999999"),
        ("Jobs", r'(<c r="A1".*?</c>)', r"\1\1", "cell A1 in row 1 after column 1"),
        ("Jobs", r'<row r="2"', '<row r="1"', "row 1 after 1"),
        ("Jobs", r'(<row r="1"[^>]*?ht=)"[^"]*"', r'\1"500"', "row 1 is 500 tall"),
        ("Settings", r"<v>(\d+\.\d+)</v>", "<v>nan</v>", "'nan' of kind n"),
        ("Loads", r"<f>[^<]*", "<f>" + "1+" * 5000 + "1", "a formula of 10001 characters"),
    ],
    "formulas": [
        ("Loads", r"<f>[^<]*", "<f>Nope!A1+&quot;Fine!&quot;", "no sheet Nope"),
        ("Loads", r"<f>[^<]*", "<f>[1]Jobs!A1", "a formula with brackets"),
    ],
    "extent": [("Jobs", r'<dimension ref="[^"]*"', '<dimension ref="A1:B2"', "is outside of A1:B2")],
    "nothing_merged": [
        ("Jobs", r"(</sheetData>)", r'\1<mergeCells count="1"><mergeCell ref="A1:B1"/></mergeCells>', "merged cells"),
    ],
    "links": [
        ("Jobs", r'location="[^"]*"', 'location="Nope!A1"', "leads to 'Nope!A1'"),
        ("Jobs", r'location="[^"]*"', 'location="Job sheet!A1"', "lacks its quotes"),
        ("Jobs", r'(<hyperlink ref="A2"[^>]*/>)', r"\1\1", "A2: 2 links"),
    ],
    "pages": [
        ("Jobs", r"<oddFooter>", "<oddFooter>" + "x" * 256, "oddFooter of"),
        ("Job sheet", r'<rowBreaks count="1"', '<rowBreaks count="2"', "rowBreaks counts wrongly"),
    ],
    "validations": [
        ("Jobs", r'<dataValidations count="\d+"', '<dataValidations count="3"', "count of validations 3"),
        ("Jobs", r' prompt="[^"]*"', f' prompt="{"x" * 256}"', "prompt of 256 characters, at most 255"),
        ("Jobs", r' promptTitle="[^"]*"', f' promptTitle="{"x" * 33}"', "promptTitle of 33 characters, at most 32"),
        ("Jobs", r' error="[^"]*"', f' error="{"x" * 226}"', "error of 226 characters, at most 225"),
        ("Jobs", r"<formula1>[^<]*", f'<formula1>"{LONG_LIST}"', "a formula of 281 characters, at most 255"),
        ("Jobs", r"<formula1>[^<]*", "<formula1>Nope!$A$1:$A$9", "no sheet Nope"),
        ("Jobs", r'type="list"', 'type="choice"', "type is 'choice'"),
        ("Jobs", r"<formula2>[^<]*</formula2>", "", "no second formula"),
    ],
    "validations_apart": [
        ("Jobs", r'(<dataValidation [^>]*sqref="([^"]*)".*?</dataValidation>)', r"\1\1", "overlap"),
    ],
    "conditional_formats": [
        ("Jobs", r'dxfId="\d+"', 'dxfId="999"', "no look 999"),
        ("Jobs", r'priority="2"', 'priority="1"', "priority '1' stands 2 times"),
        ("Jobs", r'<cfRule type="\w+"', '<cfRule type="startsWith"', "kind 'startsWith'"),
        ("Jobs", r"(<cfRule [^>]*><formula>)", r"\1=", "formula '="),
    ],
    "text_on_rules": [
        (STYLES, r'<dxf><font><color rgb="[^"]*"/>', '<dxf><font><color rgb="FF8FB996"/>', "8FB996 on E3F4E8 is"),
        (STYLES, r"<dxf><font>.*?</font>(.*?)FFE3F4E8", r"<dxf>\1FF334E68", "1A1A1A on 334E68 is"),
        (STYLES, r'<bgColor rgb="FFE3F4E8"/>', '<bgColor rgb="FF334E68"/>', "145A32 on 334E68 is"),
    ],
    "not_by_colour_alone": [
        ("Jobs", r'type="beginsWith"', 'type="expression"', "expression changes colour only"),
        ("Jobs", r'type="beginsWith" dxfId="0"', 'type="colorScale"', "colorScale changes colour only"),
    ],
}  # fmt: skip
"""For each check: part or sheet, what is changed there into what, and the words that the check finds for it."""


def test_each_check_has_its_planted_faults() -> None:
    assert list(PLANTED) == [check.__name__ for check in (*OF_THE_PACKAGE, *OF_A_SHEET)]


def _planted(path: Path, where: str, old: str, new: str) -> Package:
    """The workbook with one change in a part, or in the sheet of a title."""
    part = where if where in Package(path).names else Package(path).sheet_parts[where]
    text, count = re.subn(old, new, Package(path).read(part).decode(), count=1, flags=re.DOTALL)
    assert count == 1, f"{where} has no {old}"
    return Package(path, {part: text.encode()})


@pytest.mark.parametrize(
    ("check", "where", "old", "new", "words"),
    [(check, *fault) for check, faults in PLANTED.items() for fault in faults],
)
def test_a_planted_fault_is_found(check: str, where: str, old: str, new: str, words: str, small: Path) -> None:
    package = _planted(small, where, old, new)
    found: dict[str, Callable] = {one.__name__: one for one in (*OF_THE_PACKAGE, *OF_A_SHEET)}
    if found[check] in OF_THE_PACKAGE:
        faults = list(found[check](package))
    else:
        title = where if where in package.titles else "Jobs"
        faults = list(found[check](package, title, package.root(package.sheet_parts[title])))

    assert any(words in fault for fault in faults), faults[:5]


def test_a_part_that_is_left_out_is_found(small: Path) -> None:
    package = Package(small, {STYLES: None})

    assert any(STYLES in fault for fault in checks_package.relations(package))
    assert any(STYLES in fault for fault in checks_package.content_types(package))
