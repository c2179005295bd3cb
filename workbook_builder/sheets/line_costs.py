"""What each line of material costs, by the price book, and the sums of each package."""

from __future__ import annotations

from ..code_tables.load import load
from .model import Column, Sheet
from .package_lines import cents, fixed_lines, likely_of, sized_lines, span, times, unless_blank

COPPER_PLACE = 'MATCH("copper", {factors.factor}, 0)'
ALWAYS_COPPER = ("moved_wire_ft", "electrode_ft", "service_electrode_ft")
BY_METAL = ("phase_ft", "neutral_ft", "ground_ft", "cable_ft", "service_conductor_ft")
"""Lines by size that are copper where material is; every other one never is."""

CONDUCTOR = '"conductor "&[material]&"|"&'
PANEL = 'IF([room]="outdoors", "panel outdoor|", "panel indoor|")&'
ITEMS = {
    "feeder_breakers": ("feeder_breaker_a", '"feeder breaker|"&'),
    "added_panels": ("added_bus_chosen_a", PANEL),
    "phase_ft": ("feeder_size", CONDUCTOR),
    "neutral_ft": ("neutral_size", CONDUCTOR),
    "ground_ft": ("egc_size", CONDUCTOR),
    "cable_ft": ("feeder_size", '[wiring]&" "&[material]&"|"&'),
    "raceway_lengths": ("raceway_size", '[wiring]&"|"&'),
    "riser_lengths": ("raceway_size", '"PVC 80|"&'),
    "moved_wire_ft": ("moved_wire", '"conductor copper|"&'),
    "electrode_ft": ("gec_size", '"bare copper|"&'),
    "main_panels": ("new_service_a", '"main panel|"&'),
    "service_conductor_ft": ("service_conductor_size", CONDUCTOR),
    "service_electrode_ft": ("service_electrode_size", '"bare copper|"&'),
}
"""For each line by size: the size, and what stands before it in the name of its line."""

NEEDED = {
    "added": ("feeder_breaker_a", "feeder_size", "added_bus_chosen_a"),
    "service": ("new_service_a", "service_conductor_size"),
}
"""Without these a package has no price."""


def item(name: str) -> str:
    """Name of the line of the price book; blank without a size."""
    size, front = ITEMS[name]
    joined = f"{front}[{size}]"
    return joined if name == "moved_wire_ft" else unless_blank(size, joined)


def copper(name: str) -> str:
    """The factor of copper on a likely cost."""
    if name in ALWAYS_COPPER:
        return "*[copper_likely]"
    return '*IF([material]="copper", [copper_likely], 1)' if name in BY_METAL else ""


def priced(name: str, formula: str) -> str:
    """0 where a line by size has no row in the price book."""
    return f"IF([{name}_place]=0, 0, {formula})"


def by_size(name: str) -> tuple[Column, ...]:
    """A line by size: its name, its row and its costs."""
    place = f"[{name}_place]"
    return (
        Column(f"{name}_item", item(name)),
        Column(
            f"{name}_place",
            f'IF(OR([{name}]=0, [{name}_item]=""), 0, IFERROR(MATCH([{name}_item], {{price_book.item}}, 0), 0))',
        ),
        Column(
            f"{name}_usd",
            priced(name, cents(f"[{name}]*{likely_of('price_book', place)}{copper(name)}")),
        ),
        Column(f"{name}_mean_usd", priced(name, f"[{name}]*INDEX({{price_book.mean}}, {place})")),
        Column(f"{name}_var", priced(name, f"[{name}]^2*INDEX({{price_book.variance}}, {place})")),
    )


def fixed(name: str) -> Column:
    """Likely cost of a line that every job takes alike."""
    return Column(f"{name}_usd", cents(f"[{name}]*{{line.likely:{name}}}"))


def metal(package: str, ending: str, wanted: str) -> str:
    """Sum over the lines by size that are copper, or over those that are not."""
    always = [
        name
        for name in sized_lines(package)
        if name not in BY_METAL and (name in ALWAYS_COPPER) == (wanted == "copper")
    ]
    either = [name for name in sized_lines(package) if name in BY_METAL]
    plus = [f"[{name}_{ending}]" for name in always]
    where = f'IF([material]="{wanted}", ' + "+".join(f"[{name}_{ending}]" for name in either) + ", 0)"
    return "+".join((*plus, where))


def missing(package: str) -> str:
    """Lines by size that are needed and have no row, and one more where the design lacks a size."""
    names = sized_lines(package)
    found = "".join(f"-([{name}_place]>0)" for name in names)
    lacks = ", ".join(f'[{name}]=""' for name in NEEDED[package])
    return f'COUNTIF([{span(names)}], ">0"){found}+IF(OR({lacks}), 1, 0)'


def plain_sums(package: str) -> tuple[Column, ...]:
    """Sums of a package that has no lines by size."""
    names = fixed_lines(package)
    whole = f"[{span(names, '_usd')}]"
    return (
        Column(f"{package}_material_usd", whole if len(names) == 1 else f"SUM({whole})"),
        Column(f"{package}_other_mean_usd", times(names, "mean")),
        Column(f"{package}_other_var", times(names, "variance")),
    )


def sized_sums(package: str) -> tuple[Column, ...]:
    """Sums of a package with lines by size; copper apart, because one factor moves all of it."""
    names = fixed_lines(package)
    likely = "".join(f"+[{name}_usd]" for name in sized_lines(package))
    return (
        Column(f"{package}_material_usd", f"SUM([{span(names, '_usd')}]){likely}"),
        Column(f"{package}_copper_mean_usd", metal(package, "mean_usd", "copper")),
        Column(f"{package}_copper_var", metal(package, "var", "copper")),
        Column(
            f"{package}_other_mean_usd", f"{times(names, 'mean')}+{metal(package, 'mean_usd', 'aluminum')}"
        ),
        Column(f"{package}_other_var", f"{times(names, 'variance')}+{metal(package, 'var', 'aluminum')}"),
        Column(f"{package}_missing", missing(package)),
    )


LINE_COSTS = Sheet(
    name="Line costs",
    title="Cost of each line of material",
    note="Quantity by price book for every line: likely in cents, mean and variance, and the sums of each package.",
    columns=(
        Column("copper_likely", likely_of("factors", COPPER_PLACE)),
        Column("copper_mean", f"INDEX({{factors.mean}}, {COPPER_PLACE})"),
        *(column for name in ITEMS for column in by_size(name)),
        *(fixed(line.name) for line in load().takeoff_lines if not line.by_size),
        *plain_sums("common"),
        *plain_sums("existing"),
        *sized_sums("added"),
        *plain_sums("control"),
        *sized_sums("service"),
    ),
)
