"""The calculated sheets in their order in the workbook."""

from __future__ import annotations

from .actuals import ACTUALS
from .checks import CHECKS
from .circuits import CIRCUIT_SHEET
from .feeder_size import FEEDER
from .inputs import INPUTS
from .labour import LABOUR
from .line_costs import LINE_COSTS
from .loads_methods import LOADS
from .model import Sheet
from .options import OPTIONS
from .price import PRICE
from .raceway import RACEWAY
from .readings import READINGS
from .solar import SOLAR
from .sources import SOURCES
from .spaces import SPACES
from .takeoff import TAKEOFF

SHEETS: tuple[Sheet, ...] = (
    INPUTS, SPACES, CIRCUIT_SHEET, LOADS, FEEDER, RACEWAY, SOURCES, SOLAR, OPTIONS,
    TAKEOFF, LINE_COSTS, LABOUR, PRICE, CHECKS, READINGS, ACTUALS,
)  # fmt: skip
