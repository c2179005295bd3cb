"""The words of Start."""

from __future__ import annotations

from ..sheets.directory import DIRECTORY
from ..sheets.estimate_page import ESTIMATE
from ..sheets.job_sheet_page import JOB_SHEET
from ..sheets.layout import (
    BOOK_SHEETS,
    CIRCUITS,
    JOBS,
    LINE_PRICES,
    LISTS,
    LOCAL_RULES,
    SETTINGS,
    TABLE_SHEETS,
)
from ..sheets.portfolio_page import PORTFOLIO
from ..sheets.quotation_page import QUOTATION
from .context import PROVENANCE, RULES

TITLE = "Panel capacity workbook"
SUBTITLE = "Adding capacity to a full electrical panel in a dwelling: one job a row, every figure with its rule and section."
PURPOSE = (
    "For a house whose panel is full while new loads are coming: a vehicle supply, a heat pump, an electric range, "
    "solar. From what was seen on the visit it works out loads, spaces, feeder and raceway of an added panel, the ways "
    "to serve the house and their price, and shows how: each calculated column has its rule in words and its section, "
    "each number its source. The formulas are live; there are no macros and nothing is hidden."
)
STEPS = (
    "Your numbers: on Price book, Labour units, Factors, Market rates and Settings change the yellow cells. What comes with the workbook is a starting point, most of it from no source.",
    "Your jobs: on Jobs fill one row for each job; blank takes the default in the header. On Circuits list the circuits of a job, if you know them. Column A says ready, or what is missing or wrong.",
    "Your answer: on Checks settle every STOP and look at every CHECK; print Job sheet, Estimate and Quotation; have the result reviewed.",
)
RELY = (
    "An electrician-estimator, for choosing a way, for a first size and for a price, who sees the site and can judge "
    "each rule. Nobody may build, order or permit from it alone: the licensed person who signs, the inspector and the "
    "utility decide. Owners may read it, not rely on it."
)
REPORT = (
    "Look at the rule on Rules and the value on Provenance first. Then send to whoever gave you the workbook: sheet and "
    "cell; job number and its row of Jobs; what the cell shows; what you expected; the section and edition that say "
    "so; and the line Built by below. Until it is settled, override the value on Local rules with a reason, or do not use the sheet."
)
NOT_VERIFIED = (
    "Not verified yet. The results kept in this file are those of the Python reference; nobody has recalculated the "
    "formulas. To do so run: python -m workbook_builder verify FILE"
)
CAUTIONS = (
    "Live parts: the lugs on the line side of the main stay live with the main switched off.",
    "Prove it dead: test every circuit with a tester that was checked on a live source before and is checked again after.",
    "Who may do it: meter and service work belongs to the utility and to licensed people.",
    "Who decides: local amendments and the inspector decide, not this workbook. Enter amendments on Local rules.",
    "What this is: an estimating aid, not a design approval. A CHECK needs a person; a STOP must not be built.",
    "Assumed values: much of the 2026 edition has not been read and is assumed the same; such rows carry a CHECK.",
)
KEY = {
    "input": "input", "formula": "calculated, entry as used", "linked": "from another sheet",
    "table": "table", "header": "header", "ok": "OK, ready", "check": "CHECK, missing",
    "stop": "STOP, error", "note": "note",
}  # fmt: skip
"""Style, and the words that the role row or the cell itself says."""
PRINTING = (
    "Letter paper. Each grid prints the rows given when the workbook was built; where rows were added since, set the "
    "print area anew in the page setup."
)
SHEET_NOTES = {
    JOBS: "The grid to type in: one row a job, drop-downs, and what each cell expects.",
    CIRCUITS: "The second grid to type in, where a house has a circuit list: one row a circuit.",
    DIRECTORY: "The directory of one panel of one job, to look at and to print.",
    JOB_SHEET: "Two printed pages of one job: diagram, sizes, ways, directory, what is open, sign-off.",
    PORTFOLIO: "Every job in one line, totals and charts.",
    ESTIMATE: "Price, material and work of one job, line by line, to look at and to print.",
    QUOTATION: "One page for the client: scope, price and range, what is not in it, cautions.",
    BOOK_SHEETS[
        "price_book"
    ]: "Prices of material, low, likely and high, to be made your own; blank rows for more.",
    BOOK_SHEETS["labour_units"]: "Hours of each task, low, likely and high, to be made your own.",
    BOOK_SHEETS[
        "factors"
    ]: "What age, condition, wall and access do to labour, and the copper price to material.",
    BOOK_SHEETS["market"]: "Wages of an hour by market, low, likely and high.",
    SETTINGS: "Tax, overhead, profit, contingency, waste and the habits of the company.",
    LINE_PRICES: "What the books have for each quantity that always takes the same line.",
    LOCAL_RULES: "Every parameter, with cells for a local value and its reason.",
    LISTS: "Words of the drop-downs, and the editions.",
    PROVENANCE: "Every value with section, edition, source and status; the sources with their addresses.",
    RULES: "Every calculated column: rule in words, sections, formula.",
} | {name: "Tables of the code, each with its sections, sources and note." for name in TABLE_SHEETS}
