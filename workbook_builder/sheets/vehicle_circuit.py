"""The own circuits of new equipment: of a vehicle unit its connection too, of a heat pump by its nameplate."""

from __future__ import annotations

from .feeder_load import RATINGS
from .model import Column

SIZES = "{ampacity.size}"


def _position(degrees: str) -> str:
    """Position of the smallest copper size for the circuit at one temperature of the terminals."""
    return (
        f"MAX(SUMPRODUCT((1-({{ampacity}}>=[ev_circuit_least_a])*({{ampacity}}>0))"
        f'*({{ampacity.header}}=("copper "&{degrees})))+1, [ev_small_index])'
    )


VEHICLE_CIRCUIT = (
    Column("ev_circuit_least_a", 'IF([new_ev_va]=0, "", [add_ev_a]*(1+{continuous_rate}))'),
    Column(
        "ev_breaker_a",
        f'IF([ev_circuit_least_a]="", "", IF([ev_circuit_least_a]>MAX({RATINGS}), "", '
        f'INDEX({RATINGS}, COUNTIF({RATINGS}, "<"&[ev_circuit_least_a])+1)))',
    ),
    Column(
        "ev_small_index",
        'IF([ev_breaker_a]="", "", COUNTIF({small_conductor.copper}, "<"&[ev_breaker_a])+1)',
    ),
    Column(
        "ev_size_raceway",
        f'IF([ev_breaker_a]="", "", IFERROR(INDEX({SIZES}, {_position("{terminal_marked}")}), ""))',
    ),
    Column("ev_cable_index", f'IF([ev_breaker_a]="", "", {_position("{terminal_unmarked}")})'),
    Column(
        "ev_size_cable",
        f'IF([ev_cable_index]="", "", IF([ev_cable_index]>MATCH({{nm_largest}}, {SIZES}, 0), "", '
        f"INDEX({SIZES}, [ev_cable_index])))",
    ),
    Column(
        "ev_connection",
        'IF([new_ev_va]=0, "", IF([add_ev_connection]<>"", [add_ev_connection], '
        'IF([ev_circuit_least_a]<={receptacle_largest}, "receptacle", "hardwired")))',
    ),
)

NO_PROTECTION = 'OR([add_heat_pump_kva]=0, [hp_mocp_a]="")'
NO_AMPACITY = 'IF(OR([add_heat_pump_kva]=0, [hp_mca_a]=""), 0, [hp_mca_a])=0'


def _by_nameplate(degrees: str) -> str:
    """Position of the smallest copper size for the ampacity of the nameplate at one temperature."""
    return (
        f'IF({NO_AMPACITY}, "", SUMPRODUCT(({{ampacity}}<[hp_mca_a])'
        f'*({{ampacity.header}}=("copper "&{degrees})))+1)'
    )


HEAT_PUMP_CIRCUIT = (
    Column(
        "hp_breaker_a",
        f'IF({NO_PROTECTION}, "", IF([hp_mocp_a]<MIN({RATINGS}), "", '
        f"INDEX({RATINGS}, MATCH([hp_mocp_a], {RATINGS}, 1))))",
    ),
    Column("hp_raceway_index", _by_nameplate("{terminal_marked}")),
    Column(
        "hp_size_raceway",
        f'IF([hp_raceway_index]="", "", IFERROR(INDEX({SIZES}, [hp_raceway_index]), ""))',
    ),
    Column("hp_cable_index", _by_nameplate("{terminal_unmarked}")),
    Column(
        "hp_size_cable",
        f'IF([hp_cable_index]="", "", IF([hp_cable_index]>MATCH({{nm_largest}}, {SIZES}, 0), "", '
        f"INDEX({SIZES}, [hp_cable_index])))",
    ),
)
"""The circuit of a new heat pump: breaker and conductors by its nameplate."""
