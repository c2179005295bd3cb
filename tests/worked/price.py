"""A whole job worked out in decimal arithmetic from its quantities: lines, hours, difficulty, price and its range.

Nothing of the reference or of the formulas is used. What is worked is what the
estimator would work with pencil and paper: quantity x price, hours x quantity x
difficulty, three-point means and variances, overhead, contingency, profit, tax.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import ROUND_CEILING, Decimal

from .books import CENT, SIX, TWELVE, Line, Task, items, rounded, settings, shipped, tasks

PACKAGES = ("common", "existing", "added", "control", "service")
BY_SIZE = {
    "common": (), "existing": (), "control": (),
    "added": ("feeder_breakers", "added_panels", "phase_ft", "neutral_ft", "ground_ft", "cable_ft",
              "raceway_lengths", "riser_lengths", "moved_wire_ft", "electrode_ft"),
    "service": ("main_panels", "service_conductor_ft", "service_electrode_ft"),
}  # fmt: skip
"""Quantities whose price depends on a size."""
OF_THE_METAL = {"phase_ft", "neutral_ft", "ground_ft", "cable_ft", "service_conductor_ft"}
"""Wire of the feeder's or service's metal; the other wire by size is copper."""
COPPER = {"moved_wire_ft", "electrode_ft", "service_electrode_ft"}
ENTERED = {"extra_materials": "extra_material_usd"}
"""Quantities taken from what is typed."""
TOUCHED = {
    "panel": ("age", "condition"),
    "wall": ("age", "wall"),
    "run": ("access",),
    "route": ("age", "wall", "access"),
}
"""Factors of difficulty that each kind of work takes."""
HUNDRED = Decimal(100)

Job = Mapping[str, object]
Worked = dict[str, Decimal]


def worked(job: Job) -> Worked:
    """Every column that is worked here, for a job of quantities, sizes and words as they stand in its row."""
    found: Worked = {}
    found |= dict(_work_quantities(job))
    found |= _material(job)
    found |= _difficulty(job)
    found |= _hours(job, found)
    found |= _rates(job)
    way = _way(job)
    if way is not None:
        found |= _hours_of_way(way, found)
        if not is_blank(job["price_likely_usd"]):
            found |= _likely(job, way, found)
            found |= _mean(job, way, found)
    return found


def number(job: Job, name: str) -> Decimal:
    """A number of the row; a blank is none."""
    return Decimal(0) if is_blank(job[name]) else Decimal(repr(float(job[name])))


def is_blank(value: object) -> bool:
    return str(value) in ("", "None", "nan")


def _work_quantities(job: Job) -> Iterator[tuple[str, Decimal]]:
    yield "work_clear_pair", Decimal(number(job, "circuits_to_move") > 0)
    large = number(job, "added_spaces_chosen") >= 30 or number(job, "added_bus_chosen_a") >= 200
    yield "work_mount_extra", Decimal(large)
    nipple = job["wiring"] in _RACEWAYS and number(job, "raceway_in") <= 24
    yield "work_nipples", number(job, "moved_nipples") + nipple
    fittings = ("elbows_small", "elbows_large", "bodies_small", "bodies_large")
    yield "work_fittings", sum((number(job, name) for name in fittings), Decimal(0))
    yield "work_circuit_run", number(job, "ev_runs_ft") + number(job, "hp_run_ft")
    yield "work_circuit_end", number(job, "vehicle_sets") + number(job, "heat_pump_sets")
    yield "work_extra", number(job, "extra_hours")
    yield "work_swap_pairs", (number(job, "two_circuit_breakers") / 2).to_integral_value(ROUND_CEILING)


_RACEWAYS = {"PVC 40", "PVC 80", "EMT", "RMC", "IMC", "FMC", "LFNC"}


def _item(job: Job, name: str) -> str:
    """The line of the price book of a quantity by size."""
    metal = job["material"]
    return {
        "feeder_breakers": f"feeder breaker|{_whole(job, 'feeder_breaker_a')}",
        "added_panels": f"panel {'outdoor' if job['room'] == 'outdoors' else 'indoor'}|{_whole(job, 'added_bus_chosen_a')}",
        "phase_ft": f"conductor {metal}|{job['feeder_size']}",
        "neutral_ft": f"conductor {metal}|{job['neutral_size']}",
        "ground_ft": f"conductor {metal}|{job['egc_size']}",
        "cable_ft": f"{job['wiring']} {metal}|{job['feeder_size']}",
        "raceway_lengths": f"{job['wiring']}|{job['raceway_size']}",
        "riser_lengths": f"PVC 80|{job['raceway_size']}",
        "moved_wire_ft": f"conductor copper|{job['moved_wire']}",
        "electrode_ft": f"bare copper|{job['gec_size']}",
        "main_panels": f"main panel|{_whole(job, 'new_service_a')}",
        "service_conductor_ft": f"conductor {metal}|{job['service_conductor_size']}",
        "service_electrode_ft": f"bare copper|{job['service_electrode_size']}",
    }[name]


def _whole(job: Job, name: str) -> str:
    value = number(job, name)
    return f"{value.normalize():f}" if value else ""


def _material(job: Job) -> Worked:
    """Cost of every line, likely and mean, and the sums of each package; the permit is not material."""
    copper = shipped("factors")["copper"]
    found: Worked = {"copper_likely": copper.likely, "copper_mean": rounded(copper.mean, SIX)}
    for package in PACKAGES:
        likely = other = other_var = metal = metal_var = Decimal(0)
        for task in items():
            if task.package != package:
                continue
            many = number(job, ENTERED.get(task.quantity, task.quantity))
            cost = rounded(many * task.line.likely, CENT)
            found[f"{task.quantity}_usd"] = cost
            if task.quantity != "permits":
                likely += cost
                other += many * task.line.mean
                other_var += many**2 * task.line.variance
        for name in BY_SIZE[package]:
            many, line = number(job, name), shipped("price_book").get(_item(job, name))
            if line is None or not many:
                line = Line(Decimal(0), Decimal(0), Decimal(0))
            is_copper = name in COPPER or (name in OF_THE_METAL and job["material"] == "copper")
            cost = rounded(many * line.likely * (copper.likely if is_copper else 1), CENT)
            found[f"{name}_usd"] = cost
            likely += cost
            if is_copper:
                metal += many * line.mean
                metal_var += many**2 * line.variance
            else:
                other += many * line.mean
                other_var += many**2 * line.variance
        found |= {
            f"{package}_material_usd": likely,
            f"{package}_other_mean_usd": other,
            f"{package}_other_var": other_var,
        }
        if BY_SIZE[package]:
            found |= {f"{package}_copper_mean_usd": metal, f"{package}_copper_var": metal_var}
    return found


def _difficulty(job: Job) -> Worked:
    """The factors of a job and of each kind of work, none over the cap."""
    found: Worked = {}
    for name, line in _factors(job).items():
        found |= {
            f"{name}_place": Decimal(line.place),
            f"{name}_likely": line.likely,
            f"{name}_mean": rounded(line.mean, SIX),
        }
        found[f"{name}_rel"] = line.variance / line.mean**2
    for kind, names in TOUCHED.items():
        for what in ("likely", "mean"):
            product = Decimal(1)
            for name in names:
                product *= found[f"{name}_{what}"]
            found[f"{kind}_factor_{what}"] = rounded(min(product, settings()["difficulty_cap"]), SIX)
    return found


def _factors(job: Job) -> dict[str, Line]:
    book = shipped("factors")
    condition = "crowded" if job["panel_condition"] == "crowded" else "sound"
    return {
        "age": book[f"age {job['house_age']}"],
        "condition": book[f"condition {condition}"],
        "wall": book[f"wall {job['wall']}"],
        "access": book[f"access {job['access']}"],
    }


def _hours(job: Job, found: Worked) -> Worked:
    """Hours before difficulty of each package and kind, and the hours of the package with it."""
    sums: Worked = {}
    for task in tasks():
        many, line, name = _many(job, task, found), task.line, f"{task.package}_{task.difficulty}"
        for what, value in (
            ("likely_h", many * line.likely),
            ("mean_h", many * line.mean),
            ("var_h", many**2 * line.variance),
        ):
            sums[f"{name}_{what}"] = sums.get(f"{name}_{what}", Decimal(0)) + value
    for package in PACKAGES:
        for what in ("likely", "mean"):
            sums[f"{package}_hours_{what}"] = sum(
                (
                    sums.get(f"{package}_{kind}_{what}_h", Decimal(0))
                    * found.get(f"{kind}_factor_{what}", Decimal(1))
                    for kind in ("none", *TOUCHED)
                ),
                Decimal(0),
            )
    return sums


def _many(job: Job, task: Task, found: Worked) -> Decimal:
    """The quantity as worked here, where it is."""
    return found[task.quantity] if task.quantity in found else number(job, task.quantity)


def _rates(job: Job) -> Worked:
    """Cost of an hour in the market of the job, and what is put on direct cost."""
    wage, use = shipped("market")[str(job["market"])], settings()
    burden = use["wage_burden"] / use["billable_share"]
    contingency = use[f"contingency_{job['house_age']}"]
    permit, permits = shipped("price_book")["permit"], number(job, "permits")
    scale = (1 + use["consumables_percent"] / HUNDRED) * (1 + use["tax_percent"] / HUNDRED)
    return {
        "wage_place": Decimal(wage.place),
        "rate_likely_usd": rounded(wage.likely * burden, SIX),
        "rate_mean_usd": rounded(wage.mean * burden, SIX),
        "rate_var": rounded(wage.variance * burden**2, SIX),
        "contingency_used": contingency,
        "material_scale": rounded(scale, SIX),
        "price_scale": (1 + use["overhead_percent"] / HUNDRED) * (1 + contingency / HUNDRED)
        / (1 - use["profit_percent"] / HUNDRED),
        "permit_mean_usd": permits * permit.mean,
        "permit_var": permits**2 * permit.variance,
    }  # fmt: skip


def _way(job: Job) -> tuple[str, ...] | None:
    """The packages of the way chosen; None where there is none."""
    beside = "existing" if job["control_in_main"] == "yes" else "added"
    more = ("added",) if job["panel_place"] == "other building" else ()
    return {
        "existing spaces": ("common", "existing"),
        "added panel": ("common", "added"),
        "load control": ("common", "control", beside),
        "larger service": ("common", "service", *more),
    }.get(str(job["option_chosen"]))


def _hours_of_way(way: tuple[str, ...], found: Worked) -> Worked:
    """Hours and variances of the packages of the way; the shared factors to first order."""
    new: Worked = {
        "labour_hours": sum((found[f"{one}_hours_likely"] for one in way), Decimal(0)),
        "labour_mean_h": sum((found[f"{one}_hours_mean"] for one in way), Decimal(0)),
    }
    for kind in ("none", *TOUCHED):
        factor = found.get(f"{kind}_factor_mean", Decimal(1))
        hours = sum((found.get(f"{one}_{kind}_mean_h", Decimal(0)) for one in way), Decimal(0))
        spread = sum((found.get(f"{one}_{kind}_var_h", Decimal(0)) for one in way), Decimal(0))
        new[f"lines_{kind}_var_h"] = factor**2 * spread
        if kind != "none":
            new[f"{kind}_touched_h"] = factor * hours
    shared = Decimal(0)
    for factor in ("age", "condition", "wall", "access"):
        touched = sum(
            (new[f"{kind}_touched_h"] for kind, names in TOUCHED.items() if factor in names), Decimal(0)
        )
        shared += rounded(found[f"{factor}_rel"], TWELVE) * touched**2
    new["shared_var_h"] = shared
    new["labour_var_h"] = shared + sum(
        (new[f"lines_{kind}_var_h"] for kind in ("none", *TOUCHED)), Decimal(0)
    )
    return new


def _likely(job: Job, way: tuple[str, ...], found: Worked) -> Worked:
    """The likely lines of the quotation, each rounded to cents."""
    material = sum((found[f"{one}_material_usd"] for one in way), Decimal(0))
    labour = rounded(found["labour_hours"] * found["rate_likely_usd"], CENT)
    lines = _lines(material, labour, found["permits_usd"], found["contingency_used"])
    use = settings()
    profit = use["profit_percent"] / (HUNDRED - use["profit_percent"])
    sums = lines["direct"] + lines["overhead"] + lines["contingency"]
    return {"material_usd": material, **{f"likely_{name}_usd": value for name, value in lines.items()},
            "likely_profit_usd": rounded(sums * profit, CENT)}  # fmt: skip


def _lines(material: Decimal, labour: Decimal, permit: Decimal, contingency: Decimal) -> Worked:
    use = settings()
    consumables = rounded(material * use["consumables_percent"] / HUNDRED, CENT)
    tax = rounded((material + consumables) * use["tax_percent"] / HUNDRED, CENT)
    direct = material + consumables + tax + labour + permit
    overhead = rounded(direct * use["overhead_percent"] / HUNDRED, CENT)
    return {
        "consumables": consumables, "tax": tax, "labour": labour, "permit": permit, "direct": direct,
        "overhead": overhead, "contingency": rounded((direct + overhead) * contingency / HUNDRED, CENT),
    }  # fmt: skip


def _mean(job: Job, way: tuple[str, ...], found: Worked) -> Worked:
    """The price at the means, its lines, and its range: variances added, logarithmic normal."""
    copper, use = shipped("factors")["copper"], settings()
    metal = sum((found.get(f"{one}_copper_mean_usd", Decimal(0)) for one in way), Decimal(0))
    metal_var = sum((found.get(f"{one}_copper_var", Decimal(0)) for one in way), Decimal(0))
    other = sum((found[f"{one}_other_mean_usd"] for one in way), Decimal(0))
    other_var = sum((found[f"{one}_other_var"] for one in way), Decimal(0))
    bought = metal * copper.mean + other
    hours, rate, rate_var = found["labour_mean_h"], found["rate_mean_usd"], found["rate_var"]
    direct = bought * found["material_scale"] + hours * rate + found["permit_mean_usd"]
    price = rounded(direct * found["price_scale"], CENT)
    lines = _lines(rounded(bought, CENT), rounded(hours * rate, CENT), rounded(found["permit_mean_usd"], CENT),
                   found["contingency_used"])  # fmt: skip
    shared = metal_var * (copper.mean**2 + copper.variance) + metal**2 * copper.variance
    material_var = (shared + other_var) * found["material_scale"] ** 2
    labour_var = found["labour_var_h"] * (rate**2 + rate_var) + hours**2 * rate_var
    spread = (material_var + labour_var + found["permit_var"]).sqrt() / direct
    sigma = (1 + spread**2).ln().sqrt()
    tail = use["tail_z"] * sigma
    return {
        "price_likely_usd": price, "direct_mean_usd": direct, "price_cv": spread, "price_sigma": sigma,
        "price_low_usd": rounded(price * (-(sigma**2) / 2 - tail).exp(), CENT),
        "price_high_usd": rounded(price * (-(sigma**2) / 2 + tail).exp(), CENT),
        **{f"mean_{name}_usd": value for name, value in lines.items()},
        "mean_profit_usd": price - lines["direct"] - lines["overhead"] - lines["contingency"],
    }  # fmt: skip
