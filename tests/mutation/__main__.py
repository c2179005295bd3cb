"""`python -m tests.mutation [--sheet NAME] [--jobs N] [--reference] [--tables] [--sample N]`."""

from __future__ import annotations

import argparse
import os
import sys
import time

from workbook_builder.sheets.order import SHEETS


def main(arguments: list[str] | None = None) -> int:
    """Exit code 0 where enough mutants are killed, 1 where not."""
    names = [sheet.name for sheet in SHEETS]
    parser = argparse.ArgumentParser(
        prog="python -m tests.mutation", description="Makes one mistake at a time and sees whether it is found."
    )
    parser.add_argument("--sheet", action="append", choices=names, help="only this sheet; may be given again")
    parser.add_argument("--jobs", type=int, default=min(2, os.cpu_count() or 1), help="processes at a time")
    parser.add_argument("--sample", type=int, default=1, metavar="N", help="one mutant in N")
    parser.add_argument("--reference", action="store_true", help="mistakes in the reference's functions instead")
    parser.add_argument("--tables", action="store_true", help="changed values of the code tables instead")
    chosen = parser.parse_args(arguments)
    start = time.perf_counter()

    def tell(text: str) -> None:
        print(f"{time.perf_counter() - start:5.0f} s  {text}", file=sys.stderr, flush=True)

    if chosen.tables:
        from .tables import report_tables

        return report_tables(tell, one_in=chosen.sample, processes=chosen.jobs)
    if chosen.reference:
        from .reference import report_reference

        return report_reference(tell=tell, one_in=chosen.sample, processes=chosen.jobs)
    from .jobs import frames
    from .report import judge, words
    from .run import run

    sheets = [sheet for sheet in SHEETS if sheet.name in (chosen.sheet or names)]
    outcome = run(frames(), sheets=sheets, one_in=chosen.sample, processes=chosen.jobs, tell=tell)
    verdict = judge(outcome, whole=chosen.sample == 1, sheets=[sheet.name for sheet in sheets])
    print("\n".join(words(verdict)))
    return 0 if verdict.passed else 1


if __name__ == "__main__":
    sys.exit(main())
