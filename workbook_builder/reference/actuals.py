"""Finished jobs: what was booked over what was estimated, job by job and by the age of the house."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.choice import Choice
from workbook_builder.reference.registry import rule
from workbook_builder.reference.rounding import cents
from workbook_builder.reference.texts import decimals, first_text, number_words


@rule("hours_over")
def hours_over(actual_hours: np.ndarray, labour_hours: np.ndarray) -> np.ndarray:
    """Booked less estimated hours.

    Section: own rule.
    Inputs: hours [h]. Result: [h]; blank where one of them is.
    """
    return actual_hours - labour_hours


@rule("hours_ratio")
def hours_ratio(actual_hours: np.ndarray, labour_hours: np.ndarray) -> np.ndarray:
    """Booked over estimated hours.

    Section: own rule.
    Inputs: hours [h]. Result: [1]; blank where one of them is, and without estimated hours.
    """
    return np.where(labour_hours == 0, np.nan, actual_hours / labour_hours)


@rule("material_over_usd")
def material_over_usd(
    *,
    actual_material_usd: np.ndarray,
    material_usd: np.ndarray,
    likely_consumables_usd: np.ndarray,
    likely_tax_usd: np.ndarray,
) -> np.ndarray:
    """Booked less estimated material, consumables and tax included.

    Section: own rule.
    Inputs: costs [USD]. Result: [USD]; blank where one of them is.
    """
    return actual_material_usd - (material_usd + likely_consumables_usd + likely_tax_usd)


@rule("material_ratio")
def material_ratio(
    *,
    actual_material_usd: np.ndarray,
    material_usd: np.ndarray,
    likely_consumables_usd: np.ndarray,
    likely_tax_usd: np.ndarray,
) -> np.ndarray:
    """Booked over estimated material, consumables and tax included.

    Section: own rule.
    Inputs: costs [USD]. Result: [1]; blank where one of them is, and without estimated material.
    """
    estimated = material_usd + likely_consumables_usd + likely_tax_usd
    return np.where(estimated == 0, np.nan, actual_material_usd / estimated)


@rule("cost_over_usd")
def cost_over_usd(
    hours_over: np.ndarray, rate_likely_usd: np.ndarray, material_over_usd: np.ndarray
) -> np.ndarray:
    """Booked less estimated cost: hours at the likely rate, and material.

    Section: own rule.
    Inputs: hours_over [h], rate_likely_usd [USD/h], material_over_usd [USD]. Result: [USD]; blank
    where one of them is.
    """
    return hours_over * rate_likely_usd + material_over_usd


@rule("counted_hours", hours="labour_hours")
@rule("booked_hours", hours="actual_hours")
def hours_that_count(hours_ratio: np.ndarray, hours: np.ndarray) -> np.ndarray:
    """Estimated or booked hours of a job that has both.

    Section: own rule.
    Inputs: hours_ratio [1], hours [h]. Result: [h]; 0 for any other job.
    """
    return np.where(np.isnan(hours_ratio), 0.0, hours)


def _over_band(house_age: Choice, values: np.ndarray) -> np.ndarray:
    """The sum over the jobs with the same age of the house, for each job."""
    sums = np.bincount(house_age.codes, weights=values, minlength=len(house_age.words))
    return sums[house_age.codes]


@rule("band_jobs")
def band_jobs(house_age: Choice, counted_hours: np.ndarray) -> np.ndarray:
    """Finished jobs of houses of the same age. Takes all ready jobs at once.

    Section: own rule.
    Inputs: house_age, counted_hours [h]. Result: [jobs].
    """
    return _over_band(house_age, (counted_hours > 0).astype(np.float64))


@rule("band_booked_h", hours="booked_hours")
@rule("band_counted_h", hours="counted_hours")
def band_hours(house_age: Choice, hours: np.ndarray) -> np.ndarray:
    """Hours of finished jobs of houses of the same age. Takes all ready jobs at once.

    Section: own rule.
    Inputs: house_age, hours [h]. Result: [h].

    >>> ages = Choice.of(("older", "newer"), ["newer", "older", "newer"])
    >>> band_hours(ages, np.array([8.0, 5.0, 7.0])).tolist()
    [15.0, 5.0, 15.0]
    """
    return _over_band(house_age, hours)


@rule("suggested_factor")
def suggested_factor(
    band_booked_h: np.ndarray,
    band_counted_h: np.ndarray,
    band_jobs: np.ndarray,
    finished_jobs_least: float,
) -> np.ndarray:
    """What labour would have had to be multiplied by.

    Section: own rule.
    Inputs: hours [h], band_jobs, finished_jobs_least [jobs]. Result: [1]; blank for too few jobs.
    """
    few = (band_jobs < finished_jobs_least) | (band_counted_h == 0)
    return np.where(few, np.nan, band_booked_h / band_counted_h)


@rule("suggestion")
def suggestion(band_jobs: np.ndarray, finished_jobs_least: float, suggested_factor: np.ndarray) -> Choice:
    """The correction in words, which changes nothing by itself.

    Section: own rule.
    Inputs: band_jobs, finished_jobs_least [jobs], suggested_factor [1]. Result: [text].

    >>> suggestion(np.array([6.0]), 5.0, np.array([1.125])).words
    ('6 finished jobs: labour times 1.13 would have been right; nothing is changed by itself.',)
    """
    least = np.asarray(finished_jobs_least)
    return first_text(
        (band_jobs == 0, "No finished job yet."),
        (band_jobs < least, "{} of {} finished jobs: no suggestion yet.", band_jobs, number_words(least)),
        (
            np.ones(np.shape(band_jobs), dtype=bool),
            "{} finished jobs: labour times {} would have been right; nothing is changed by itself.",
            band_jobs,
            decimals(cents(suggested_factor), 2),
        ),
    )
