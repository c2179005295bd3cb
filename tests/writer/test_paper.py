"""On paper: letter, as few pages as the columns fill, legible, header rows on each, nothing empty."""

from __future__ import annotations

import pytest
from openpyxl.utils import range_boundaries
from openpyxl.worksheet.worksheet import Worksheet as ReadSheet

from workbook_builder.sheets.model import FIRST_ROW
from workbook_builder.writer.paper import (
    LARGEST,
    SMALLEST,
    column_points,
    pages_across,
    pages_down,
    room,
    scale_to_fill,
)

from .conftest import CIRCUITS, JOBS, Written

GRIDS = (
    "Jobs", "Circuits", "Inputs", "Circuit check", "Spaces", "Loads", "Feeder", "Raceway", "Sources", "Solar",
    "Options", "Takeoff", "Line costs", "Labour", "Price", "Actuals", "Readings", "Checks",
)  # fmt: skip
LISTS = ("Provenance", "Rules")
LEAST_POINTS = 5.5


def _area(page: ReadSheet) -> tuple[int, int, int, int]:
    """First column, first row, last column, last row of the print area."""
    return range_boundaries(page.print_area.rpartition("!")[2].replace("$", ""))


def _widths(page: ReadSheet) -> list[float]:
    by_number = {
        number: run.width - 0.714
        for run in page.column_dimensions.values() for number in range(run.min, run.max + 1)
    }  # fmt: skip
    first, _, last, _ = _area(page)
    return [by_number[at] for at in range(first, last + 1)]


@pytest.mark.parametrize("name", GRIDS)
def test_a_grid_prints_its_header_and_the_rows_given(written: Written, name: str) -> None:
    page = written.formulas[name]
    given = CIRCUITS if name in ("Circuits", "Circuit check") else JOBS
    first_column, first, _, last = _area(page)

    assert (first_column, first, last) == (1, 3, FIRST_ROW + given - 1)
    assert page.print_title_rows == "$3:$9"
    assert page.print_title_cols == "$B:$B"
    assert page.page_setup.orientation == "landscape"


@pytest.mark.parametrize("name", GRIDS)
def test_a_grid_is_legible_and_fills_its_pages(written: Written, name: str) -> None:
    """The scale keeps 10 points legible; a larger one of those allowed would take another page."""
    page = written.formulas[name]
    scale, widths = int(page.page_setup.scale), _widths(page)
    pages = pages_across(widths, repeated=(1,), scale=scale)

    assert 10 * scale / 100 >= LEAST_POINTS
    assert scale == LARGEST or pages_across(widths, repeated=(1,), scale=scale + 1) > pages


@pytest.mark.parametrize("name", GRIDS)
def test_the_last_page_of_a_grid_is_worth_its_paper(written: Written, name: str) -> None:
    """Fewer pages would not do even at the smallest scale."""
    page = written.formulas[name]
    widths = _widths(page)
    pages = pages_across(widths, repeated=(1,), scale=int(page.page_setup.scale))

    assert pages == pages_across(widths, repeated=(1,), scale=SMALLEST)


def test_checks_stand_on_three_pages_side_by_side(written: Written) -> None:
    page = written.formulas["Checks"]

    assert pages_across(_widths(page), repeated=(1,), scale=int(page.page_setup.scale)) <= 3


@pytest.mark.parametrize("name", LISTS)
def test_a_list_is_filtered_frozen_and_one_page_wide(written: Written, name: str) -> None:
    page = written.formulas[name]
    filtered = range_boundaries(page.auto_filter.ref)

    assert filtered[:2] == (1, 4)
    assert filtered[2] == len([cell for cell in page[4] if cell.value])
    assert page.cell(filtered[3], 1).value
    assert page.freeze_panes == "C5"
    assert page.print_title_rows == "$4:$4"
    assert (page.page_setup.fitToWidth or 1, page.page_setup.fitToHeight) == (1, 0)
    assert page.sheet_properties.pageSetUpPr.fitToPage
    assert page.page_setup.orientation == "landscape"


@pytest.mark.parametrize("name", LISTS)
def test_a_list_is_legible(written: Written, name: str) -> None:
    """8 points on a page that is fitted to its columns."""
    page = written.formulas[name]
    scale = min(1.0, room(100) / sum(column_points(width) for width in _widths(page)))

    assert all(cell.font.size == 8 for cell in page[6] if cell.value)
    assert 8 * scale >= LEAST_POINTS


def test_columns_left_off_paper_are_the_last_ones(written: Written) -> None:
    left = {
        name: [cell.value for cell in written.formulas[name][4]][_area(written.formulas[name])[2] :]
        for name in LISTS
    }

    assert left == {"Provenance": ["note"], "Rules": ["role", "go to", "formula of the first row"]}


def test_the_title_is_in_the_page_header_of_a_grid(written: Written) -> None:
    for sheet in written.sheets:
        assert sheet.title in written.formulas[sheet.name].oddHeader.left.text


def test_pages_across_repeat_columns_only_after_their_own_page() -> None:
    wide = room(100) / 5.56 / 2 - 1

    assert pages_across([wide], repeated=(), scale=100) == 1
    assert pages_across([wide, wide], repeated=(), scale=100) == 1
    assert pages_across([wide, wide, wide], repeated=(), scale=100) == 2
    assert pages_across([wide] * 5, repeated=(), scale=100) == 3
    assert pages_across([wide] * 5, repeated=(0,), scale=100) == 4
    assert pages_across([10 * wide], repeated=(), scale=100) == 1


def test_pages_down_have_the_header_on_each() -> None:
    assert pages_down(header=0, rows=0, scale=100) == 1
    assert pages_down(header=100, rows=400, scale=100) == 1
    assert pages_down(header=100, rows=800, scale=100) == 2
    assert pages_down(header=100, rows=800, scale=50) == 1


def test_scale_is_the_largest_that_costs_no_page() -> None:
    assert scale_to_fill([10]) == LARGEST
    half = room(SMALLEST + 2) / 5.56 / 2 - 1

    assert pages_across([half, half], repeated=(), scale=SMALLEST + 2) == 1
    assert pages_across([half, half], repeated=(), scale=SMALLEST + 4) == 2
    assert SMALLEST + 2 <= scale_to_fill([half, half]) < SMALLEST + 4
    assert scale_to_fill([10], header=300, rows=560) < LARGEST
