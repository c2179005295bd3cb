"""What became of every value of an old workbook, as a table for people and as JSON."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Sequence
from datetime import date

from ..reader.faults import one_line
from ..reader.salvage_grid import Found
from .carry import Carried


def as_text(carried: Carried, *, shown: int) -> str:
    """Counts by sheet, then the first `shown` values of each kind that did not go as they stood."""
    old = carried.old
    lines = [f"carried from {old.file}, built by workbook_builder {old.version or '(version unknown)'}"]
    lines += [f"  {sheet:<24} {count:,} values" for sheet, count in Counter(one.sheet for one in old.carried).items()]
    lines += [
        f"  {sheet:<24} is the sheet {title} of the old workbook"
        for sheet, title in old.sheets.items() if sheet != title
    ]  # fmt: skip
    lines += _part("refused", "not carried", old.refused, shown)
    lines += _part("changed", "carried, but not as they stood", old.changed, shown)
    lines += _part("not valid", "carried as typed, to be put right", carried.faults, shown)
    lines += _part("defaulted", "not in the old workbook", old.defaulted, shown)
    lines.append("everything carried" if carried.clean else "findings: see above")
    return "\n".join(one_line(line) for line in lines)


def _part(title: str, words: str, found: Sequence[object], shown: int) -> list[str]:
    if not found:
        return []
    lines = [f"  {title:<24} {len(found):,} {words}"] + [f"    {one}" for one in found[:shown]]
    return lines + ([f"    and {len(found) - shown:,} more"] if len(found) > shown else [])


def as_json(carried: Carried) -> bytes:
    """Every value: sheet, cell, what it is of, field, value and, where it did not go as it stood, why."""
    old = carried.old
    text = json.dumps(
        {
            "from": old.file,
            "version": old.version,
            "to": carried.summary.path.name,
            "clean": carried.clean,
            "carried": [_record(one) for one in old.carried],
            "refused": [_record(one) for one in old.refused],
            "changed": [_record(one) for one in old.changed],
            "not_valid": [str(one) for one in carried.faults],
            "defaulted": [_record(one) for one in old.defaulted],
        },
        ensure_ascii=False, indent=1,
    )  # fmt: skip
    return (text + "\n").encode()


def _record(one: Found) -> dict[str, object]:
    value = one.value.isoformat() if isinstance(one.value, date) else one.value
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        value = int(value)
    record = {"sheet": one.sheet, "cell": one.cell, "of": one.of, "field": one.field, "value": value, "why": one.why}
    return {name: value for name, value in record.items() if value != ""}
