"""Lines of the price book that depend on sizes: their names, their places, their costs."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference import lookup
from workbook_builder.reference.books import Book
from workbook_builder.reference.choice import Choice
from workbook_builder.reference.registry import rule
from workbook_builder.reference.rounding import cents
from workbook_builder.reference.texts import joined, number_words

COPPER = "copper"
PANELS = ("panel indoor|", "panel outdoor|")
METAL_LINES = ("phase_ft", "neutral_ft", "ground_ft", "cable_ft", "service_conductor_ft")
COPPER_LINES = ("moved_wire_ft", "electrode_ft", "service_electrode_ft")
OTHER_LINES = ("feeder_breakers", "added_panels", "raceway_lengths", "riser_lengths", "main_panels")


@rule("copper_likely")
def copper_likely(factors: Book) -> float:
    """Copper against the price book, likely.

    Section: own rule.
    Inputs: factors. Result: [1].
    """
    return float(factors.likely[factors.place(COPPER)])


@rule("copper_mean")
def copper_mean(factors: Book) -> float:
    """Copper against the price book, mean.

    Section: own rule.
    Inputs: factors. Result: [1].
    """
    return float(factors.mean[factors.place(COPPER)])


@rule("feeder_breakers_item")
def feeder_breakers_item(feeder_breaker_a: np.ndarray) -> Choice:
    """The feeder breaker, by its rating.

    Section: own rule.
    Inputs: feeder_breaker_a [A]. Result: [text]; blank without a breaker.
    """
    return joined("feeder breaker|", number_words(feeder_breaker_a))


@rule("added_panels_item")
def added_panels_item(room: Choice, added_bus_chosen_a: np.ndarray) -> Choice:
    """The added panel, by its place and its bus.

    Section: own rule.
    Inputs: room, added_bus_chosen_a [A]. Result: [text]; blank without a bus.
    """
    place = Choice(PANELS, room.is_("outdoors").astype(np.int64))
    return joined(place, number_words(added_bus_chosen_a))


@rule("main_panels_item")
def main_panels_item(new_service_a: np.ndarray) -> Choice:
    """The new main panel, by its rating.

    Section: own rule.
    Inputs: new_service_a [A]. Result: [text]; blank without a larger service.
    """
    return joined("main panel|", number_words(new_service_a))


@rule("phase_ft_item", size="feeder_size")
@rule("neutral_ft_item", size="neutral_size")
@rule("ground_ft_item", size="egc_size")
@rule("service_conductor_ft_item", size="service_conductor_size")
def conductor_item(material: Choice, size: np.ndarray) -> Choice:
    """A conductor, by its metal and its size.

    Section: own rule.
    Inputs: material, size. Result: [text]; blank without a size.

    >>> copper = Choice.of(lookup.METALS, ["copper", "copper"])
    >>> item = conductor_item(copper, np.array([lookup.size_position("3"), 0]))
    >>> [(*item.words, "")[code] for code in item.codes]
    ['conductor copper|3', '']
    """
    return joined("conductor ", material, "|", lookup.size_words(size))


@rule("electrode_ft_item", size="gec_size")
@rule("service_electrode_ft_item", size="service_electrode_size")
def electrode_item(size: np.ndarray) -> Choice:
    """Bare copper, by its size.

    Section: own rule.
    Inputs: size. Result: [text]; blank without a size.
    """
    return joined("bare copper|", lookup.size_words(size))


@rule("cable_ft_item")
def cable_item(wiring: Choice, material: Choice, feeder_size: np.ndarray) -> Choice:
    """A cable, by its kind, its metal and its size.

    Section: own rule.
    Inputs: wiring, material, feeder_size. Result: [text]; blank without a size.
    Limits: made for a raceway, too, which has no length of cable.
    """
    return joined(wiring, " ", material, "|", lookup.size_words(feeder_size))


@rule("raceway_lengths_item")
def raceway_item(wiring: Choice, raceway_size: np.ndarray) -> Choice:
    """A raceway, by its kind and its trade size.

    Section: own rule.
    Inputs: wiring, raceway_size. Result: [text]; blank without a trade size.
    """
    return joined(wiring, "|", lookup.trade_size_words(raceway_size))


@rule("riser_lengths_item")
def riser_item(raceway_size: np.ndarray) -> Choice:
    """A riser in schedule 80, by its trade size.

    Section: own rule.
    Inputs: raceway_size. Result: [text]; blank without a trade size.
    """
    return joined("PVC 80|", lookup.trade_size_words(raceway_size))


@rule("moved_wire_ft_item")
def moved_wire_item(moved_wire: Choice) -> Choice:
    """The conductors of moved circuits, by their size.

    Section: own rule.
    Inputs: moved_wire. Result: [text].
    """
    return joined("conductor copper|", moved_wire)


def item_place(quantity: np.ndarray, item: Choice, price_book: Book) -> np.ndarray:
    """Place of the line of the price book that the size asks for.

    Section: own rule.
    Inputs: quantity [each or ft], item [text], price_book. Result: place in the book; 0 where there
    is no such line, no item or no quantity.
    Limits: letters' case aside, as spreadsheets match.
    """
    return np.where(np.equal(quantity, 0), 0, price_book.place_of(item))


def other_line_usd(quantity: np.ndarray, place: np.ndarray, price_book: Book) -> np.ndarray:
    """Likely cost of a line without copper.

    Section: own rule.
    Inputs: quantity [each or ft], place in the price_book. Result: [USD]; 0 without a place.
    """
    return cents(quantity * price_book.likely[place])


def copper_line_usd(
    quantity: np.ndarray, place: np.ndarray, price_book: Book, copper_likely: float
) -> np.ndarray:
    """Likely cost of a line that is always copper.

    Section: own rule.
    Inputs: quantity [ft], place in the price_book, copper_likely [1]. Result: [USD]; 0 without a place.
    """
    return cents(quantity * price_book.likely[place] * copper_likely)


def metal_line_usd(
    *, quantity: np.ndarray, place: np.ndarray, price_book: Book, copper_likely: float, material: Choice
) -> np.ndarray:
    """Likely cost of a line that is copper or aluminum.

    Section: own rule.
    Inputs: quantity [ft], place in the price_book, copper_likely [1], material. Result: [USD]; 0
    without a place.
    """
    factor = np.where(material.is_("copper"), copper_likely, 1.0)
    return cents(quantity * price_book.likely[place] * factor)


def line_mean_usd(quantity: np.ndarray, place: np.ndarray, price_book: Book) -> np.ndarray:
    """Mean cost of a line, before the copper factor.

    Section: own rule.
    Inputs: quantity [each or ft], place in the price_book. Result: [USD]; 0 without a place.
    """
    return quantity * price_book.mean[place]


def line_var(quantity: np.ndarray, place: np.ndarray, price_book: Book) -> np.ndarray:
    """Variance of the cost of a line, before the copper factor.

    Section: own rule.
    Inputs: quantity [each or ft], place in the price_book. Result: [USD2]; 0 without a place.
    """
    return np.square(quantity) * price_book.variance[place]


for _lines, _cost in (
    (OTHER_LINES, other_line_usd),
    (COPPER_LINES, copper_line_usd),
    (METAL_LINES, metal_line_usd),
):
    for _line in _lines:
        _place = f"{_line}_place"
        rule(_place, quantity=_line, item=f"{_line}_item")(item_place)
        rule(f"{_line}_usd", quantity=_line, place=_place)(_cost)
        rule(f"{_line}_mean_usd", quantity=_line, place=_place)(line_mean_usd)
        rule(f"{_line}_var", quantity=_line, place=_place)(line_var)
