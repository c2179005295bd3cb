"""How large a file that comes from elsewhere may be, so that reading it ends soon and in little memory.

What is needed to look at a workbook grows with its elements; so the allowance grows
with the rows that people type in, and a small workbook that unpacks to much is refused.
"""

from __future__ import annotations

MOST_JOBS = 12_000
MOST_CIRCUITS = 6_000
"""Rows of a grid in a workbook: as many as can be built, and what people insert."""

LARGEST_FILE = 600_000_000
"""Bytes of the file as it lies on disk; a job takes 13,500, a circuit 1,300."""
LARGEST_ZIP_DIRECTORY = 1_000_000
"""Bytes of the list of parts at the end of the file."""
MOST_PARTS = 1_000
"""Parts of a workbook; one that was built has 29."""
LONGEST_NAME = 250

LARGEST_RATIO = 200
"""How many times larger a part may be than what is packed of it ..."""
RATIO_FROM = 1_000_000
"""... where it has so many bytes; what programs write packs up to 90 times."""

SPARE_BYTES = 40_000_000
"""Bytes of all parts together, unpacked, ..."""
BYTES_A_ROW = {"Jobs": 500_000, "Circuits": 50_000}
"""... and so many more for each row of the sheets that people type in: three times what is built."""
LARGEST_PART = 1_200_000_000
"""Bytes of one part, unpacked, whatever the rows."""
LARGEST_INPUTS = 100_000_000
"""Bytes of a sheet that people type in; a row of jobs takes up to 6,500."""
LARGEST_TEXTS = 40_000_000
"""Bytes of the part that holds the texts of all sheets."""
LARGEST_DIRECTORY = 2_000_000
"""Bytes of a part that only says where others are."""

SPARE_ELEMENTS = 600_000
"""Elements of XML in all parts together, ..."""
ELEMENTS_A_ROW = {"Jobs": 8_000, "Circuits": 1_000}
"""... so many more for each row, where 2,500 and 200 are built, ..."""
ELEMENTS_OF_INPUTS = {"Jobs": 2_200_000, "Circuits": 500_000}
"""... and so many for these sheets themselves, of which the cells take one or two each."""
MOST_TEXTS = 500_000
DEEPEST = 100
"""Elements inside each other; sheets have 8, drawings some 30."""
MOST_NAMES = 5_000
"""Different names of elements, attributes and prefixes in a part; sheets have 120. Parsers keep them all."""
LARGEST_TOKEN = 1_000_000
"""Bytes of one tag with its attributes, one comment, and so on."""
LARGEST_CELL = 400_000
"""Bytes of a cell; 32,767 characters, each written as seven, take 230,000."""
LONGEST_FORMULA = 8_192

LAST_ROW, LAST_COLUMN = 1_048_576, 16_384
"""The end of a sheet. Blank cells with a format may stand anywhere in it."""
LAST_FILLED_ROW, LAST_FILLED_COLUMN = 100_000, 1_000
MOST_ROWS = 100_000
"""Rows of a sheet that are written down, blank ones with a format too."""
LARGEST_REACH = 30_000_000
"""Rows times columns up to the last filled cell, of all sheets together."""
LARGEST_SPREAD = 200_000
"""Cells over which one formula is spread, and cells that are merged or linked as one."""
MOST_SPREAD_FORMULAS = 1_000
"""Array formulas and tables of operations; nothing that is built has one."""
