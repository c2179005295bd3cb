"""Recalculate with LibreOffice, which is asked to convert the file to .xlsx.

By default LibreOffice recalculates only the files it does not trust, so each
run gets a fresh profile that says "always". Known limits of this route: the
file it writes spells numbers with 15 significant digits, and its own error
codes come out as `#VALUE!` (the square root of a negative number, an INDEX
beyond its range, a circle). It joins TRUE to a text as 1.
"""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from pathlib import Path

from .cells import Grid
from .faults import EngineFailed
from .process import run_program, version_text
from .xml_grid import read_grids

NAME = "libreoffice"
REMEDY = "install LibreOffice 7.4 or later, so that `soffice` is found on the PATH"

#: Value of OOXMLRecalcMode: 0 always, 1 never, 2 ask.
RECALCULATE_ALWAYS = "0"

#: Where installers put the program when they do not put it on the PATH.
_USUAL_PLACES = (
    "/Applications/LibreOffice.app/Contents/MacOS/soffice",
    "C:/Program Files/LibreOffice/program/soffice.exe",
)

_PROFILE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" \
xmlns:xs="http://www.w3.org/2001/XMLSchema" \
xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load">\
<prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>{mode}</value></prop></item>
<item oor:path="/org.openoffice.Setup/L10N">\
<prop oor:name="ooSetupSystemLocale" oor:op="fuse"><value>en-US</value></prop></item>
</oor:items>
"""


def program() -> str | None:
    """Return the path of the program, None when it is not installed."""
    for name in ("soffice", "libreoffice", *_USUAL_PLACES):
        found = shutil.which(name)
        if found:
            return found
    return None


def version() -> str | None:
    """Return the version, None when LibreOffice is not installed."""
    found = program()
    words = version_text(found).split() if found else []
    return words[1] if len(words) > 1 else None


def compute(
    book: Path,
    *,
    file: str,
    folder: Path,
    sizes: Mapping[str, tuple[int, int]],
    timeout: float,
    stderr_lines: list[str],
) -> dict[str, Grid]:
    """Return the recalculated grids of the sheets in `sizes`.

    `book` is the stripped copy, `folder` a folder to work in, `file` the name
    for messages, `timeout` in seconds. Raises EngineFailed.
    """
    result = convert(
        book,
        suffix="xlsx",
        export="xlsx:Calc MS Excel 2007 XML",
        file=file,
        folder=folder,
        timeout=timeout,
        stderr_lines=stderr_lines,
    )
    return read_grids(result, sheets=sizes, sizes=sizes)


def convert(
    book: Path,
    *,
    suffix: str,
    export: str,
    file: str,
    folder: Path,
    timeout: float,
    stderr_lines: list[str],
) -> Path:
    """Recalculate `book` and write it by the filter `export`; returns the new file, which ends in `suffix`.

    `file` is the name for messages, `folder` a folder to work in. Raises EngineFailed.
    """
    profile, written = folder / "profile", folder / "written"
    (profile / "user").mkdir(parents=True)
    (profile / "user" / "registrymodifications.xcu").write_text(
        _PROFILE.format(mode=RECALCULATE_ALWAYS), encoding="utf-8"
    )
    output = run_program(
        [
            program() or "soffice",
            f"-env:UserInstallation={profile.as_uri()}",
            "--headless",
            "--norestore",
            "--nolockcheck",
            "--convert-to",
            export,
            "--outdir",
            written,
            book,
        ],
        engine=NAME,
        file=file,
        folder=folder,
        timeout=timeout,
        stderr_lines=stderr_lines,
    )
    result = written / f"{book.stem}.{suffix}"
    if not result.is_file():
        raise EngineFailed(
            engine=NAME,
            file=file,
            reason="it wrote no file",
            lines=[*output.splitlines(), *stderr_lines],
        )
    return result
