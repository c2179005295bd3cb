"""Loads, feeder, ways and takeoff of a job worked out anew from what stands before them in its row.

Tables and rules of the code are those of the second reading. Nothing of the
reference or of the formulas is used.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from decimal import ROUND_FLOOR, Decimal

from .books import SIX, rounded, settings
from .price import is_blank, number
from .tables import column, parameter, place_of_first, rows, sizes

Job = Mapping[str, object]
Worked = dict[str, object]
BLANK = ""
SERVICES = (60, 100, 125, 150, 200, 225, 300, 320, 400)
"""Services that a one-family dwelling is given."""
WAYS = {
    "existing spaces": "existing_spaces",
    "added panel": "added_panel",
    "load control": "load_control",
    "larger service": "larger_service",
}


def worked_design(job: Job) -> Worked:
    """Every column that is worked here, of a job that is ready."""
    return {
        **dict(_cooking(job)),
        **_loads(job),
        **_feeder(job),
        **_impedance(job),
        **_heat_pump(job),
        **_jam(job),
        **_ways(job),
        **_takeoff(job),
        **_new_circuits(job),
    }


def _rule(job: Job, name: str) -> Decimal:
    return parameter(name, job["code_edition"])


def _cooking(job: Job) -> Iterator[tuple[str, object]]:
    """Table 220.55: column C raised by 5 percent for each kW over 12, of the average; columns A and B by percent."""
    for when in ("now_", ""):
        if number(job, f"{when}cooking_units") > len(rows("cooking_demand")):
            continue  # a STOP; the table goes on for apartment houses
        yield f"{when}cooking_c_kw", _column_c(job, f"{when}cooking_units", f"{when}cooking_raised_kw")
        over = _column_c(job, f"{when}cooking_over_units", f"{when}cooking_over_raised_kw")
        yield f"{when}cooking_over_kw", over
        total = over
        for part in ("a", "b"):
            units = str(int(number(job, f"{when}cooking_{part}_units")))
            if units != "0":
                percent = column("cooking_demand", "units", f"column_{part}")[units]
                total += number(job, f"{when}cooking_{part}_kw") * percent / 100
        yield f"{when}cooking_ab_kw", total


def _column_c(job: Job, units: str, rating: str) -> Decimal:
    many = int(number(job, units))
    if not many:
        return Decimal(0)
    average = number(job, rating) / many
    steps = max(Decimal(0), rounded(average - 12, SIX) + Decimal("0.5")).to_integral_value(ROUND_FLOOR)
    return column("cooking_demand", "units", "column_c")[str(many)] * (1 + Decimal("0.05") * steps)


def _tiers(load: Decimal, first: Decimal, rate: Decimal) -> Decimal:
    """The first part whole, the rest at a rate."""
    return min(load, first) + max(load - first, Decimal(0)) * rate


def _loads(job: Job) -> Worked:
    """Tiers of 220.82 and 220.83, the seasonal load of 220.87."""
    first, rate = _rule(job, "existing_first"), _rule(job, "existing_rate")
    pool, hvac = number(job, "now_existing_pool_va"), number(job, "now_hvac_va")
    optional = _tiers(number(job, "general_va"), _rule(job, "optional_first"), _rule(job, "optional_rate"))
    season = Decimal(0)
    if number(job, "metered_days") < 365 and job["metered_covers_season"] != "yes":
        given = job["metered_season_kva"]
        season = number(job, "now_hvac_va") if is_blank(given) else number(job, "metered_season_kva") * 1000
    return {
        "appliance_minimum_va": _rule(job, "appliance_minimum"),
        "now_heat_units": number(job, "heat_zones"),
        "now_existing_beside_va": _tiers(pool, first, rate) + hvac,
        "now_existing_inside_va": _tiers(pool + hvac, first, rate),
        "metered_season_va": season,
        "optional_no_ev_va": optional + number(job, "optional_hvac_va"),
        "existing_no_ev_va": _tiers(number(job, "general_va"), first, rate) + number(job, "hvac_va"),
    }


def _feeder(job: Job) -> Worked:
    """Smallest sizes that pass each rule, in the second reading of Table 310.16."""
    metal, none = job["material"], len(sizes()) + 1
    hot = f"{metal} {int(number(job, 'terminal_c'))}"
    cool = f"{metal} {int(number(job, 'insulation_c'))}"
    correction = number(job, "correction")
    plain, below, floor = (
        number(job, name) for name in ("feeder_plain_a", "breaker_below_a", "overcurrent_floor_a")
    )
    found: Worked = dict.fromkeys(("size_by_correction", "size_oc_corrected"), none)
    if correction:
        need, over, least = (rounded(one / correction, SIX) for one in (plain, below, floor))
        found["size_by_correction"] = place_of_first("ampacity", cool, lambda amperes: amperes >= need)
        found["size_oc_corrected"] = place_of_first(
            "ampacity", cool, lambda amperes: amperes > over and amperes >= least
        )
    found["size_oc_terminals"] = place_of_first(
        "ampacity", hot, lambda amperes: amperes > below and amperes >= floor
    )
    breaker = job["feeder_breaker_a"]
    if is_blank(breaker):
        found |= {"size_oc_corrected": none, "size_oc_terminals": none, "size_by_small_conductor": 1}
        return found
    limits = column("small_conductor", "size", str(metal))
    small = [row["size"] for row in rows("small_conductor")]
    under = [size for size in small if limits.get(size, Decimal(0)) < number(job, "feeder_breaker_a")]
    return found | {"size_by_small_conductor": len(under) + 1}


def _impedance(job: Job) -> Worked:
    """Z = R cos a + X sin a at power factor 0.85; on a wye the neutral carries the other leg's current 120 degrees off."""
    key, angle = str(job["impedance_key"]), math.acos(0.85)
    found: Worked = {}
    for name, size in (("hot", job["feeder_size"]), ("neutral", job["neutral_size"])):
        turns = {"a": math.radians(120), "b": -math.radians(120)} if number(job, "line_v") == 208 else {}
        if is_blank(size):
            found |= {f"{name}_{what}": BLANK if turns or what[:5] != "cross" else 0 for what in _WHAT[name]}
            continue
        ohms, reactance = (
            float(column(table, "size", key)[str(size)]) for table in ("ac_resistance", "ac_reactance")
        )
        found |= {
            f"{name}_{what}": value
            for what, value in (
                ("resistance", ohms),
                ("reactance", reactance),
                ("impedance", _along(ohms, reactance, angle)),
                ("cross_a", _along(ohms, reactance, angle + turns["a"]) if turns else 0.0),
                ("cross_b", _along(ohms, reactance, angle + turns["b"]) if turns else 0.0),
            )
            if what in _WHAT[name]
        }
    return found


_WHAT: Mapping[str, Sequence[str]] = {
    "hot": ("impedance",),
    "neutral": ("resistance", "reactance", "impedance", "cross_a", "cross_b"),
}


def _along(ohms: float, reactance: float, angle: float) -> float:
    return ohms * math.cos(angle) + reactance * math.sin(angle)


def _heat_pump(job: Job) -> Worked:
    """The nameplate of a new unit: the rating at or under its most, the copper that carries its least (440.35)."""
    most, least, none = number(job, "hp_mocp_a"), number(job, "hp_mca_a"), len(sizes()) + 1
    planned = number(job, "add_heat_pump_kva") > 0
    ratings = [Decimal(row["rating_a"]) for row in rows("standard_rating")]
    found: Worked = {"hp_breaker_a": max((one for one in ratings if planned and one <= most), default=BLANK)}
    largest = sizes().index(str(_rule(job, "nm_largest"))) + 1
    for name, column_c, limit in (("raceway", 75, none - 1), ("cable", 60, largest)):
        found[f"hp_{name}_index"] = found[f"hp_size_{name}"] = BLANK
        if planned and least:
            place = place_of_first("ampacity", f"copper {column_c}", lambda amperes: amperes >= least)
            found[f"hp_{name}_index"] = place
            found[f"hp_size_{name}"] = sizes()[place - 1] if place <= limit else BLANK
    return found


JAMS = "At this ratio three conductors alone may jam in bends; beside a fourth it is rare. Lubricate."


def _jam(job: Job) -> Worked:
    """Bore over conductor where three are alike and the raceway is no nipple; from 2.8 to 3.2 they may wedge."""
    raceway, size = str(job["raceway_bore"]), str(job["feeder_size"])
    found: Worked = dict.fromkeys(("conductor_od_in", "jam_ratio", "jam_advice"), BLANK)
    if is_blank(raceway) or is_blank(size):
        return found
    wide = found["conductor_od_in"] = column("conductor_diameter", "size", str(job["insulation"]))[size]
    if is_blank(job["raceway_size"]) or number(job, "raceway_in") <= 24 or str(job["neutral_size"]) != size:
        return found
    bore = column("raceway_diameter", "trade_size", raceway)[str(job["raceway_size"])]
    ratio = found["jam_ratio"] = rounded(bore / wide, SIX)
    found["jam_advice"] = JAMS if Decimal("2.8") <= ratio <= Decimal("3.2") else BLANK
    return found


def _ways(job: Job) -> Worked:
    """Spare amperes, the next service that is sold, what the way chosen says."""
    volts = number(job, "line_v")
    load = number(
        job, "standard_load_va" if job["load_method"] == "dwelling standard" else "optional_load_va"
    )
    wanted = Decimal(0) if is_blank(job["new_service_wanted_a"]) else number(job, "new_service_wanted_a")
    least = max(rounded(load / volts, SIX), number(job, "new_service_source_a"), wanted, Decimal(100))
    fits = [one > number(job, "service_a") and one >= least for one in SERVICES]
    spare = number(job, "service_a") - number(job, "total_load_a")
    set_point = job["ev_set_point_a"]
    way = WAYS.get(str(job["option_chosen"]))
    stop = job["panel_place"] == "other building" and not is_blank(job["added_design_stop"])
    units = number(job, "ev_count") + number(job, "add_ev_count")
    return {
        "two_pole_spaces_new": number(job, "new_spaces") - number(job, "add_1pole"),
        "existing_spaces_spare_a": spare,
        "added_panel_spare_a": spare,
        "load_control_spare_a": BLANK
        if is_blank(job["controlled_load_a"])
        else number(job, "service_a") - number(job, "controlled_load_a"),
        "ev_units": units if number(job, "new_ev_va") > 0 else 0,
        "set_point_whole_a": BLANK
        if is_blank(set_point)
        else number(job, "ev_set_point_a").to_integral_value(ROUND_FLOOR),
        "larger_load_va": load,
        "larger_load_a": load / volts,
        "new_service_index": fits.index(True) + 1 if True in fits else len(SERVICES) + 1,
        "larger_service_spare_a": BLANK
        if is_blank(job["new_service_a"])
        else number(job, "new_service_a") - load / volts,
        "larger_place_stop": f"No: {job['added_design_stop']}." if stop else BLANK,
        "chosen_feasible": job[f"{way}_feasible"] if way else BLANK,
        "chosen_reason": job[f"{way}_reason"] if way else BLANK,
    }


def _takeoff(job: Job) -> Worked:
    building = job["panel_place"] == "other building"
    size = job["service_conductor_size"]
    mils = None if is_blank(size) else column("bare_conductor", "size", "circular_mils")[str(size)]
    return {
        "is_finished": int(job["wall"] in ("drywall", "plaster")),
        "expansion_fittings": (2 if building else 1) if job["expansion_fitting"] == "yes" else 0,
        "disconnects_large": int(building and number(job, "feeder_breaker_a") > 100),
        "service_mils": BLANK if mils is None else mils,
        "service_electrode_table": BLANK if mils is None else _electrode(mils, str(job["material"])),
    }


def _new_circuits(job: Job) -> Worked:
    """Circuits by the foot in three classes of breaker, to 30 A, to 60 A and over; where nobody knows, to 60 A."""
    ratings = [Decimal(row["rating_a"]) for row in rows("standard_rating")]
    small, large = _rule(job, "circuit_small"), _rule(job, "branch_large")
    output, most = number(job, "add_ev_a"), number(job, "hp_mocp_a")
    units = number(job, "add_ev_count") if output else Decimal(0)
    pumps = Decimal(number(job, "add_heat_pump_kva") > 0)
    runs = {"ev": units * number(job, "add_ev_run_ft"), "hp": pumps * number(job, "add_heat_pump_run_ft")}
    under = max((one for one in ratings if one <= most), default=large)
    breakers = {
        "ev": min(one for one in ratings if one >= output * Decimal("1.25")) if units else large,
        "hp": under if pumps else large,
    }
    feet = dict.fromkeys(("small", "medium", "large"), Decimal(0))
    for which, run in runs.items():
        size = "small" if breakers[which] <= small else "medium" if breakers[which] <= large else "large"
        feet[size] += run * (100 + settings()["waste_percent"]) / 100
    ends = {"vehicle_sets": units if runs["ev"] else 0, "heat_pump_sets": pumps if runs["hp"] else 0}
    return {
        **{f"circuit_{size}_ft": value for size, value in feet.items()}, **ends,
        "ev_runs_ft": runs["ev"], "hp_run_ft": runs["hp"],
        "ev_priced_a": breakers["ev"], "hp_priced_a": breakers["hp"],
        "work_circuit_run": sum(runs.values()), "work_circuit_end": sum(ends.values()),
    }  # fmt: skip


def _electrode(mils: Decimal, metal: str) -> str:
    """Table 250.66 in the second reading: the last row that begins under the conductor."""
    return [row["copper"] for row in rows("electrode_conductor") if Decimal(row[f"{metal} over"]) < mils][-1]


def worked_lists(jobs: Sequence[Job]) -> Iterator[tuple[Job, Worked]]:
    """Sums of booked and estimated hours of the houses of one age; whether list and counts of moves differ."""
    for job in jobs:
        alike = [one for one in jobs if one["house_age"] == job["house_age"]]
        counts = {one: number(job, one) for one in ("move_1pole", "move_2pole")}
        listed = {one: number(job, f"listed_{one.removeprefix('move_')}") for one in counts}
        differs = number(job, "listed_moves") > 0 and sum(counts.values()) > 0 and counts != listed
        yield (
            job,
            {
                "band_booked_h": sum((number(one, "booked_hours") for one in alike), Decimal(0)),
                "band_counted_h": sum((number(one, "counted_hours") for one in alike), Decimal(0)),
                "list_differs": "yes" if differs else "no",
            },
        )


def worked_circuit(circuit: Job, extended_ft: Decimal) -> Worked:
    """Of a circuit of the list: the limit of its small conductor (240.4(D)), 6 ft of extension, its place and neutral.

    extended_ft: by how much its job extends moved circuits, 0 where nobody says.
    """
    small = [row["size"] for row in rows("small_conductor")]
    wire = str(circuit["wire"])
    metal = "aluminum" if circuit["condition"] == "aluminum" else "copper"
    limit = column("small_conductor", "size", metal).get(wire, BLANK)
    return {
        "wire_row": small.index(wire) + 1 if wire in small else 0,
        "wire_limit_a": limit,
        "arc_fault_extended": "yes" if circuit["action"] == "move" and extended_ft > 6 else "no",
        "neutral_leg_state": _neutral(circuit),
    }


def _neutral(circuit: Job) -> str:
    """210.4: two circuits, on two legs, may share a neutral."""
    members, placed, other = (number(circuit, f"group_{name}") for name in ("members", "placed", "other_leg"))
    if number(circuit, "poles") == 2 or not members:
        return "OK"
    if members > 2:
        return "STOP: more than two circuits share a neutral"
    if placed == 2 and not other:
        return "STOP: circuits that share a neutral stand on one leg"
    return "CHECK: the other circuit is not listed" if members == 1 else "OK"
