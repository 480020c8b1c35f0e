"""Figures of the committed calibration within a text, so that no text says what the table no longer does.

`{load_half_part}` is a case's figure; `{half: SERIES}` the weeks within which half of a curve's stops are found, and
`{16 weeks: SERIES}` the share that is found within so many.
"""

from __future__ import annotations

import re
from functools import cache

import pandas as pd

from dashboard.methods.calibration import Calibration, calibration
from dashboard.sentences.decimal_mark import POINT, written_with
from dashboard.sentences.numbers import UNKNOWN, number

PLACE = re.compile(r"\{([^{}]+)\}")
WITHIN = re.compile(r"(\d+) weeks")
HALF, WHOLE = 50.0, ("%", "weeks")


@written_with(POINT)  # it is read once for all readers; a page turns the text when it shows it
def filled(text: str, run: Calibration | None = None) -> str:
    """The text with its figures: shares in whole per cent, weeks whole, others with two decimals; '–' for what the run has not.

    run: the committed one where none is given.
    """
    if "{" not in text:
        return text
    known = run or _committed()
    return PLACE.sub(lambda place: number(*_figure(place[1], known)) if known else UNKNOWN, text)


@cache
def _committed() -> Calibration | None:
    """Read once: several texts have a figure of it."""
    return calibration()


def _figure(asked: str, run: Calibration) -> tuple[float | None, int]:
    """The number and its decimals."""
    what, of_curve, series = asked.partition(": ")
    if not of_curve:
        found = run.cases[run.cases["case_id"] == what]
        return (None, 0) if found.empty else (float(found["value"].iloc[0]), 0 if found["unit"].iloc[0].startswith(WHOLE) else 2)
    curve = run.curves[(run.curves["curve"] == "found") & (run.curves["series"] == series)].set_index("x")["value"].sort_index()
    within = WITHIN.fullmatch(what)
    return (curve.get(float(within[1])) if within else _first(curve, HALF)), 0


def _first(curve: pd.Series, share: float) -> float | None:
    reached = curve.index[curve >= share]
    return float(reached[0]) if len(reached) else None
