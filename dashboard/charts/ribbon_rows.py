"""Where everything on a ribbon stands: x in weeks from the first, y in pixels from the top."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import NamedTuple

import pandas as pd

from dashboard.charts.lines import ROOM, long, wrapped
from dashboard.sentences.numbers import number
from dashboard.sentences.ribbon import Ribbon

TALL, BASE, NUMBER, DATES, PIN, LINE = 190, 6, 18, 36, 24, 15  # pixels: the tallest tile, the board below, a number, two lines of dates, a pin, a line of text
MARGIN = 0.08  # of a week, at each side of a tile
STROKES = 9.0  # pixels between two strokes of hatching
NARROW = 25.5  # pixels of a week on a narrow screen
SHORT, POLE = 100.0, 18  # pixels of a line above a short block, and of a pennant's pole
FILLS = {"easy": "easy", "return": "easy", "running": "running"}  # kind of week -> the mark of its fill, where it is not `done`
LEAST = 10.0  # hard sets that the tallest tile stands for at least
PAST = 3  # pixels by which a fill has to go past its outline to be shown so
HEADROOM = 1.04


@dataclass
class Drawn:
    """Marks by kind (each a list of rows), how many weeks the ribbon spans, the hard sets at its top, and how tall the whole is."""

    weeks: int
    top: float
    height: float = 0
    marks: dict[str, list[dict]] = field(default_factory=lambda: {kind: [] for kind in KINDS})


KINDS = ("planned", "usual", "past_planned", "past_usual", "done", "easy", "hatches", "running", "board", "numbers",
         "inside", "on_pale", "on_running", "above", "dates", "months", "pins", "pin_numbers",
         "brackets", "posts", "aims", "poles", "flags", "goals", "hover")


def top_of(weeks: pd.DataFrame) -> float:
    """The hard sets that a ribbon's tallest tile has to hold: pictures side by side share the larger."""
    return max(LEAST, HEADROOM * max(weeks[["done", "planned", "usual"]].max(axis=None), 0.0))


def lay_out(of: Ribbon, top: float) -> Drawn:
    drawn, start = Drawn(((of.until - of.start).days + 1) // 7, top), of.start
    tiles = [_tile(row, top) for row in of.weeks.itertuples()]
    line = _goals(drawn, start, of.goals, _blocks(drawn, start, of.blocks, 4.0))
    foot = line + max([NUMBER + TALL, *(tile.word_up + tile.word_long for tile in tiles)])
    for row, tile in zip(of.weeks.itertuples(), tiles, strict=True):
        _draw(drawn, row, tile, (row.week.date() - start).days / 7, foot)
    drawn.marks["board"].append({"x": 0, "x2": drawn.weeks, "y": foot, "y2": foot + BASE})
    _dates(drawn, start, foot + BASE)
    below = foot + BASE + DATES
    drawn.height = below + _pins(drawn, start, of.pins, below)
    return drawn


class Tile(NamedTuple):
    """How tall a week's fill and its outline are, which outline it has (planned, usual, or none), and where its word begins, in pixels above the board."""

    fill: float
    outline: float
    outlined: str
    word: str  # the mark that draws it
    word_up: float
    word_long: float


def _tile(row, top: float) -> Tile:
    outlined, value = ("planned", row.planned) if pd.notna(row.planned) else ("usual", row.usual)
    fill, outline = (min(sets, top) / top * TALL if pd.notna(sets) else 0.0 for sets in (row.done, value))
    return Tile(fill, outline, outlined if pd.notna(value) else "", *_word(row, fill, outline))


def _word(row, fill: float, outline: float) -> tuple[str, float, float]:
    """A week's word, written upward: in the fill where it has room there, else in the outline above it, else above the number."""
    room = long(row.word)
    if fill >= room + 10:
        return {"done": "inside", "easy": "on_pale", "running": "on_running"}[FILLS.get(row.kind, "done")], 7.0, room
    return "above", fill + 6 if outline - fill >= room + 8 else max(fill, outline) + NUMBER + 2, room


def _draw(drawn: Drawn, row, tile: Tile, at: float, foot: float) -> None:
    left, right = at + MARGIN, at + 1 - MARGIN
    filled, outline, kind = foot - tile.fill, foot - tile.outline, FILLS.get(row.kind, "done")
    if tile.fill > 0:
        drawn.marks[kind].append({"x": left, "x2": right, "y": filled, "y2": foot})
    if kind == "easy":
        _hatch(drawn, left, right, filled, foot)
    if tile.outlined == "planned" or outline < filled:  # of what is usual only what is left of it, above the fill
        drawn.marks[tile.outlined].append({"x": left, "x2": right, "y": outline, "y2": foot if tile.outlined == "planned" else filled})
    if tile.outlined and outline - filled > PAST:
        drawn.marks[f"past_{tile.outlined}"].append({"x": left, "x2": right, "y": outline, "y2": outline})
    head = min(filled, outline)
    planned = f" / {number(row.planned, 0)}" if pd.notna(row.planned) else ""
    drawn.marks["numbers"].append({"x": at + 0.5, "y": head - 5, "text": number(row.done, 0), "long": number(row.done, 0) + planned})
    if row.word:
        drawn.marks[tile.word].append({"x": at + 0.5, "y": foot - tile.word_up, "text": row.word, "wide": tile.word_long})
    drawn.marks["hover"].append({
        "x": at, "x2": at + 1, "y": head - NUMBER, "y2": foot + BASE, "week": row.week, "key": row.week.date().isoformat(), "done": number(row.done), "planned": number(row.planned),
        "usual": number(row.usual), "word": row.word or "–"})


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


def _pins(drawn: Drawn, start: date, pins: pd.DataFrame, top: float) -> float:
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
    """A bracket for each block with its aim above it; those whose words or brackets would meet on a narrow screen stand below each other."""
    lanes: list[list[dict]] = []
    for row in blocks.itertuples():
        left, right = max(0.0, (row.starts.date() - start).days / 7), min(float(drawn.weeks), ((row.ends.date() - start).days + 1) / 7)
        lines = wrapped(row.aim, min(ROOM, max(SHORT, (right - left) * NARROW))) or [""]
        wide = max(map(long, lines))
        begins = min(left, max(0.0, drawn.weeks - wide / NARROW))
        opened, closed = row.starts.date() >= start, (row.ends.date() - start).days < 7 * drawn.weeks
        block = {"left": left, "right": right, "lines": lines, "wide": wide, "begins": begins, "reach": max(right, begins + wide / NARROW),
                 "posts": [left + MARGIN] * opened + [right - MARGIN] * closed}
        lane = next((lane for lane in lanes if lane[-1]["reach"] <= begins), None)
        lanes.append([block]) if lane is None else lane.append(block)
    for lane in lanes:
        bar = top + LINE * max(len(block["lines"]) for block in lane) + 4
        for block in lane:
            _bracket(drawn, block, bar)
        top = bar + 14
    return top


def _bracket(drawn: Drawn, block: dict, bar: float) -> None:
    for i, text in enumerate(reversed(block["lines"])):
        drawn.marks["aims"].append({"x": block["left"] + MARGIN, "y": bar - 6 - LINE * i, "text": text, "wide": block["wide"]})
    drawn.marks["brackets"].append({"x": block["left"] + MARGIN, "x2": block["right"] - MARGIN, "y": bar, "y2": bar})
    drawn.marks["posts"] += [{"x": x, "x2": x, "y": bar, "y2": bar + 6} for x in block["posts"]]


def _goals(drawn: Drawn, start: date, goals: pd.DataFrame, top: float) -> float:
    """A pennant for each goal at its day, with its words above it."""
    for row in goals.itertuples():
        at = ((row.due.date() - start).days + 0.5) / 7
        lines = wrapped(row.text + (" (reached)" if row.reached else ""))
        for i, text in enumerate(lines):
            drawn.marks["goals"].append({"x": at, "y": top + LINE * (i + 1) - 3, "text": text, "wide": max(map(long, lines))})
        top += LINE * len(lines)
        drawn.marks["poles"].append({"x": at, "x2": at, "y": top + 1, "y2": top + POLE})
        drawn.marks["flags"].append({"x": at, "y": top + 6})
        top += POLE + 4
    return top
