"""What one cell of a text file holds, or why it cannot be used.

Stated rules: spaces at both ends of a cell are dropped, and a word of a list
is matched without regard to capitals and returned as the list spells it.
Everything else that would have to be guessed is refused.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ..code_tables.model import Field

LONGEST_TEXT = 200
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
"""A text that begins so is run as a formula when a spreadsheet opens the file."""

ERROR_VALUES = (
    "#N/A", "#REF!", "#VALUE!", "#DIV/0!", "#NAME?", "#NUM!", "#NULL!",
    "#SPILL!", "#CALC!", "#GETTING_DATA",
)  # fmt: skip

_EDGES = " \u00a0"
_NUMBER = re.compile(r"-?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)")
_SCIENTIFIC = re.compile(rf"[+]?{_NUMBER.pattern}[eE][+-]?[0-9]{{1,3}}")
_THOUSANDS = re.compile(r"-?[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]*)?")
_DECIMAL_COMMA = re.compile(r"-?[0-9]*,[0-9]+")
_POINTS_AND_COMMA = re.compile(r"-?[0-9]{1,3}(?:\.[0-9]{3})+,[0-9]+")
_WITH_WORDS = re.compile(rf"(?:[$€£] ?)?({_NUMBER.pattern}) ?([^\W\d_].*|%|°.*|\"|')?")
_PLAIN = re.compile(r"[A-Za-z0-9](?:[ -~]{0,198}[!-~])?")
"""A text of which nothing can be said."""
_ISO_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_FIRST_DATE = date(1900, 1, 1)
_TRUTH = ("true", "false")
_NO_NUMBER = ("nan", "inf", "infinity", "na", "n/a", "none", "null")


@dataclass(frozen=True)
class Complaint:
    """Why a cell cannot be used: what must stand there, and what to do."""

    expected: str
    todo: str


def trimmed(text: str) -> str:
    """A cell without the spaces at its ends.

    Tabs and line ends stay, since no one types them by accident.
    """
    return text.strip(_EDGES)


def parsed(text: str, field: Field) -> tuple[float | str | date | None, Complaint | None]:
    """The value of a cell, or the text as it stands and the complaint about it.

    A blank is None. Whether a number is in range and a word in the list is
    for others to say; a word that is in the list comes back in its spelling.
    """
    text = trimmed(text)
    if text == "":
        return None, None
    complaint = _text_complaint(text, field)
    if complaint:
        return text, complaint
    if field.kind == "number" or field.numeric:
        complaint = _number_complaint(text, field)
        return (text, complaint) if complaint else (float(text), None)
    if field.kind == "date":
        return _date(text)
    if field.kind == "choice":
        spelling = {str(choice).casefold(): choice for choice in field.choices}
        return spelling.get(text.casefold(), text), None
    return text, None


def looks_like_formula(text: str) -> bool:
    return text.startswith(FORMULA_STARTS)


def is_error_value(text: str) -> bool:
    return text.upper() in ERROR_VALUES


def _text_complaint(text: str, field: Field) -> Complaint | None:
    if _PLAIN.fullmatch(text):
        return None
    if is_error_value(text):
        return Complaint(
            field.expected,
            "this is an error value of a spreadsheet: repair the cell it comes from, "
            "or leave the cell blank",
        )
    if field.kind not in ("number", "date") and not field.numeric and looks_like_formula(text):
        return Complaint(
            "text that does not look like a formula",
            "begin it with a letter or a digit instead of = + - @ or a tab",
        )
    hidden = [letter for letter in text if unicodedata.category(letter) in ("Cc", "Cf", "Zl", "Zp")]
    if hidden:
        return Complaint(
            "text on one line without control or invisible characters",
            f"delete the character U+{ord(hidden[0]):04X} and type the entry anew",
        )
    if len(text) > LONGEST_TEXT:
        return Complaint(
            f"at most {LONGEST_TEXT} characters", f"shorten it; it has {len(text)} characters"
        )
    return None


def _number_complaint(text: str, field: Field) -> Complaint | None:
    if _NUMBER.fullmatch(text):
        return None
    return Complaint(field.expected, _number_advice(text, field))


def _number_advice(text: str, field: Field) -> str:
    plain = "".join(text.split())
    if plain != text and (_NUMBER.fullmatch(plain) or _THOUSANDS.fullmatch(plain)):
        kind = "space" if text.split(" ") == text.split() else "space (a non-breaking one)"
        return f"take the {kind} out: write {plain.replace(',', '')}"
    if _POINTS_AND_COMMA.fullmatch(text):
        return f"write {text.replace('.', '').replace(',', '.')}, with a decimal point"
    if _THOUSANDS.fullmatch(text):
        return f"write {text.replace(',', '')}, without a comma"
    if _DECIMAL_COMMA.fullmatch(text):
        return f"write {text.replace(',', '.')}, with a decimal point"
    if _SCIENTIFIC.fullmatch(text):
        return f"write all digits{_all_digits(text)}; a spreadsheet may have dropped some"
    if text.casefold() in _TRUTH:
        return "write a number, or leave the cell blank; true and false are no numbers"
    if text.casefold().lstrip("+-") in _NO_NUMBER:
        return "leave the cell blank where no value is known"
    if text[0] in "\u2212\u2013\u2014" and _NUMBER.fullmatch(text[1:]):
        return f"write -{text[1:]} with a plain hyphen"
    if text[0] == "+" and _NUMBER.fullmatch(text[1:]):
        return f"write {text[1:]} without the sign"
    if text.startswith(FORMULA_STARTS):
        return "write the result; a formula is not worked out here"
    if worded := _WITH_WORDS.fullmatch(text):
        unit = (worded[2] or "").strip()
        if unit and field.unit and unit.casefold() != field.unit.casefold():
            return f"write the number alone, in {field.unit}"
        return f"write {worded[1]} alone, without unit or sign"
    return "write the number in digits, such as 12.5"


def _all_digits(text: str) -> str:
    number = Decimal(text)
    if number and not -9 <= number.adjusted() <= 15:
        return ""
    return f" ({number:f})"


def _date(text: str) -> tuple[date | str, Complaint | None]:
    complaint = Complaint("a date as YYYY-MM-DD", "write it like 2024-05-31")
    if not _ISO_DATE.fullmatch(text):
        return text, complaint
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return text, Complaint("a date as YYYY-MM-DD", "there is no such day; check month and day")
    if day < _FIRST_DATE:
        return text, Complaint("a date from 1900-01-01 on", "check the year")
    return day, None
