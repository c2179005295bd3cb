"""The price of each way, the lines of the way chosen, and how far its price may miss."""

from __future__ import annotations

from .line_costs import COPPER_PLACE
from .model import Column, Sheet
from .options import of_chosen
from .package_lines import PACKAGES, PERMIT, cents, likely_of, no_price, times, unless_blank

WAGE_PLACE = "[wage_place]"
PAID_FOR_SOLD = "{wage_burden}/{billable_share}"
"""Cost of an hour that is sold over the wage of an hour that is paid."""

WITH_COPPER = ("added", "service")


def share(percent: str) -> str:
    """A percentage of something."""
    return f"{percent}/{{percent}}"


def plus(percent: str) -> str:
    """One and a percentage of it."""
    return f"(1+{share(percent)})"


BOOKS = (Column("books_bad", "{out_of_order}"),)

RATES = (
    Column("wage_place", "MATCH([market], {market.market}, 0)"),
    Column("rate_likely_usd", f"{likely_of('market', WAGE_PLACE)}*{PAID_FOR_SOLD}"),
    Column("rate_mean_usd", f"INDEX({{market.mean}}, {WAGE_PLACE})*{PAID_FOR_SOLD}"),
    Column("rate_var", f"INDEX({{market.variance}}, {WAGE_PLACE})*({PAID_FOR_SOLD})^2"),
    Column(
        "contingency_used",
        'IF([house_age]="newer", {contingency_newer}, '
        'IF([house_age]="middle", {contingency_middle}, {contingency_older}))',
    ),
    Column("material_scale", f"{plus('{consumables_percent}')}*{plus('{tax_percent}')}"),
    Column(
        "price_scale",
        f"{plus('{overhead_percent}')}*{plus('[contingency_used]')}/(1-{share('{profit_percent}')})",
    ),
    Column("sell_rate_usd", "[rate_mean_usd]*[price_scale]"),
)


def package(name: str) -> Column:
    """Price of a package; blank where a book is out of order or lacks a size of it."""
    material = f"[{name}_other_mean_usd]"
    if name in WITH_COPPER:
        material = f"([{name}_copper_mean_usd]*[copper_mean]+{material})"
    permit = "+[permit_mean_usd]" if name == "common" else ""
    formula = f"({material}*[material_scale]+[{name}_hours_mean]*[rate_mean_usd]{permit})*[price_scale]"
    if name in WITH_COPPER:
        return Column(f"{name}_package_usd", f'IF([{name}_missing]+[books_bad]>0, "", {formula})')
    return no_price(Column(f"{name}_package_usd", formula))


def price(*packages: str) -> str:
    """Price of a way that takes every way's package and these; blank where one of them is."""
    total = cents("+".join(f"[{name}_package_usd]" for name in ("common", *packages)))
    for name in (*packages, "common"):
        total = unless_blank(f"{name}_package_usd", total)
    return total


EACH_WAY = (
    Column("permit_mean_usd", times((PERMIT,), "mean")),
    Column("permit_var", times((PERMIT,), "variance")),
    *(package(name) for name in ("common", *PACKAGES)),
    Column("existing_spaces_price_usd", price("existing")),
    Column("added_panel_price_usd", price("added")),
    Column(
        "load_control_price_usd",
        f'IF([control_in_main]="yes", {price("control", "existing")}, {price("control", "added")})',
    ),
    Column(
        "larger_service_price_usd",
        f'IF([panel_place]="other building", {price("service", "added")}, {price("service")})',
    ),
)


def steps(kind: str, given: str, material: str, labour: str, permit: str) -> tuple[Column, ...]:
    """The lines from material to contingency, each in cents and blank where `given` is."""
    lines = {
        "consumables": cents(f"{material}*{share('{consumables_percent}')}"),
        "tax": cents(f"({material}+[{kind}_consumables_usd])*{share('{tax_percent}')}"),
        "labour": cents(labour),
        "permit": permit,
        "direct": f"{material}+[{kind}_consumables_usd]+[{kind}_tax_usd]+[{kind}_labour_usd]+[{kind}_permit_usd]",
        "overhead": cents(f"[{kind}_direct_usd]*{share('{overhead_percent}')}"),
        "contingency": cents(f"([{kind}_direct_usd]+[{kind}_overhead_usd])*{share('[contingency_used]')}"),
    }
    return tuple(Column(f"{kind}_{name}_usd", unless_blank(given, line)) for name, line in lines.items())


SUM_OF_LIKELY = "[likely_direct_usd]+[likely_overhead_usd]+[likely_contingency_usd]"

LIKELY_LINES = (
    *steps("likely", "material_usd", "[material_usd]", "[labour_hours]*[rate_likely_usd]", "[permits_usd]"),
    Column(
        "likely_profit_usd",
        unless_blank(
            "material_usd",
            cents(f"({SUM_OF_LIKELY})*{{profit_percent}}/({{percent}}-{{profit_percent}})"),
        ),
    ),
    Column("price_modes_usd", unless_blank("material_usd", f"{SUM_OF_LIKELY}+[likely_profit_usd]")),
)


def in_way(ending: str, packages: tuple[str, ...]) -> str:
    """Sum over those packages that the way chosen has."""
    return "+".join(f"[in_{name}]*[{name}_{ending}]" for name in packages)


def priced(name: str, formula: str) -> Column:
    """A column of the way chosen, blank where that has no price."""
    return Column(name, unless_blank("price_likely_usd", formula))


PRICE_LINES = (
    Column("price_likely_usd", of_chosen("price_usd")),
    priced("mean_copper_usd", in_way("copper_mean_usd", WITH_COPPER)),
    priced("mean_other_usd", f"[common_other_mean_usd]+{in_way('other_mean_usd', PACKAGES)}"),
    priced("mean_material_usd", cents("[mean_copper_usd]*[copper_mean]+[mean_other_usd]")),
    *steps(
        "mean",
        "price_likely_usd",
        "[mean_material_usd]",
        "[labour_mean_h]*[rate_mean_usd]",
        cents("[permit_mean_usd]"),
    ),
    priced(
        "mean_profit_usd",
        cents("[price_likely_usd]-[mean_direct_usd]-[mean_overhead_usd]-[mean_contingency_usd]"),
    ),
)

OUT_OF_ORDER = "STOP: a line of the price books or a setting is out of order"
NO_SIZE = "STOP: the price book lacks a size of this way"

RANGE = (
    priced("copper_var", in_way("copper_var", WITH_COPPER)),
    priced("other_var", f"[common_other_var]+{in_way('other_var', PACKAGES)}"),
    priced(
        "material_var",
        f"([copper_var]*[copper_mean]^2+([copper_var]+[mean_copper_usd]^2)"
        f"*INDEX({{factors.variance}}, {COPPER_PLACE})+[other_var])*[material_scale]^2",
    ),
    priced("labour_var", "[labour_var_h]*([rate_mean_usd]^2+[rate_var])+[labour_mean_h]^2*[rate_var]"),
    priced(
        "direct_mean_usd",
        "([mean_copper_usd]*[copper_mean]+[mean_other_usd])*[material_scale]"
        "+[labour_mean_h]*[rate_mean_usd]+[permit_mean_usd]",
    ),
    priced(
        "price_cv",
        'IF([direct_mean_usd]=0, "", SQRT([material_var]+[labour_var]+[permit_var])/[direct_mean_usd])',
    ),
    Column("price_sigma", unless_blank("price_cv", "SQRT(LN(1+[price_cv]^2))")),
    Column(
        "price_low_usd",
        unless_blank(
            "price_sigma",
            cents("[price_likely_usd]*EXP(-([price_sigma]^2/2+{tail_z}*[price_sigma]))"),
        ),
    ),
    Column(
        "price_high_usd",
        unless_blank(
            "price_sigma",
            cents("[price_likely_usd]*EXP({tail_z}*[price_sigma]-[price_sigma]^2/2)"),
        ),
    ),
    Column(
        "price_state",
        f'IF([books_bad]>0, "{OUT_OF_ORDER}", '
        f'IF(AND([option_chosen]<>"", [price_likely_usd]=""), "{NO_SIZE}", [difficulty_state]))',
    ),
)
PRICE = Sheet(
    name="Price",
    title="Price of each way",
    note="What each way costs at the mean of every line, the lines of the way chosen, and its likely range.",
    columns=(*BOOKS, *RATES, *EACH_WAY, *LIKELY_LINES, *PRICE_LINES, *RANGE),
)
