"""The calculated sheets in their order in the workbook."""

from __future__ import annotations

from .feeder_size import FEEDER
from .inputs import INPUTS
from .loads_methods import LOADS
from .model import Sheet
from .options import OPTIONS
from .raceway import RACEWAY
from .solar import SOLAR
from .sources import SOURCES
from .spaces import SPACES

SHEETS: tuple[Sheet, ...] = (INPUTS, SPACES, LOADS, FEEDER, RACEWAY, SOURCES, SOLAR, OPTIONS)
