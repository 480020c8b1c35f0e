"""The last weeks of one athlete as a picture the size of a word: hard sets as columns on a plank, with a line for what is usual.

It is made as SVG text, since a table of many rows cannot hold a chart for each; it stands in the page as an image with a text alternative.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Sequence

import pandas as pd

from dashboard.look import Look
from dashboard.sentences.numbers import number

COLUMN, GAP, TALL, PLANK = 11, 4, 30, 3  # pixels
READING = "Columns: hard sets of the last eight weeks, the newest at the right. A line across: what is usual. Pale and dashed: a deload. A dash on the plank: no session."

Week = tuple[float, float, bool] | None  # hard sets, usual, whether it was a deload; None where the log holds no such week


def svg(weeks: Sequence[Week], colours: Look) -> str:
    """The picture as SVG, as wide as its weeks. All columns of one picture share its scale."""
    known = [value for week in weeks if week for value in week[:2] if pd.notna(value)]
    top = max([1.0, *known])
    width, height = len(weeks) * (COLUMN + GAP) + GAP, TALL + PLANK + 2
    marks = "".join(_week(week, GAP + i * (COLUMN + GAP), top, colours) for i, week in enumerate(weeks))
    plank = f'<rect x="0" y="{TALL + 1}" width="{width}" height="{PLANK}" fill="{colours.plank}"/>'
    return f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" viewBox="0 0 {width} {height}">{plank}{marks}</svg>'


def as_image(weeks: Sequence[Week], colours: Look) -> str:
    """The picture as an address that an image can stand for."""
    return f"data:image/svg+xml;base64,{b64encode(svg(weeks, colours).encode()).decode()}"


def in_words(weeks: Sequence[Week]) -> str:
    """The text alternative: each week's hard sets, the oldest first, and what is usual in the last one that is known.

    >>> in_words([None, (44.0, 46.0, False), (20.0, 46.0, True)])
    'Hard sets, oldest week first: none logged, 44, 20 (deload); usual 46.'
    """
    told = ["none logged" if week is None or not week[0] else number(week[0]) + (" (deload)" if week[2] else "") for week in weeks]
    usual = next((week[1] for week in reversed(weeks) if week and pd.notna(week[1])), None)
    return f"Hard sets, oldest week first: {', '.join(told)}; {'no usual yet' if usual is None else f'usual {number(usual)}'}."


def _week(week: Week, left: float, top: float, colours: Look) -> str:
    if week is None or not week[0]:
        return f'<rect x="{left + 2}" y="{TALL - 1}" width="{COLUMN - 4}" height="2" fill="{colours.soft}"/>'
    hard_sets, usual, deload = week
    tall = max(1.0, (TALL - 2) * hard_sets / top)
    dress = f'fill="{colours.pale}" stroke="{colours.done}" stroke-dasharray="2 1.5"' if deload else f'fill="{colours.done}"'
    column = f'<rect x="{left}" y="{TALL + 1 - tall:.1f}" width="{COLUMN}" height="{tall:.1f}" rx="1.5" {dress}/>'
    if pd.isna(usual):
        return column
    y = TALL + 1 - (TALL - 2) * usual / top
    # A halo, so that the line is seen on a column as well as above it.
    return column + "".join(
        f'<line x1="{left - 1.5}" x2="{left + COLUMN + 1.5}" y1="{y:.1f}" y2="{y:.1f}" stroke="{stroke}" stroke-width="{wide}"/>'
        for stroke, wide in ((colours.paper, 3.5), (colours.ink, 1.5)))
