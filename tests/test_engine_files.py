"""Workbook files are stripped and read soundly, however they are written."""

from __future__ import annotations

import sys
import time
import zipfile

import pytest

from workbook_builder.harness.engines.cells import CellError
from workbook_builder.harness.engines.faults import EngineFailed, NotAWorkbook
from workbook_builder.harness.engines.process import run_program
from workbook_builder.harness.engines.strip import SENTINEL, strip_cached
from workbook_builder.harness.engines.xml_grid import read_grids

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
LINKS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
RELATIONS = "http://schemas.openxmlformats.org/package/2006/relationships"


def write_book(path, rows, *, strings="", names="", head="", prefix=""):
    """Write a workbook with one sheet, `Bob's`, from the XML of its rows."""
    p = prefix
    declared = f'xmlns:{p[:-1]}="{MAIN}"' if p else f'xmlns="{MAIN}"'
    parts = {
        "_rels/.rels": f'<Relationships xmlns="{RELATIONS}"><Relationship Id="r1" '
        f'Type="{LINKS}/officeDocument" Target="xl/workbook.xml"/></Relationships>',
        "xl/_rels/workbook.xml.rels": f'<Relationships xmlns="{RELATIONS}">'
        f'<Relationship Id="r1" Type="{LINKS}/worksheet" '
        'Target="/xl/worksheets/one.xml"/>'
        f'<Relationship Id="r2" Type="{LINKS}/sharedStrings" '
        'Target="sharedStrings.xml"/></Relationships>',
        "xl/workbook.xml": f'<workbook xmlns="{MAIN}" xmlns:r="{LINKS}"><sheets>'
        '<sheet name="Bob\'s" sheetId="1" r:id="r1"/></sheets>'
        f"<definedNames>{names}</definedNames></workbook>",
        "xl/sharedStrings.xml": f'<sst xmlns="{MAIN}">{strings}</sst>',
        "xl/worksheets/one.xml": f"{head}<{p}worksheet {declared}><{p}sheetData>"
        f"{rows}</{p}sheetData></{p}worksheet>",
    }
    with zipfile.ZipFile(path, "w") as archive:
        for part, text in parts.items():
            archive.writestr(part, text)
    return path


def stripped_rows(tmp_path, rows, **options):
    """Return the XML of the rows after stripping, and what was found."""
    keep_rows = options.pop("keep_rows", None)
    source = write_book(tmp_path / "in.xlsx", rows, **options)
    target = tmp_path / "out.xlsx"
    found = strip_cached(source, target, keep_rows=keep_rows)
    with zipfile.ZipFile(target) as archive:
        text = archive.read("xl/worksheets/one.xml").decode()
    tag = f"{options.get('prefix', '')}sheetData>"
    return text.partition(f"<{tag}")[2].partition(f"</{tag}")[0], found


def test_result_of_every_kind_is_replaced_and_the_rest_kept(tmp_path):
    """Number, text, truth and error go; style, formula and inputs stay."""
    rows = (
        '<row r="2" ht="20"><c r="A2" s="4"><f>1+1</f><v>2</v></c>'
        '<c r="B2" t="str"><f>"a&lt;b"&amp;"/>"</f><v>a&lt;b/></v></c>'
        '<c r="C2" t="b" s="1"><f aca="false">TRUE</f><v>1</v></c>'
        '<c r="D2" t="e"><f>NA()</f><v>#N/A</v></c><c r="E2"><f>3</f></c></row>'
        '<row r="3"><c r="A3" t="s"><v>0</v></c><c r="B3" s="2"/>'
        '<c r="F3"><v>12.5</v></c></row>'
    )
    text, found = stripped_rows(tmp_path, rows)

    v = f"<v>{SENTINEL}</v>"
    assert (
        f'<row r="2" ht="20"><c r="A2" s="4"><f>1+1</f>{v}</c>'
        f'<c r="B2"><f>"a&lt;b"&amp;"/>"</f>{v}</c>'
        f'<c r="C2" s="1"><f aca="false">TRUE</f>{v}</c>'
        f'<c r="D2"><f>NA()</f>{v}</c><c r="E2"><f>3</f>{v}</c></row>'
        '<row r="3"><c r="A3" t="s"><v>0</v></c><c r="B3" s="2"/>'
        '<c r="F3"><v>12.5</v></c></row>'
    ) == text
    shape = found.sheets["Bob's"]
    assert [(2, 1), (2, 2), (2, 3), (2, 4), (2, 5)] == shape.formulas
    assert (3, 6) == (shape.rows, shape.columns)


def test_shared_and_array_formulas_are_stripped_too(tmp_path):
    """A formula given once for several cells has results in all of them."""
    rows = (
        '<row r="1"><c r="A1"><f t="shared" ref="A1:A2" si="0">B1</f><v>5</v></c>'
        '<c r="C1"><f t="array" ref="C1:C2">B1:B2*2</f><v>6</v></c></row>'
        '<row r="2"><c r="A2"><f t="shared" si="0"/><v>5</v></c>'
        '<c r="B2"><v>8</v></c><c r="C2"><v>6</v></c></row>'
    )
    text, found = stripped_rows(tmp_path, rows)

    v = f"<v>{SENTINEL}</v>"
    assert (
        f'<row r="1"><c r="A1"><f t="shared" ref="A1:A2" si="0">B1</f>{v}</c>'
        f'<c r="C1"><f t="array" ref="C1:C2">B1:B2*2</f>{v}</c></row>'
        f'<row r="2"><c r="A2"><f t="shared" si="0"/>{v}</c>'
        f'<c r="B2"><v>8</v></c><c r="C2">{v}</c></row>'
    ) == text
    assert [(1, 1), (1, 3), (2, 1), (2, 3)] == found.sheets["Bob's"].formulas


def test_elements_with_a_prefix_are_stripped_too(tmp_path):
    """Other writers put a prefix before every element."""
    rows = '<x:row r="1"><x:c r="A1" t="str"><x:f>""</x:f><x:v/></x:c></x:row>'
    text, _ = stripped_rows(tmp_path, rows, prefix="x:")

    value = f"<x:v>{SENTINEL}</x:v>"
    assert f'<x:row r="1"><x:c r="A1"><x:f>""</x:f>{value}</x:c></x:row>' == text


def test_rows_that_are_not_kept_lose_their_formulas_only(tmp_path):
    """Headings, inputs and the first cell of a shared formula stay."""
    rows = "".join(
        f'<row r="{row}"><c r="A{row}"><f>1</f><v>1</v></c>'
        f'<c r="B{row}"><v>{row}</v></c>'
        + ('<c r="C4"><f t="shared" ref="C4:C5" si="0">B4</f></c>' * (row == 4))
        + "</row>"
        for row in range(1, 6)
    )
    text, found = stripped_rows(tmp_path, rows, keep_rows={"Bob's": [5, 2]})

    expected = [(1, 1), (2, 1), (4, 3), (5, 1)]
    assert expected == found.sheets["Bob's"].formulas
    assert '<row r="3"><c r="B3"><v>3</v></c></row>' in text
    assert (5, 3) == (found.sheets["Bob's"].rows, found.sheets["Bob's"].columns)


def test_rows_to_keep_must_exist(tmp_path):
    """An unknown sheet, and a sheet of which nothing is kept, are refused."""
    source = write_book(tmp_path / "in.xlsx", "")
    with pytest.raises(ValueError, match="no sheet 'Loads' in the workbook"):
        strip_cached(source, tmp_path / "out.xlsx", keep_rows={"Loads": {8}})
    with pytest.raises(ValueError, match='no row is kept of the sheet "Bob\'s"'):
        strip_cached(source, tmp_path / "out.xlsx", keep_rows={"Bob's": set()})


def test_canary_is_found_by_its_name(tmp_path):
    """The name may be in any case and the sheet's title may hold a quote."""
    row = '<row r="1"><c r="B1"><f>1</f></c></row>'
    name = "<definedName name=\"Canary\">'Bob''s'!$B$1</definedName>"
    _, found = stripped_rows(tmp_path, row, names=name)

    assert ("Bob's", 1, 2) == found.canary
    block = "<definedName name=\"canary\">'Bob''s'!$B$1:$B$2</definedName>"
    with pytest.raises(NotAWorkbook, match="'canary' does not mean one cell"):
        stripped_rows(tmp_path, row, names=block)


@pytest.mark.parametrize("action", ["strip", "read"])
@pytest.mark.parametrize(
    ("rows", "head", "words"),
    [
        ("", "<!DOCTYPE x [<!ENTITY a 'b'>]>", "type declaration is not allowed"),
        ('<row r="1"><c r="A1">', "", "one.xml: mismatched tag"),
        ('<row r="1"><c r="1A"><v>1</v></c></row>', "", "'1A' is not a reference"),
    ],
)
def test_unsound_sheet_is_refused_with_its_part(tmp_path, action, rows, head, words):
    """Declarations, broken XML and broken addresses stop the reading."""
    path = write_book(tmp_path / "bad.xlsx", rows, head=head)
    with pytest.raises(NotAWorkbook, match=words):
        if action == "strip":
            strip_cached(path, tmp_path / "out.xlsx")
        else:
            read_grids(path)


def test_values_of_every_kind_are_read(tmp_path):
    """Numbers, texts in three places, truth, errors, and cells without address."""
    strings = (
        "<si><t>plain</t></si><si><r><t>rich </t></r><r><t>text</t></r>"
        "<rPh sb='0' eb='1'><t>sound</t></rPh></si><si><t>a_x000A_b</t></si>"
    )
    rows = (
        '<row r="2"><c r="B2"><v>1.5E2</v></c><c t="n"><v>-0.25</v></c>'
        '<c t="s"><v>0</v></c><c t="s"><v>1</v></c><c t="s"><v>2</v></c></row>'
        '<row><c r="A3" t="str"><f>""</f><v></v></c><c r="B3" t="b"><v>0</v></c>'
        '<c r="C3" t="e"><v>#DIV/0!</v></c><c r="D3" s="1"/>'
        '<c r="E3" t="inlineStr"><is><t>in </t><t>line</t></is></c>'
        '<c r="F3" t="str"><f>A1</f><v> 7 </v></c></row>'
    )
    grids = read_grids(write_book(tmp_path / "b.xlsx", rows, strings=strings))

    assert {
        "Bob's": [
            [None] * 6,
            [None, 150, -0.25, "plain", "rich text", "a\nb"],
            ["", False, CellError("#DIV/0!"), None, "in line", " 7 "],
        ]
    } == grids
    assert isinstance(grids["Bob's"][2][2], CellError)
    assert isinstance(grids["Bob's"][1][1], int)


@pytest.mark.parametrize(
    "cell",
    ['t="b"><v>2</v>', 't="s"><v>4</v>', "><v>1,5</v>", 't="odd"><v>1</v>'],
)
def test_value_that_is_none_is_refused_with_its_place(tmp_path, cell):
    """A value that does not fit its kind is named by row and column."""
    rows = f'<row r="7"><c r="C7" {cell}</c></row>'
    path = write_book(tmp_path / "b.xlsx", rows)
    with pytest.raises(NotAWorkbook, match="row 7, column 3: "):
        read_grids(path)


def test_cell_far_outside_does_not_fill_the_memory(tmp_path):
    """A grid out to the last cell of a sheet is refused, not built."""
    rows = '<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>'
    path = write_book(tmp_path / "b.xlsx", rows)
    with pytest.raises(ValueError, match="reach to XFD1048576: too far"):
        read_grids(path)


def run_python(code, folder, **options):
    """Run a line of Python as if it were an engine."""
    return run_program(
        [sys.executable, "-c", code],
        engine="snake",
        file="book.xlsx",
        folder=folder,
        timeout=options.pop("timeout", 60),
        **options,
    )


def test_failing_program_is_named_with_its_last_lines(tmp_path):
    """The message holds engine, file, code and what the program said."""
    lines = []
    with pytest.raises(EngineFailed) as caught:
        run_python(
            "import sys; print('out of luck', file=sys.stderr); sys.exit(3)",
            tmp_path,
            stderr_lines=lines,
        )

    expected = "snake: book.xlsx: ended with code 3\n    out of luck"
    assert expected == str(caught.value)
    assert ["out of luck"] == lines


def test_hanging_program_is_ended_with_its_children(tmp_path):
    """A child that would go on writing is gone when the call returns."""
    child = "import time\nwhile 1: open('alive', 'a').write('x'); time.sleep(0.05)"
    code = f"import subprocess, sys; subprocess.Popen([sys.executable, '-c', {child!r}]).wait()"
    with pytest.raises(EngineFailed, match="no answer within 2 seconds"):
        run_python(code, tmp_path, timeout=2)
    alive = tmp_path / "alive"
    size = alive.stat().st_size
    time.sleep(0.3)

    assert size == alive.stat().st_size > 0


def test_program_that_does_not_exist_is_named(tmp_path):
    """A program that cannot be started is a failed engine, not a traceback."""
    with pytest.raises(EngineFailed, match="ghost: b.xlsx: cannot be started"):
        run_program(
            [tmp_path / "ghost"],
            engine="ghost",
            file="b.xlsx",
            folder=tmp_path,
            timeout=5,
        )
