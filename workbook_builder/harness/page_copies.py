"""A copy of a workbook that prints nothing but one page, once for each job.

The page picks its job in one cell and its formulas find that cell on their own
sheet. So the page's sheet is copied once a job with the pick written in, with
the drawings and charts that belong to it. Every other sheet is hidden and loses
its print area: LibreOffice prints hidden sheets too, but not a sheet without a
print area where others have one. The copy is for printing and then thrown away.
"""

from __future__ import annotations

import posixpath
import re
import zipfile
from collections.abc import Sequence
from os import PathLike
from xml.etree.ElementTree import Element, SubElement, tostring
from xml.sax.saxutils import escape, quoteattr

from ..sheets.job_page import JOB_CELL
from ..sheets.layout import quoted
from .engines.faults import NotAWorkbook
from .engines.package import (
    contents,
    event_parser,
    local_name,
    main_part,
    open_archive,
    parse_part,
    part_at,
    read_part,
    relations_part,
    root_of,
)

_TYPES = "[Content_Types].xml"
_PICK = JOB_CELL.replace("$", "")
_PRINT_AREA = "_xlnm.Print_Area"
_PRINT_NAMES = (_PRINT_AREA, "_xlnm.Print_Titles")
_FOOTER = re.compile(rb"(<(?:\w+:)?(?:odd|even|first)Footer>)(.*?)(</)", re.DOTALL)
_PAGE_SETUP = re.compile(rb"<(?:\w+:)?pageSetup\b")
_FIRST_PAGE = re.compile(rb'\s(?:useFirstPageNumber|firstPageNumber)="[^"]*"')


def copy_pages(
    source: str | PathLike[str],
    target: str | PathLike[str],
    *,
    page: str,
    jobs: Sequence[str],
    pages_each: int,
) -> None:
    """Write `target`: `source` with the sheet `page` once for each of the jobs, all else hidden.

    The footer of a copy names page and job and counts its own pages, of `pages_each`.
    Raises NotAWorkbook where `source` has no such sheet, no print area of it or no cell to pick the job.
    """
    with open_archive(source) as archive, zipfile.ZipFile(target, "w", zipfile.ZIP_STORED) as copy:
        found = contents(archive)
        if page not in found.sheets:
            raise NotAWorkbook(source, f"it has no sheet {page!r}")
        _Copier(archive, copy, page, found.sheets[page]).write(jobs, pages_each)


class _Copier:
    """Copies an open workbook part by part and adds the copies of its page."""

    def __init__(self, archive: zipfile.ZipFile, copy: zipfile.ZipFile, page: str, part: str) -> None:
        self._archive, self._copy = archive, copy
        self._page, self._part = page, part
        self._main = main_part(archive)
        self._links = relations_part(self._main)
        self._names = set(archive.namelist())
        self._types = root_of(archive, _TYPES)
        self._type_of = {
            one.get("PartName", "").lstrip("/"): one
            for one in self._types
            if one.tag.rpartition("}")[2] == "Override"
        }

    def write(self, jobs: Sequence[str], pages_each: int) -> None:
        """Everything but the three lists of what there is, then the copies, then the lists."""
        for part in self._archive.namelist():
            if part not in (_TYPES, self._main, self._links):
                self._copy.writestr(part, read_part(self._archive, part))
        book = root_of(self._archive, self._main)
        links = root_of(self._archive, self._links)
        sheets = _child(book, "sheets")
        titles = {str(sheet.get("name")).casefold() for sheet in sheets}
        at = [sheet.get("name") for sheet in sheets].index(self._page)
        first = len(sheets)
        local = self._local_names(book, at)
        if not any(name.get("name") == _PRINT_AREA for _, name in local):
            raise NotAWorkbook(self._archive.filename or "", f"the sheet {self._page!r} has no print area")
        numbers = [int(sheet.get("sheetId", 0)) for sheet in sheets]
        for sheet in sheets:
            sheet.set("state", "hidden")
        for place, job in enumerate(jobs, start=1):
            title = _free(f"{self._page} {place}", titles)
            new = self._copied(self._part, place, title, job, pages_each)
            link = f"printed{place}"
            SubElement(links, f"{_space(links)}Relationship", {
                "Id": link, "Type": _kind(links, "worksheet"), "Target": f"/{new}",
            })  # fmt: skip
            like = sheets[at]
            link_key = next(key for key, _ in like.items() if key.endswith("}id"))
            SubElement(sheets, like.tag, {"name": title, "sheetId": str(max(numbers) + place), link_key: link})
            for name, kind in local:
                text = (kind.text or "").replace(f"{quoted(self._page)}!", f"{quoted(title)}!")
                added = SubElement(name, kind.tag, dict(kind.attrib) | {"localSheetId": str(first + place - 1)})
                added.text = text
        for view in book.iter():
            if view.tag.endswith("}workbookView"):
                view.set("activeTab", str(first))
                view.set("firstSheet", str(first))
        self._copy.writestr(self._main, tostring(book, encoding="UTF-8", xml_declaration=True))
        self._copy.writestr(self._links, _without_prefix(links))
        self._copy.writestr(_TYPES, _without_prefix(self._types))

    def _local_names(self, book: Element, at: int) -> list[tuple[Element, Element]]:
        """(list of names, name) of what belongs to the page alone, such as its print area.

        Print areas and titles of all sheets are taken out of the list.
        """
        found = []
        for names in book:
            if names.tag.endswith("}definedNames"):
                found += [(names, name) for name in names if name.get("localSheetId") == str(at)]
                for name in list(names):
                    if name.get("name") in _PRINT_NAMES:
                        names.remove(name)
        return found

    def _copied(self, part: str, place: int, title: str, job: str, pages_each: int) -> str:
        """Copy the page's sheet and what belongs to it; returns the part of the copy."""
        data = _picked(self._archive, part, job)
        data = _numbered(data, f"{self._page}, {job}", pages_each)
        return self._add(part, place, data, title)

    def _add(self, part: str, place: int, data: bytes, title: str, above: tuple[str, ...] = ()) -> str:
        """Write a copy of a part and of what it leads to, `above` being the parts that lead to it."""
        stem, ending = posixpath.splitext(part)
        new = f"{stem}-printed{place}{ending}"
        self._copy.writestr(new, data)
        if part in self._type_of:
            like = self._type_of[part]
            SubElement(self._types, like.tag, dict(like.attrib) | {"PartName": f"/{new}"})
        links = relations_part(part)
        if links in self._names:
            root = root_of(self._archive, links)
            path = (*above, part)
            for link in root:
                inner = part_at(part, link.get("Target", ""))
                if link.get("TargetMode") != "External" and inner in self._names.difference(path):
                    link.set("Target", "/" + self._add(inner, place, self._own(inner, title), title, path))
            self._copy.writestr(relations_part(new), _without_prefix(root))
        return new

    def _own(self, part: str, title: str) -> bytes:
        """The bytes of a drawing or chart that looks at the copy, not at the page."""
        data = read_part(self._archive, part)
        if not part.endswith(".xml"):
            return data
        for old in {quoted(self._page), f"'{self._page}'"}:
            data = data.replace(f"{escape(old)}!".encode(), f"{escape(quoted(title))}!".encode())
        return data


def _picked(archive: zipfile.ZipFile, part: str, job: str) -> bytes:
    """The page's sheet with the job in its pick; nothing else is written anew."""
    data = read_part(archive, part)
    parser = event_parser()
    span: list[int] = []
    cell: list[tuple[str, str]] = []

    def start(name: str, attributes: dict[str, str]) -> None:
        if local_name(name) == "c" and attributes.get("r") == _PICK:
            span.append(parser.CurrentByteIndex)
            cell.append((name, attributes.get("s", "0")))

    def end(name: str) -> None:
        if len(span) == 1 and local_name(name) == "c":
            index, opened = parser.CurrentByteIndex, data.index(b">", span[0]) + 1
            empty = data[opened - 2 : opened] == b"/>"
            span.append(opened if empty else data.index(b">", index) + 1)

    parser.StartElementHandler, parser.EndElementHandler = start, end
    parse_part(parser, archive, part)
    if len(span) != 2:
        raise NotAWorkbook(archive.filename or "", f"{part} has no cell {_PICK} to pick the job")
    name, style = cell[0]
    prefix = name.removesuffix("c")
    text = f'<{prefix}t xml:space="preserve">{escape(job)}</{prefix}t>'
    words = f'<{name} r="{_PICK}" s={quoteattr(style)} t="inlineStr"><{prefix}is>{text}</{prefix}is></{name}>'
    return data[: span[0]] + words.encode() + data[span[1] :]


def _numbered(data: bytes, words: str, pages_each: int) -> bytes:
    """A sheet whose pages are counted from 1 and whose footer says `words` instead of the sheet's title."""
    said = escape(words.replace("&", "&&")).encode()

    def footer(found: re.Match[bytes]) -> bytes:
        text = found[2].replace(b"&amp;N", str(pages_each).encode()).replace(b"&amp;A", said)
        return found[1] + text + found[3]

    end = data.rfind(b"sheetData")
    head, tail = data[:end], _FOOTER.sub(footer, data[end:])
    setup = _PAGE_SETUP.search(tail)
    if setup:
        close = tail.index(b">", setup.end())
        options = _FIRST_PAGE.sub(b"", tail[setup.end() : close])
        tail = tail[: setup.end()] + b' firstPageNumber="1" useFirstPageNumber="1"' + options + tail[close:]
    return head + tail


def _child(root: Element, name: str) -> Element:
    return next(one for one in root if one.tag.rpartition("}")[2] == name)


def _without_prefix(root: Element) -> bytes:
    """The XML of a list of parts or relations; LibreOffice reads their names without a namespace."""
    space = root.tag.partition("}")[0].lstrip("{")
    for one in root.iter():
        one.tag = one.tag.rpartition("}")[2]
    root.set("xmlns", space)
    return tostring(root, encoding="UTF-8", xml_declaration=True)


def _space(links: Element) -> str:
    """The namespace of a list of relations, in braces."""
    return links.tag.removesuffix("Relationships")


def _kind(links: Element, name: str) -> str:
    """The address that names a kind of relation, as this workbook spells it."""
    return next(kind for link in links if (kind := link.get("Type", "")).endswith(f"/{name}"))


def _free(title: str, taken: set[str]) -> str:
    """A title that no sheet has yet."""
    while title.casefold() in taken:
        title += "a"
    taken.add(title.casefold())
    return title
