"""Steps of a job as plain text of a given width."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping, Sequence

from ..reader.faults import one_line
from .explain import ANSWERS, CHAIN_DEPTH, Explained, Part, Step

NARROWEST, WIDEST = 40, 140
_INDENT = 2


def as_text(job: Explained, field: str | None, *, width: int) -> str:
    """The chain of the main answers, or one field and, indented, what it rests on."""
    width = min(max(width, NARROWEST), WIDEST)
    head = f"Job {job.job}, row {job.row}, edition {job.edition}; values of {job.engine}."
    lines = list(_wrapped(head, 0, width))
    if job.state != "ready":
        lines += _wrapped(f"The row is not ready, so nothing is calculated: {job.state}", 0, width)
    if field is None:
        lines += _chain(job, width)
    else:
        lines += ["", *_tree(job, field, job.graph.tree(field, job.values), 0, width)]
    return "\n".join(lines)


def _chain(job: Explained, width: int) -> Iterator[str]:
    sheet = ""
    for name in job.graph.chain(ANSWERS, job.values, depth=CHAIN_DEPTH):
        step = job.step(name)
        if step.sheet != sheet:
            sheet = step.sheet
            yield from ("", sheet.upper())
        yield ""
        yield from _step(step, 0, width)
        for part in (*(job.short(one) for one in step.needs), *step.parts):
            yield from _part(part, _INDENT, width)


def _tree(job: Explained, name: str, below: Mapping[str, Sequence[str]], indent: int, width: int) -> Iterator[str]:
    step = job.step(name)
    yield from _step(step, indent, width)
    inner = indent + _INDENT
    for part in step.parts:
        yield from _part(part, inner, width)
    for need in step.needs:
        if need in below[name]:
            yield from _tree(job, need, below, inner, width)
        else:
            deeper = "shown once" if need in below else "explain it by its name"
            part = job.short(need)
            yield from _part(Part(part.name, part.value, f"{part.source}, {deeper}"), inner, width)


def _step(step: Step, indent: int, width: int) -> Iterator[str]:
    yield from _wrapped(f"{step.name} = {step.value}   {step.cell}", indent, width)
    inner = indent + _INDENT
    yield from _wrapped(f"{step.title}: {step.sentence} [{step.section}]", inner, width)
    yield from _wrapped(step.formula, inner, width)
    for remark in step.remarks:
        yield from _wrapped(f"DIFFERS: {remark}", inner, width)


def _part(part: Part, indent: int, width: int) -> Iterator[str]:
    value = f" = {part.value}" if part.value else ""
    yield from _wrapped(f"{part.name}{value}   {part.source}", indent, width)


def _wrapped(text: str, indent: int, width: int) -> list[str]:
    """A text in lines; deep indents stop where half of the width is gone."""
    indent = min(indent, width // 2)
    return textwrap.wrap(
        one_line(text), width, initial_indent=" " * indent, subsequent_indent=" " * (indent + 2 * _INDENT),
        break_on_hyphens=False, drop_whitespace=True,
    )  # fmt: skip
