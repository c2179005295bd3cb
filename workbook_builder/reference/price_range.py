"""Range of the price of the way chosen: a logarithmic normal with its mean and spread."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.books import Book
from workbook_builder.reference.choice import Choice, first_true
from workbook_builder.reference.labour_factors import OVER_THE_CAP
from workbook_builder.reference.line_items import COPPER
from workbook_builder.reference.registry import rule
from workbook_builder.reference.rounding import cents
from workbook_builder.reference.texts import is_blank


@rule("material_var")
def material_var(
    *,
    factors: Book,
    copper_mean: float,
    copper_var: np.ndarray,
    mean_copper_usd: np.ndarray,
    other_var: np.ndarray,
    material_scale: np.ndarray,
) -> np.ndarray:
    """Variance of the material: the copper lines times a factor that they share, and the others.

    Section: own rule.
    Inputs: factors, copper_mean, material_scale [1], copper_var, other_var [USD2], mean_copper_usd
    [USD]. Result: [USD2]; blank without a price.
    """
    factor_var = factors.variance[factors.place(COPPER)]
    copper = copper_var * (np.square(copper_mean) + factor_var) + np.square(mean_copper_usd) * factor_var
    return (copper + other_var) * np.square(material_scale)


@rule("labour_var")
def labour_var(
    *,
    labour_var_h: np.ndarray,
    labour_mean_h: np.ndarray,
    rate_mean_usd: np.ndarray,
    rate_var: np.ndarray,
    price_likely_usd: np.ndarray,
) -> np.ndarray:
    """Variance of the labour: hours times a rate, which do not depend on each other.

    Section: own rule.
    Inputs: labour_var_h [h2], labour_mean_h [h], rate_mean_usd [USD/h], rate_var [USD2/h2],
    price_likely_usd [USD]. Result: [USD2]; blank without a price.
    """
    found = labour_var_h * (np.square(rate_mean_usd) + rate_var) + np.square(labour_mean_h) * rate_var
    return np.where(np.isnan(price_likely_usd), np.nan, found)


@rule("direct_mean_usd")
def direct_mean_usd(
    *,
    mean_copper_usd: np.ndarray,
    copper_mean: float,
    mean_other_usd: np.ndarray,
    material_scale: np.ndarray,
    labour_mean_h: np.ndarray,
    rate_mean_usd: np.ndarray,
    permit_mean_usd: np.ndarray,
) -> np.ndarray:
    """Mean of the direct cost, without rounding of its lines to cents.

    Section: own rule.
    Inputs: mean_copper_usd, mean_other_usd, permit_mean_usd [USD], scales [1], labour_mean_h [h],
    rate_mean_usd [USD/h]. Result: [USD]; blank without a price.
    """
    material = (mean_copper_usd * copper_mean + mean_other_usd) * material_scale
    return material + labour_mean_h * rate_mean_usd + permit_mean_usd


@rule("price_cv")
def price_cv(
    material_var: np.ndarray, labour_var: np.ndarray, permit_var: np.ndarray, direct_mean_usd: np.ndarray
) -> np.ndarray:
    """Standard deviation of the direct cost, and so of the price, over its mean.

    Section: own rule.
    Inputs: variances [USD2], direct_mean_usd [USD]. Result: [1]; blank without a price or cost.
    """
    spread = np.sqrt(material_var + labour_var + permit_var)
    return np.where(direct_mean_usd == 0, np.nan, spread / direct_mean_usd)


@rule("price_sigma")
def price_sigma(price_cv: np.ndarray) -> np.ndarray:
    """Spread of the logarithm of the price.

    Section: own rule.
    Inputs: price_cv [1]. Result: [1]; blank where price_cv is.
    """
    return np.sqrt(np.log(1.0 + np.square(price_cv)))


@rule("price_low_usd", side=-1.0)
@rule("price_high_usd", side=1.0)
def price_quantile_usd(
    price_likely_usd: np.ndarray, price_sigma: np.ndarray, tail_z: float, side: float
) -> np.ndarray:
    """The price that one job in ten stays under, or goes over.

    Section: own rule.
    Inputs: price_likely_usd [USD], price_sigma, tail_z [1], side [-1 or 1]. Result: [USD]; blank
    without a price.
    """
    exponent = -np.square(price_sigma) / 2.0 + side * tail_z * price_sigma
    return cents(price_likely_usd * np.exp(exponent))


@rule("books_bad")
def books_bad(
    *,
    price_book: Book,
    labour_units: Book,
    factors: Book,
    markets: Book,
    settings_bad: int,
    lines_without_key: int,
) -> int:
    """Lines of the books that are used and out of order, settings that are, and lines that no book has.

    Section: own rule.
    Inputs: books, settings_bad [settings], lines_without_key [lines]. Result: [lines].
    """
    lines = sum(book.bad() for book in (price_book, labour_units, factors, markets))
    return lines + settings_bad + lines_without_key


@rule(
    "price_state",
    words=(
        "OK",
        "STOP: a line of the price books or a setting is out of order",
        "STOP: the price book lacks a size of this way",
        OVER_THE_CAP,
    ),
)
def price_state(
    books_bad: int, option_chosen: Choice, price_likely_usd: np.ndarray, difficulty_state: np.ndarray
) -> np.ndarray:
    """Whether books and settings are in order, hold every line, and the work is not too hard for them.

    Section: own rule.
    Inputs: books_bad [lines], option_chosen, price_likely_usd [USD], difficulty_state [place in its
    words]. Result: place in the words.
    """
    unpriced = ~is_blank(option_chosen) & np.isnan(price_likely_usd)
    bad = np.broadcast_to(books_bad > 0, unpriced.shape)
    return first_true((bad, unpriced, difficulty_state != 0))
