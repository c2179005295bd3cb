"""How fast `estimate` is: python -m tests.benchmarks.estimate [--jobs 1000000] [--workers N]

Prints a line for each length of list and each form of file. The clock depends
on what else the machine does; processor seconds do so less. The last column
sets them against the line before: 1.00 where time grows as the list does.
"""

from __future__ import annotations

import argparse
from pathlib import Path
from tempfile import TemporaryDirectory

from .homes import write_csv, write_parquet
from .measure import measured

FORMS = {".parquet": write_parquet, ".csv": write_csv}
SHORTEST = 10_000


def lengths(most: int) -> list[int]:
    """Ten thousand, ten times as many and so on, up to the most.

    >>> lengths(1_000_000), lengths(5_000)
    ([10000, 100000, 1000000], [5000])
    """
    found = [SHORTEST]
    while found[-1] * 10 <= most:
        found.append(found[-1] * 10)
    return found if found[-1] == most else [*(one for one in found if one < most), most]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--jobs", type=int, default=1_000_000)
    parser.add_argument("--workers", type=int, default=2)
    options = parser.parse_args()
    run(options.jobs, options.workers)


def run(most: int, workers: int) -> None:
    """Measure lists of up to so many jobs, and print a line for each."""
    print(
        f"{'form':8} {'jobs':>9} {'seconds':>8} {'proc s':>7} {'jobs/s':>8} {'us/job':>7} {'peak MB':>8} {'growth':>7}"
    )
    with TemporaryDirectory() as folder:
        for form, write in FORMS.items():
            before = None
            for count in lengths(most):
                jobs, out = Path(folder) / f"jobs{form}", Path(folder) / f"results{form}"
                write(jobs, count)
                found = measured(["estimate", str(jobs), "--out", str(out), "--workers", str(workers)])
                each = found.processor_s / count
                growth = f"{each / before:7.2f}" if before else " " * 7
                before = each
                print(
                    f"{form[1:]:8} {count:9} {found.seconds:8.1f} {found.processor_s:7.1f} "
                    f"{count / found.seconds:8.0f} {each * 1e6:7.1f} {found.peak_mb:8.0f} {growth}",
                    flush=True,
                )


if __name__ == "__main__":
    main()
