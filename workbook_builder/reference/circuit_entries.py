"""Rows of the circuit list: the job of each, and the checks between its entries."""

from __future__ import annotations

import numpy as np

from workbook_builder.reference.choice import Choice
from workbook_builder.reference.inputs import CHECK_WORDS
from workbook_builder.reference.registry import rule


@rule("circuit_job_row")
def circuit_job_row(job_no: np.ndarray, ready_job_no: np.ndarray) -> np.ndarray:
    """Each circuit belongs to the ready job that carries its job number, letters' case aside.

    Section: own rule.
    Inputs: job_no of each circuit, ready_job_no of each job, blank where not ready [text].
    Result: [row, the first being 1]; 0 where there is none.

    >>> circuit_job_row(np.array(["b1", "C"], object), np.array(["A1", "", "B1"], object)).tolist()
    [3.0, 0.0]
    """
    if len(job_no) == 0:
        return np.zeros(0)
    rows = {number.lower(): row for row, number in enumerate(ready_job_no, start=1) if number != ""}
    return np.fromiter((rows.get(number.lower(), 0) for number in job_no), np.float64, len(job_no))


@rule("check_circuit_job", words=CHECK_WORDS)
def check_circuit_job(job_no: np.ndarray, circuit_job_row: np.ndarray) -> np.ndarray:
    """A circuit belongs to a job that is ready.

    Section: own rule.
    Inputs: job_no [text], circuit_job_row [row]. Result: True where broken.
    """
    return (job_no != "") & (circuit_job_row == 0)


@rule("check_circuit_poles", words=CHECK_WORDS)
def check_circuit_poles(position: np.ndarray, poles: np.ndarray, panel_positions: np.ndarray) -> np.ndarray:
    """The second pole stands two positions on, in the same column of the panel.

    Section: own rule.
    Inputs: position, panel_positions [space], poles [poles]. Result: True where broken.
    """
    return (poles == 2) & (position + 2 > panel_positions)


@rule("check_circuit_action", words=CHECK_WORDS)
def check_circuit_action(panel: Choice, action: Choice) -> np.ndarray:
    """A circuit that moves stands in the added panel after the work.

    Section: own rule.
    Inputs: panel, action. Result: True where broken.
    """
    return action.is_("move") & panel.is_("main")
