"""Where everything on a shelf stands: x in hard sets, y in pixels from the top."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import ceil, floor

import pandas as pd

from dashboard.sentences.numbers import number
from dashboard.sentences.plain_parts import PLACES

HEADING, NAME, FILL, LEAD, BLOCK, PLANK, GAP = 26, 18, 17, 15, 20, 4, 16  # heights in pixels, from the top of a row
PLANK_LEAST = 8.0  # hard sets; a shorter plank would make two sets look like a week's work
HISTORY_FROM, HISTORY_TO = 1.07, 1.34  # of the plank's length
DRAWN = ("part", "name_", "dose", "low", "high", "band_low", "band_high", "usual", "status", "fill", "direct_sets", "exercises", "days")
COLUMNS = ("x", "x2", "y", "y2", "text")  # of a mark
STROKES = 3  # hatching per indirect block
TOLD = {"name": "part", "dose": "hard sets", "between": "if each credit moves a tier", "direct": "direct sets", "band": "band",
        "usual": "usual", "exercises": "exercises", "days": "days trained", "where": "where"}


@dataclass
class Drawn:
    """The marks by kind (rows of x, x2, y, y2, text), the hover rows, and how large the whole is."""

    right: float
    ticks: list[int]
    height: int = 0
    marks: dict[str, list[tuple]] = field(default_factory=dict)
    told: pd.DataFrame = field(default_factory=pd.DataFrame)

    def add(self, kind: str, x: float, x2: float, y: float, y2: float, text: str = "") -> None:
        self.marks[kind].append((x, x2, y, y2, text))


KINDS = ("bands", "planks", "direct", "indirect", "hatches", "slots", "notches", "ranges", "usual", "weeks", "week_ranges", "week_lows",
         "headings", "names", "doses", "fills", "shorts", "feet")


def plank_length(parts: pd.DataFrame) -> float:
    """The hard sets a plank must hold: every dose, its range and the usual, whole sets."""
    return max(PLANK_LEAST, ceil(parts[["dose", "high", "usual", "band_low"]].max(axis=None) + 0.5))


def lay_out(parts: pd.DataFrame, history: pd.DataFrame, length: float, headings: bool) -> Drawn:
    step = 2 if length <= 16 else 4 if length <= 32 else 10
    drawn = Drawn(right=length * HISTORY_TO, ticks=list(range(0, int(length) + 1, step)), marks={kind: [] for kind in KINDS})
    told, top, muscle = [], 0, None
    weeks = _weeks(history)
    for row in parts.rename(columns={"name": "name_"})[[*DRAWN, *(["muscle"] if headings else [])]].itertuples():
        if headings and row.muscle != muscle:
            muscle = row.muscle
            drawn.add("headings", 0, 0, top + HEADING - 10, 0, muscle.upper())
            top += HEADING
        below = _row(drawn, row, weeks.get(row.part, []), top, length)
        told.append(_told(row) | {"key": row.part, "x": -0.006 * drawn.right, "x2": drawn.right, "y": top - 5, "y2": below - GAP / 2})
        top = below
    drawn.height, drawn.told = top, pd.DataFrame(told)
    drawn.add("feet", drawn.right, drawn.right, top + 15, top, f"last {history['week'].nunique()} weeks")
    return drawn


def _weeks(history: pd.DataFrame) -> dict[str, list[tuple[float, float, float]]]:
    """Dose, low and high of each week, the oldest first, by part: in lists, for a frame is slow to be asked row by row."""
    weeks: dict[str, list[tuple[float, float, float]]] = {}
    ordered = history.sort_values("week")
    for part, *dose in zip(*(ordered[name].tolist() for name in ("part", "dose", "low", "high")), strict=True):
        weeks.setdefault(part, []).append(tuple(dose))
    return weeks


def _row(drawn: Drawn, row, weeks: list[tuple[float, float, float]], top: float, length: float) -> float:
    """Add the marks of one part; returns where the next row begins."""
    short = row.status == "below"
    drawn.add("names", 0, 0, top + 13, 0, row.name_)
    drawn.add("doses", drawn.right, 0, top + 13, 0, f"{number(row.dose)} of {number(row.band_low)}–{number(row.band_high)}")
    line = top + NAME
    if row.fill:
        drawn.add("fills", 0, 0, line + 12, 0, row.fill)
        line += FILL
    block, foot = line + LEAD, line + LEAD + BLOCK
    drawn.add("bands", row.band_low, min(row.band_high, length), line + 3, foot)
    drawn.add("planks", 0, length, foot, foot + PLANK)
    drawn.add("notches", row.band_low, row.band_low, foot - 7, foot + PLANK)
    _blocks(drawn, row, block + 1, foot)
    drawn.add("ranges", row.low, row.high, block - 3, block - 3)
    if pd.notna(row.usual):
        drawn.add("usual", row.usual, 0, block - 9, 0)
    if short:
        drawn.add("slots", row.dose, row.band_low, block + 1, foot)
        drawn.add("shorts", row.band_low, 0, block + BLOCK / 2 + 1, 0, f"{number(row.band_low - row.dose)} short")
    _history(drawn, row, weeks, line, foot, length)
    return foot + PLANK + GAP


def _blocks(drawn: Drawn, row, y: float, y2: float) -> None:
    """Full blocks for direct sets, then narrow hatched ones, each an indirect set at half."""
    direct = min(row.direct_sets, row.dose)
    for x, x2 in _cut(0.0, direct, 1.0):
        drawn.add("direct", x, x2, y, y2)
    for x, x2 in _cut(direct, row.dose, 0.5):
        drawn.add("indirect", x, x2, y, y2)
        for stroke in range(STROKES):
            at, tall = y + 2 + stroke * (y2 - y - 4) / STROKES, (y2 - y - 4) / STROKES
            drawn.add("hatches", x + 0.12 * (x2 - x), x2 - 0.12 * (x2 - x), at + tall, at)


def _cut(start: float, end: float, size: float) -> list[tuple[float, float]]:
    """From start to end in pieces of `size`; the last is what is left."""
    whole = floor(round((end - start) / size, 6))
    edges = [start + i * size for i in range(whole + 1)]
    if end - edges[-1] > 0.01:
        edges.append(end)
    return list(zip(edges, edges[1:], strict=False))


def _history(drawn: Drawn, row, weeks: list[tuple[float, float, float]], top: float, foot: float, length: float) -> None:
    """A small bar and the range of each week, on this part's own scale, with a line at the band's low end."""
    if not weeks:
        return
    left, right = length * HISTORY_FROM, length * HISTORY_TO
    tall = foot - top - 2
    most = max(*(max(dose, high) for dose, _, high in weeks), row.band_low * 1.25)
    wide = (right - left) / len(weeks)
    for i, (dose, low, high) in enumerate(weeks):
        drawn.add("weeks", left + (i + 0.12) * wide, left + (i + 0.88) * wide, foot - tall * dose / most, foot)
        if high > low:
            drawn.add("week_ranges", left + (i + 0.5) * wide, left + (i + 0.5) * wide, foot - tall * high / most, foot - tall * low / most)
    drawn.add("week_lows", left, right, foot - tall * row.band_low / most, foot - tall * row.band_low / most)


def _told(row) -> dict[str, str]:
    return {"name": row.name_, "dose": number(row.dose), "between": f"{number(row.low)} to {number(row.high)}",
            "direct": number(row.direct_sets), "band": f"{number(row.band_low)} to {number(row.band_high)}", "usual": number(row.usual),
            "exercises": number(row.exercises), "days": number(row.days), "where": PLACES.get(row.part, "")}
