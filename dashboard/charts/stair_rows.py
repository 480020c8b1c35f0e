"""Where everything on a stair stands: x in days from the first Monday, y in pixels from the top.

Each step has a row of its own, the higher one above: a strip for its name, the room in which its dots stand, and the tread. Names
have their strip alone, so that they never meet a dot; how far right a name begins is settled where the width is known.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike

from dashboard.charts.lines import BOLD, ROOM as LINE_ROOM, long, wrapped
from dashboard.sentences.numbers import begun, day
from dashboard.sentences.stair import LADDER, LOADS, Ahead, Stair

LINE, TREAD, GAP, GROUND, AIR = 16, 5, 7, 10, 6  # heights in pixels, from the top of a row
ROOM, LESS_ROOM, MANY = 76, 58, 4  # pixels in which the dots of a step stand, fewer where there are more steps than this
REACH = {LADDER: (0.0, 1.25), LOADS: (-0.15, 1.5)}  # of what is asked: where a dot stands at least, and at most
CLEAR = 4  # pixels between a strip and the room below it
COMING = 0.11  # of the window: how much room the next tread has at the right
GAP_WEEKS = 3  # a step that was left for longer has another tread when it is stood on again
MIST_END = 2.5  # days that the mist reaches beyond the first and the last session of a run
INNER = 0.53  # half of the 80 % interval holds the truth in about 50 %: 0.674/1.282 standard errors


@dataclass
class Drawn:
    """Marks by kind (each a list of rows), how many days the weeks and the whole axis span, where it has ticks, the room of a step's dots,
    and how tall the whole is.
    """

    days: float
    right: float
    ticks: list[int]
    room: float
    height: float = 0
    marks: dict[str, list[dict]] = field(default_factory=lambda: {kind: [] for kind in KINDS})


KINDS = ("bodies", "risers", "treads", "asked", "mist", "core", "middle", "names", "places", "points",
         "next_treads", "next_lines", "next_names", "opens")
BOLD_KINDS = ("names", "next_names")


def lay_out(stair: Stair) -> Drawn:
    days = (stair.until - stair.start).days + 1
    every = 7 * max(1, round(days / 7 / 6))
    drawn = Drawn(days, days * (1 + COMING), list(range(0, days, every)), LESS_ROOM if len(stair.steps) > MANY else ROOM)
    runs = visits(stair)
    feet = _feet(drawn, stair, runs)
    _risers(drawn, runs, feet)
    if stair.ahead:
        _next(drawn, stair, runs[stair.current][-1][1], feet)
    return drawn


Runs = dict[int, list[tuple[float, float]]]


def visits(stair: Stair) -> Runs:
    """Step -> from which to which day it was stood on, by whole weeks, parted where it was left for more than GAP_WEEKS."""
    steps, weeks = stair.sessions["step"].to_numpy(), _days(stair, stair.sessions["date"]) // 7
    found: Runs = {}
    for step in range(len(stair.steps)):
        own = np.unique(weeks[steps == step])
        found[step] = [(7.0 * run[0], 7.0 * run[-1] + 7) for run in np.split(own, np.flatnonzero(np.diff(own) > GAP_WEEKS) + 1)]
    return found


def _feet(drawn: Drawn, stair: Stair, visited: Runs) -> dict[int, float]:
    """Add the rows from the highest down; returns step -> where its dots' feet stand."""
    sessions = dict(list(stair.sessions.groupby("step")))
    top, feet = float(AIR), {}
    if stair.ahead and stair.ahead.step is None:
        top = _next_row(drawn, stair, stair.ahead, top)
    for row in stair.steps.iloc[::-1].itertuples():
        opens = stair.ahead.opens if stair.ahead and stair.ahead.step == row.step else ""
        own, runs = sessions[row.step], visited[row.step]
        top = _strip(drawn, runs[0][0], top, names=begun(row.name_), places=_under(own, row))
        top = _strip(drawn, drawn.days, top, opens=opens)
        foot = top + CLEAR + drawn.room
        for start, end in runs:
            drawn.marks["treads"].append({"x": start, "x2": end, "y": foot, "y2": foot + TREAD})
            asked = float(height(stair.kind, 1.0, foot, drawn.room))
            drawn.marks["asked"].append({"x": start, "x2": end, "y": asked, "y2": asked})
        _points(drawn, stair, row, own, runs, foot)
        feet[row.step], top = foot, foot + TREAD + GAP
    drawn.height = top - GAP + GROUND
    return feet


def _under(own: pd.DataFrame, row) -> str:
    """The quiet line under a name: its place on the ladder, from when to when, and what is left to do on a last step. own: the step's sessions."""
    first, last = own["date"].iloc[0], own["date"].iloc[-1]
    return " · ".join(filter(None, [row.place, _when(first, last), row.asks * row.last]))


def _when(first: date, last: date) -> str:
    """From when to when, short: it stands over a tread that may be narrow.

    >>> _when(date(2026, 9, 1), date(2026, 9, 22)), _when(date(2026, 8, 31), date(2026, 9, 18)), _when(date(2026, 9, 1), date(2026, 9, 1))
    ('1 – 22 Sep', '31 Aug – 18 Sep', '1 Sep')
    """
    begins = f"{first.day}" if first.month == last.month else f"{first.day} {first:%b}"
    return f"{begins} – {last.day} {last:%b}" if last > first else f"{last.day} {last:%b}"


def _strip(drawn: Drawn, x: float, top: float, **texts: str) -> float:
    """Add texts below each other, all beginning alike (`wide`: of the widest line in pixels); returns where they end."""
    sizes = {kind: BOLD if kind in BOLD_KINDS else 1.0 for kind in texts}
    lines = [(kind, line) for kind, text in texts.items() for line in wrapped(text, LINE_ROOM / sizes[kind])]
    wide = max((long(line) * sizes[kind] for kind, line in lines), default=0)
    for i, (kind, line) in enumerate(lines):
        drawn.marks[kind].append({"x": x, "y": top + LINE * (i + 1) - 4, "text": line, "wide": wide})
    return top + LINE * len(lines)


def height(kind: str, near: ArrayLike, foot: float, room: float) -> np.ndarray:
    """How far down something stands that is `near` what is asked, in the room above a foot."""
    low, high = REACH[kind]
    return foot - 4 - (np.clip(near, low, high) - low) / (high - low) * (room - 8)


def _points(drawn: Drawn, stair: Stair, row, own: pd.DataFrame, runs: Sequence[tuple[float, float]], foot: float) -> None:
    at = _days(stair, own["date"]) + 0.5
    heights = height(stair.kind, own["near"].to_numpy(), foot, drawn.room)
    sessions = zip(*(own[name].tolist() for name in ("date", "told", "interval", "near", "exercise")), strict=True)
    for x, y, (when, told, interval, near, exercise) in zip(at.tolist(), heights.tolist(), sessions, strict=True):
        drawn.marks["points"].append({"x": x, "y": y, "name": row.name_, "date": day(when), "told": told, "interval": interval,
                                      "asks": row.asks or "no number", "met": near >= 1, "key": f"{when.date().isoformat()} {exercise}"})
    ends_of = [own[name].to_numpy() for name in ("mist_low", "mist_middle", "mist_high")]
    for number, (start, end) in enumerate(runs):
        here = (at >= start) & (at < end)
        days = at[here]
        around = np.unique(np.r_[max(start, days[0] - MIST_END), days, min(end, days[-1] + MIST_END)])
        low, middle, high = (np.interp(around, days, one[here]) for one in ends_of)
        inner = middle + INNER * (low - middle), middle + INNER * (high - middle)
        for kind, ends in (("mist", (low, high)), ("core", inner), ("middle", (middle, middle))):
            heights_of = [height(stair.kind, end, foot, drawn.room).tolist() for end in ends]
            drawn.marks[kind] += [{"x": x, "y": a, "y2": b, "run": f"{row.step} {number}"} for x, a, b in zip(around.tolist(), *heights_of, strict=True)]


def _risers(drawn: Drawn, runs: Runs, feet: dict[int, float]) -> None:
    """The solid body below each tread, but where a lower one was stood on beside it, and its riser from whatever stands beside it.

    A week that both share is a step up from the lower one, no standing on both, where the lower one was there before.
    """
    stood = [(start, end, foot) for step, foot in feet.items() for start, end in runs[step]]
    for start, end, foot in stood:
        for a, b in _left_of(start, end, [(low, high) for low, high, other in stood if other > foot and (low >= start or min(high, end) - start > 7)]):
            drawn.marks["bodies"].append({"x": a, "x2": b, "y": foot + TREAD, "y2": drawn.height})
        beside = min((other for a, b, other in stood if a < start <= b), default=drawn.height)
        if beside > foot:
            drawn.marks["risers"].append({"x": start, "x2": start, "y": foot + TREAD, "y2": beside})


def _left_of(start: float, end: float, taken: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """What is left of a span where others are taken out of it.

    >>> _left_of(0, 10, [(4, 6), (8, 12)]), _left_of(0, 10, [(0, 10)])
    ([(0, 4), (6, 8)], [])
    """
    left = [(start, end)]
    for low, high in taken:
        left = [piece for a, b in left for piece in ((a, min(b, low)), (max(a, high), b)) if piece[0] < piece[1]]
    return left


def _next_row(drawn: Drawn, stair: Stair, ahead: Ahead, top: float) -> float:
    """The row of a next tread that was never stood on in these weeks; returns where the next row begins."""
    top = _strip(drawn, drawn.days, top, next_names=begun(ahead.name), opens=ahead.opens)
    drawn.marks["next_treads"].append({"x": drawn.days, "x2": drawn.right, "y": top + 8, "y2": top + 8 + TREAD})
    return top + 8 + TREAD + GAP


def _next(drawn: Drawn, stair: Stair, left: float, feet: dict[int, float]) -> None:
    """The dashed tread of the next step, and its riser from the tread that is stood on, up to the day `left`."""
    if stair.ahead.step is not None:
        foot = feet[stair.ahead.step]
        drawn.marks["next_treads"].append({"x": drawn.days, "x2": drawn.right, "y": foot, "y2": foot + TREAD})
    top, tread = drawn.marks["next_treads"][0]["y2"], feet[stair.current] + TREAD / 2
    drawn.marks["next_lines"].append({"x": drawn.days, "x2": drawn.days, "y": top, "y2": tread})
    if left < drawn.days:
        drawn.marks["next_lines"].append({"x": left, "x2": drawn.days, "y": tread, "y2": tread})


def _days(stair: Stair, dates: pd.Series) -> np.ndarray:
    return (dates - pd.Timestamp(stair.start)).dt.days.to_numpy().astype(float)


def epoch(start: date) -> int:
    """Milliseconds from 1970 to a day, for the labels of an axis in days."""
    return int(pd.Timestamp(start).timestamp() * 1000)
