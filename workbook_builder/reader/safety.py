"""Whether a workbook that came back is safe to open. This is the one place that decides it.

Nothing of it is run or unpacked to disk here, and no part is held in memory as a whole
but the small ones that say where others are. First the zip, then what the parts are,
then the XML of every part as a stream; a part that is no XML is read for its checksum.
"""

from __future__ import annotations

import os
import time
import zipfile
from os import PathLike
from pathlib import Path
from xml.etree.ElementTree import Element

import defusedxml.ElementTree

from .faults import shown
from .limits import (
    BYTES_A_ROW,
    ELEMENTS_A_ROW,
    ELEMENTS_OF_INPUTS,
    LARGEST_DIRECTORY,
    LARGEST_INPUTS,
    LARGEST_PART,
    LARGEST_TEXTS,
    MOST_CIRCUITS,
    MOST_JOBS,
    SPARE_BYTES,
)
from .parts_check import (
    ROOT,
    TYPES,
    Relation,
    Types,
    dangers_of,
    is_xml,
    main_part,
    relations_of,
    shared_part,
    titles_of,
    types_of,
)
from .refused import DAMAGE, NOT_XML, Refused, active, too_much
from .sheet_check import WorkbookLook
from .xml_check import walk
from .zip_check import open_zip

_CHUNK = 65_536
_MOST_ROWS = {"Jobs": MOST_JOBS, "Circuits": MOST_CIRCUITS}

_FEW_FILES, _SETTLED_NS = 16, 100_000_000
_known: dict[str, tuple[int, ...]] = {}
"""State of the files that were found safe last, so that each is looked through once."""


def open_safely(path: str | PathLike[str]) -> zipfile.ZipFile:
    """The open zip of a workbook in which nothing is refused.

    Raises BadInput with one reason in one line where the file is no .xlsx
    workbook, is damaged, encrypted, larger than its rows explain, or has
    macros, links to elsewhere, embedded objects, document type declarations.
    """
    path = Path(path)
    try:
        archive = open_zip(path)
        try:
            state = _state(archive)
            if _known.get(str(path.absolute())) != state:
                _Package(archive).check()
                _remember(path, state)
        except BaseException:
            archive.close()
            raise
    except Refused as refusal:
        raise refusal.of(path.name if path.is_file() else str(path)) from None
    return archive


def parsed_part(archive: zipfile.ZipFile, part: str, *, most: int = LARGEST_DIRECTORY) -> Element:
    """The first element of a small part. BadInput where it is damaged or too large."""
    try:
        return _parsed(archive, part, most)
    except Refused as refusal:
        raise refusal.of(Path(archive.filename or "").name) from None


def _state(archive: zipfile.ZipFile) -> tuple[int, ...]:
    """What changes when anybody writes to the file."""
    status = os.fstat(archive.fp.fileno())
    return status.st_dev, status.st_ino, status.st_size, status.st_mtime_ns, status.st_ctime_ns


def _remember(path: Path, state: tuple[int, ...]) -> None:
    """Files written a moment ago are not remembered: a second change would bear the same time."""
    if abs(time.time_ns() - state[3]) > _SETTLED_NS:
        _known.pop(str(path.absolute()), None)
        _known[str(path.absolute())] = state
        while len(_known) > _FEW_FILES:
            del _known[next(iter(_known))]


def _read(archive: zipfile.ZipFile, part: str, most: int) -> bytes:
    try:
        if archive.getinfo(part).file_size > most:
            raise too_much(f"over {most:,} bytes in the part {shown(part)}", f"at most {most:,}")
        return archive.read(part)
    except KeyError:
        raise Refused(f"no part {shown(part)}", placed=True) from None
    except DAMAGE as fault:
        raise Refused(f"a damaged part {shown(part)} ({fault})", placed=True) from None


def _parsed(archive: zipfile.ZipFile, part: str, most: int) -> Element:
    data = _read(archive, part, most)
    try:
        return defusedxml.ElementTree.fromstring(data, forbid_dtd=True)
    except NOT_XML as fault:
        raise Refused(f"no sound XML in the part {shown(part)} ({fault})", placed=True) from None


class _Package:
    """The parts of one workbook, each looked through once, in the order that tells soonest."""

    def __init__(self, archive: zipfile.ZipFile) -> None:
        self._archive = archive
        self._sizes = {part.filename: part.file_size for part in archive.infolist() if not part.is_dir()}
        self._left = dict(self._sizes)
        self._look = WorkbookLook()
        self._types = Types({}, {})
        self._titles: dict[str, str] = {}

    def check(self) -> None:
        if TYPES not in self._sizes:
            opened = "an OpenDocument file" if "mimetype" in self._sizes else f"no part {shown(TYPES)}"
            raise Refused(opened, placed=True)
        if ROOT not in self._sizes:
            raise Refused(f"no part {shown(ROOT)}", placed=True)
        dangers = [*dangers_of(self._sizes, Types({}, {}))]
        self._types = types_of(self._directory(TYPES))
        dangers += dangers_of((), self._types)
        relations: list[Relation] = []
        for part in self._sizes:
            if part.lower().endswith(".rels"):
                relations += relations_of(part, self._directory(part), self._sizes, dangers)
        if dangers:
            raise active(*dangers)
        main = main_part(relations, self._types)
        self._titles = titles_of(self._directory(main), relations, main)
        self._expect(main, "workbook")
        texts = shared_part(relations, main, "sharedStrings")
        self._check_small(texts)
        if texts:
            self._pass(texts, LARGEST_TEXTS)
            self._expect(texts, "sst")
        count = self._look.texts
        for part in [part for part in self._left if part not in self._titles]:
            self._pass(part, SPARE_BYTES)
        self._look.texts = count
        self._pass_inputs()
        for part in list(self._left):
            self._pass(part, LARGEST_PART)
            self._expect(part, "worksheet", "chartsheet")

    def _pass_inputs(self) -> None:
        """The sheets that people type in; their rows say how much the others may be."""
        allowed, counts = SPARE_BYTES, []
        for part, title in self._titles.items():
            if title in BYTES_A_ROW:
                left = self._look.elements
                self._look.elements += ELEMENTS_OF_INPUTS[title]
                self._pass(part, LARGEST_INPUTS)
                self._expect(part, "worksheet")
                self._look.elements = min(left, self._look.elements)
                rows = min(self._look.last_filled, _MOST_ROWS[title])
                self._look.elements += rows * ELEMENTS_A_ROW[title]
                allowed += rows * BYTES_A_ROW[title]
                counts.append(f"{rows:,} rows of {title.lower()}")
        total = sum(self._sizes.values())
        if total > allowed:
            rows = " and ".join(counts) or "no rows of jobs"
            raise too_much(f"{total:,} bytes when unpacked", f"at most {allowed:,} bytes for {rows}")

    def _check_small(self, texts: str | None) -> None:
        """The parts beside the sheets and their texts are small, whatever the rows."""
        beside = sum(size for part, size in self._sizes.items() if part not in self._titles and part != texts)
        if beside > SPARE_BYTES:
            raise too_much(f"{beside:,} bytes beside the sheets", f"at most {SPARE_BYTES:,} bytes")

    def _directory(self, part: str) -> Element:
        self._pass(part, LARGEST_DIRECTORY)
        return _parsed(self._archive, part, LARGEST_DIRECTORY)

    def _expect(self, part: str, *roots: str) -> None:
        """The part that passed last is what it is said to be."""
        if self._look.root not in roots:
            raise Refused(f"the part {shown(part)}, which is no {roots[0]}", placed=True)

    def _pass(self, part: str, most: int) -> None:
        """Looks through one part, if that has not been done."""
        size = self._left.pop(part, None)
        if size is None:
            return
        title = self._titles.get(part)
        where = f"in {shown(part)}" if title is None else f"on sheet {_plain(title)}"
        if size > most:
            raise too_much(f"{size:,} bytes {where}", f"at most {most:,} bytes there")
        try:
            with self._archive.open(part) as stream:
                if title is None and not is_xml(part, self._types):
                    read = 0
                    while data := stream.read(_CHUNK):
                        read += len(data)
                else:
                    damage = f"no sound XML in the part {shown(part)}"
                    if title is not None:
                        damage = f"the damaged sheet {_plain(title)}"
                    read = walk(stream, self._look.begin, damage=damage, loose=part.lower().endswith(".vml"))
            if read != size:
                raise Refused(f"a damaged part {shown(part)} ({read:,} bytes of {size:,})", placed=True)
        except Refused as refusal:
            raise refusal.at(where) from None
        except DAMAGE as fault:
            raise Refused(f"a damaged part {shown(part)} ({fault})", placed=True) from None


def _plain(title: str) -> str:
    return title if title.isprintable() and len(title) <= 31 else shown(title)
