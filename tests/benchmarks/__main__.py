"""How fast the program is, in ratios of one run: python -m tests.benchmarks [PART ...] [--quick]

Parts: build, engines, verify, growth, estimate; all without one. Times are
processor seconds of a process and its children, the least of the repeats,
which are interleaved; so they depend little on what else the machine does.
Ratios are against the line that says 1.00. --quick takes short lists, to see
that it works; its ratios say nothing.
"""

from __future__ import annotations

import argparse
import json
import subprocess
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from workbook_builder.cli import FEWEST_ROWS
from workbook_builder.harness.engines import ENGINES, available
from workbook_builder.harness.engines.libreoffice import program

from . import estimate
from .homes import write_csv
from .measure import Measured, measured, measured_command
from .writers import WRITERS

SLOW = {"formulas": 20}
"""Engines that take minutes for a long list, and how many jobs they get at most."""

PACKED = "our parts are packed at level 4, those of the others as they come, at 6"


@dataclass(frozen=True)
class Sizes:
    """Jobs of the parts: for ratios, for growth, for estimate; repeats.

    rows: of jobs and of circuits in the part build; None for as many as it takes by itself.
    """

    jobs: int = 1_000
    growth: tuple[int, ...] = (100, 1_000, 10_000)
    estimate: int = 1_000_000
    repeats: int = 3
    rows: tuple[int, int] | None = None


QUICK = Sizes(jobs=4, growth=(4, 8), estimate=40, repeats=1, rows=(42, 1))


class Bench:
    """The parts, with a folder for their files."""

    def __init__(self, folder: Path, sizes: Sizes) -> None:
        self._folder, self._sizes = folder, sizes

    def build(self) -> None:
        """Writing and the whole command against other writers of the same cells."""
        jobs = self._jobs(self._sizes.jobs)
        print(f"\nbuild, {self._sizes.jobs} jobs; {PACKED}")
        rows = [str(one) for one in self._sizes.rows or ()]
        options = ["--rows", rows[0], "--circuit-rows", rows[1]] if rows else []
        found: dict[str, list[dict[str, float]]] = {name: [] for name in (*WRITERS, "command")}
        for _ in range(self._sizes.repeats):
            for name in WRITERS:
                done = measured([name, str(jobs), *rows], module="tests.benchmarks.writers")
                found[name].append(json.loads(done.printed))
            out = self._folder / "built.xlsx"
            done = measured(["build", "--jobs", str(jobs), *options, "--out", str(out)])
            found["command"].append({"processor_s": done.processor_s, "bytes": out.stat().st_size})
        cells = int(found["stock"][0]["cells"])
        least = {name: min(one["processor_s"] for one in many) for name, many in found.items()}
        words = {
            "stock": "XlsxWriter as it comes", "unsearched": "XlsxWriter without its search of formulas",
            "openpyxl": "openpyxl, write-only", "own": "our writer",
            "command": "the command build, reading and reference included",
        }  # fmt: skip
        for name, text in words.items():
            ratio = least[name] / least["stock"]
            size = found[name][0]["bytes"] / 1e6
            _line(text, f"{least[name]:8.2f} s {ratio:6.2f} of XlsxWriter {size:8.1f} MB")
        _line("our writer against openpyxl", f"{least['own'] / least['openpyxl']:19.2f} of openpyxl")
        _line("cells", f"{cells:,}")

    def engines(self) -> None:
        """Recalculation in every engine that is there."""
        print("\nengines, recalculation without the comparison")
        whole = self._book(self._sizes.jobs)
        plain = self._least(lambda: self._converted(whole)).processor_s if program() else None
        for engine in ENGINES:
            if not available(engine):
                _line(engine, "not installed")
                continue
            if self._sizes is QUICK and engine in SLOW:
                _line(engine, "takes minutes, left out of --quick")
                continue
            count = min(self._sizes.jobs, SLOW.get(engine, self._sizes.jobs))
            book = self._book(count)
            one = [engine, str(book)]
            done = self._least(lambda one=one: measured(one, module="tests.benchmarks.recalculate"))
            ratio = f"{done.processor_s / plain:6.2f} of LibreOffice's conversion" if plain else ""
            ratio = ratio if count == self._sizes.jobs else ""
            _line(f"{engine}, {count} jobs", f"{done.processor_s:8.2f} s {done.peak_mb:7.0f} MB {ratio}".rstrip())

    def verify(self) -> None:
        """The whole command verify against LibreOffice alone."""
        print(f"\nverify, {self._sizes.jobs} jobs")
        if program() is None:
            _line("libreoffice", "not installed")
            return
        book = self._book(self._sizes.jobs)
        alone, whole = [], []
        for _ in range(self._sizes.repeats):
            alone.append(self._converted(book).processor_s)
            whole.append(measured(["verify", str(book), "--engine", "libreoffice"]))
        plain, done = min(alone), min(whole, key=lambda one: one.processor_s)
        _line("LibreOffice converts the file", f"{plain:8.2f} s   1.00")
        ratio = done.processor_s / plain
        _line("verify --engine libreoffice", f"{done.processor_s:8.2f} s {ratio:6.2f} {done.peak_mb:7.0f} MB in memory")

    def growth(self) -> None:
        """Longer and longer lists."""
        print("\ngrowth of build; 1.00 where time grows as the rows do")
        before = None
        for count in self._sizes.growth:
            jobs, out = self._jobs(count), self._folder / "grown.xlsx"
            rows = ["--rows", str(count)]
            done = self._least(lambda jobs=jobs, out=out, rows=rows: measured(
                ["build", "--jobs", str(jobs), *rows, "--out", str(out)]
            ))  # fmt: skip
            each = done.processor_s / count
            growth = f"{each / before:6.2f}" if before else " " * 6
            before = each
            size = out.stat().st_size / 1e6
            line = f"{done.processor_s:8.2f} s {each * 1e3:7.2f} ms/job {growth} {done.peak_mb:7.0f} MB in memory"
            _line(f"{count} jobs", f"{line} {size:7.1f} MB on disk")

    def estimate(self) -> None:
        """Results without a workbook."""
        print("\nestimate, no workbook")
        estimate.run(self._sizes.estimate, 2)

    def _jobs(self, count: int) -> Path:
        path = self._folder / f"jobs-{count}.csv"
        if not path.exists():
            write_csv(path, count)
        return path

    def _book(self, count: int) -> Path:
        """A workbook of so many jobs; a short one has no spare rows, which some engines take long for."""
        path = self._folder / f"book-{count}.xlsx"
        if not path.exists():
            rows = ["--rows", str(count), "--circuit-rows", "1"] if count < FEWEST_ROWS else []
            measured(["build", "--jobs", str(self._jobs(count)), *rows, "--out", str(path)])
        return path

    def _converted(self, book: Path) -> Measured:
        """LibreOffice alone opens the workbook and writes it again."""
        folder, profile = self._folder / "converted", (self._folder / "profile").as_uri()
        return measured_command([
            program() or "", f"-env:UserInstallation={profile}", "--headless", "--norestore",
            "--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", str(folder), str(book),
        ])  # fmt: skip

    def _least(self, run: Callable[[], Measured]) -> Measured:
        return min((run() for _ in range(self._sizes.repeats)), key=lambda one: one.processor_s)


def _line(name: str, found: str) -> None:
    print(f"  {name:52}{found}", flush=True)


PARTS = ("build", "engines", "verify", "growth", "estimate")


def main(arguments: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__.splitlines()[0])
    parser.add_argument("parts", nargs="*", metavar="PART", help=f"{', '.join(PARTS)}; default: all")
    parser.add_argument("--quick", action="store_true", help="short lists, once each")
    parser.add_argument("--repeats", type=int, help="how often each is measured (default: 3)")
    options = parser.parse_args(arguments)
    unknown = [part for part in options.parts if part not in PARTS]
    if unknown:
        parser.error(f"no part {unknown[0]!r}; there are {', '.join(PARTS)}")
    sizes = QUICK if options.quick else Sizes(repeats=options.repeats or Sizes.repeats)
    with TemporaryDirectory() as folder:
        bench = Bench(Path(folder), sizes)
        for part in options.parts or PARTS:
            getattr(bench, part)()


if __name__ == "__main__":
    try:
        main()
    except subprocess.CalledProcessError as fault:
        raise SystemExit(f"{fault.cmd}: exit code {fault.returncode}") from None
