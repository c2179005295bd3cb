"""The calculated sheets in their order in the workbook."""

from __future__ import annotations

from .feeder_size import FEEDER
from .inputs import INPUTS
from .loads_methods import LOADS
from .model import Sheet
from .raceway import RACEWAY
from .spaces import SPACES

SHEETS: tuple[Sheet, ...] = (INPUTS, SPACES, LOADS, FEEDER, RACEWAY)
