"""Where everything on a ribbon stands: x in weeks from the first, y in pixels from the top."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass, field
from datetime import date

import pandas as pd

from dashboard.sentences.numbers import number

TALL, BASE, NUMBER, DATES, PIN, LINE = 190, 6, 18, 36, 24, 15  # pixels: the tallest tile, the board below, a number, two lines of dates, a pin, a line of text
MARGIN = 0.08  # of a week, at each side of a tile
STROKES = 9.0  # pixels between two strokes of hatching
LETTER, WRAP = 6.9, 44  # pixels of a letter, rather too many, and the characters of a line on a narrow screen
NARROW = 26.5  # pixels of a week on a narrow screen
LEAST = 10.0  # hard sets that the tallest tile stands for at least
HEADROOM = 1.04


@dataclass
class Drawn:
    """Marks by kind (each a list of rows), how many weeks the ribbon spans, the hard sets at its top, and how tall the whole is."""

    weeks: int
    top: float
    height: float = 0
    marks: dict[str, list[dict]] = field(default_factory=lambda: {kind: [] for kind in KINDS})


KINDS = ("planned", "usual", "done", "easy", "hatches", "running", "board", "numbers", "inside", "above", "dates", "months", "needles", "pins", "pin_numbers",
         "brackets", "posts", "aims", "poles", "flags", "goals", "hover")


def top_of(weeks: pd.DataFrame) -> float:
    """The hard sets that a ribbon's tallest tile has to hold: pictures side by side share the larger."""
    return max(LEAST, HEADROOM * max(weeks[["done", "planned", "usual"]].max(axis=None), 0.0))


def lay_out(start: date, until: date, weeks: pd.DataFrame, pins: pd.DataFrame, blocks: pd.DataFrame, goals: pd.DataFrame, top: float) -> Drawn:
    drawn = Drawn(((until - start).days + 1) // 7, top)
    line = _goals(drawn, start, goals, _blocks(drawn, start, blocks, 4.0))
    foot = line + NUMBER + TALL
    for row in weeks.itertuples():
        _tile(drawn, row, (row.week.date() - start).days / 7, foot)
    drawn.marks["board"].append({"x": 0, "x2": drawn.weeks, "y": foot, "y2": foot + BASE})
    _dates(drawn, start, foot + BASE)
    below = foot + BASE + DATES
    drawn.height = below + _pins(drawn, start, pins, below, foot + BASE)
    return drawn


def _tile(drawn: Drawn, row, at: float, foot: float) -> None:
    left, right = at + MARGIN, at + 1 - MARGIN

    def height(sets: float) -> float:
        return foot - min(sets, drawn.top) / drawn.top * TALL

    fill = {"easy": "easy", "running": "running"}.get(row.kind, "done")
    filled = height(row.done)
    if row.done > 0:
        drawn.marks[fill].append({"x": left, "x2": right, "y": filled, "y2": foot})
    if fill == "easy":
        _hatch(drawn, left, right, filled, foot)
    outlined = row.planned if pd.notna(row.planned) else row.usual
    if pd.notna(outlined):
        drawn.marks["planned" if pd.notna(row.planned) else "usual"].append({"x": left, "x2": right, "y": height(outlined), "y2": foot})
    head = min(filled, height(outlined) if pd.notna(outlined) else foot)
    planned = f" / {number(row.planned, 0)}" if pd.notna(row.planned) else ""
    drawn.marks["numbers"].append({"x": at + 0.5, "y": head - 5, "text": number(row.done, 0), "long": number(row.done, 0) + planned})
    _word(drawn, row, at, fill, filled, foot)
    drawn.marks["hover"].append({
        "x": at, "x2": at + 1, "y": head - NUMBER, "y2": foot + BASE, "week": row.week, "done": number(row.done), "planned": number(row.planned),
        "usual": number(row.usual), "word": row.word or "–"})


def _word(drawn: Drawn, row, at: float, fill: str, filled: float, foot: float) -> None:
    """The word of a week, written upward: in the fill where it has room there, else above it."""
    if not row.word:
        return
    fits = foot - filled >= LETTER * len(row.word) + 10
    on_done = fits and fill == "done"
    drawn.marks["inside" if on_done else "above"].append({"x": at + 0.5, "y": foot - 7 if fits or not row.done else filled - 6, "text": row.word})


def _hatch(drawn: Drawn, left: float, right: float, top: float, foot: float) -> None:
    """Strokes that rise to the right, so that an easy week is told by more than its colour."""
    at = foot
    while at - STROKES > top:
        drawn.marks["hatches"].append({"x": left, "x2": right, "y": at, "y2": at - STROKES})
        at -= STROKES


def _dates(drawn: Drawn, start: date, top: float) -> None:
    """The day of each Monday, and below it the month where it begins."""
    month = ""
    for week in range(drawn.weeks):
        monday = pd.Timestamp(start) + pd.Timedelta(weeks=week)
        drawn.marks["dates"].append({"x": week + 0.5, "y": top + 15, "text": str(monday.day)})
        if f"{monday:%b}" != month:
            month = f"{monday:%b}"
            drawn.marks["months"].append({"x": week + 0.5, "y": top + 29, "text": month})


def _pins(drawn: Drawn, start: date, pins: pd.DataFrame, top: float, board: float) -> float:
    """A numbered pin below the week of each decision, those of one week below each other; returns the room they take."""
    held: dict[int, int] = {}
    for row in pins.itertuples():
        week = (row.date.date() - start).days // 7
        place = held.get(week, 0)
        held[week] = place + 1
        y = top + PIN * place + PIN / 2
        drawn.marks["pins"].append({"x": week + 0.5, "y": y, "told": f"{row.text} {row.followed}", "number": row.number})
        drawn.marks["pin_numbers"].append({"x": week + 0.5, "y": y, "text": str(row.number)})
    return PIN * max(held.values(), default=0) + 4


def _blocks(drawn: Drawn, start: date, blocks: pd.DataFrame, top: float) -> float:
    """A bracket for each block with its aim above it; two whose words would meet on a narrow screen stand below each other."""
    free: list[tuple[float, float]] = []  # of each lane: up to which week its words reach, and where its bracket stands
    for row in blocks.itertuples():
        left = max(0.0, (row.starts.date() - start).days / 7)
        right = min(float(drawn.weeks), ((row.ends.date() - start).days + 1) / 7)
        lines = textwrap.wrap(row.aim, WRAP) or [""]
        wide = LETTER * max(map(len, lines))
        begins = min(left, max(0.0, drawn.weeks - wide / NARROW))
        line = max([top, *(bottom for reach, bottom in free if reach > begins)])
        for i, text in enumerate(lines):
            drawn.marks["aims"].append({"x": left, "y": line + LINE * (i + 1) - 3, "text": text, "wide": wide})
        bar = line + LINE * len(lines) + 4
        drawn.marks["brackets"].append({"x": left + MARGIN, "x2": right - MARGIN, "y": bar})
        opened, closed = row.starts.date() >= start, (row.ends.date() - start).days + 1 <= 7 * drawn.weeks
        drawn.marks["posts"] += [{"x": x, "y": bar, "y2": bar + 6} for x, there in ((left + MARGIN, opened), (right - MARGIN, closed)) if there]
        free.append((max(right, begins + wide / NARROW), bar + 12))
    return max([top, *(bottom for _, bottom in free)])


def _goals(drawn: Drawn, start: date, goals: pd.DataFrame, top: float) -> float:
    """A pennant for each goal at its day, with its words beside it, each on lines of its own."""
    for row in goals.itertuples():
        at = (row.due.date() - start).days / 7
        lines = textwrap.wrap(row.text + (" (reached)" if row.reached else ""), WRAP - 4)
        drawn.marks["poles"].append({"x": at, "y": top + 2, "y2": top + 2 + LINE * len(lines)})
        drawn.marks["flags"].append({"x": at, "y": top + 8})
        for i, text in enumerate(lines):
            drawn.marks["goals"].append({"x": at, "y": top + LINE * (i + 1) - 2, "text": text, "wide": LETTER * max(map(len, lines)), "beside": 16})
        top += LINE * len(lines) + 5
    return top
