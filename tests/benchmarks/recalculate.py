"""Has one engine recalculate a workbook: python -m tests.benchmarks.recalculate ENGINE BOOK.xlsx"""

from __future__ import annotations

import sys

from workbook_builder.harness.engines import recalculate


def main() -> None:
    print(len(recalculate(sys.argv[2], engine=sys.argv[1])))


if __name__ == "__main__":
    main()
