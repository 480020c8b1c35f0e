"""What stands in the picture of weekly hard sets: a row for each week, and its marks. x is in weeks from the first, y in hard sets."""

from __future__ import annotations

from datetime import date
from math import ceil
from typing import Any, NamedTuple

import pandas as pd

from dashboard.sentences.dose import between
from dashboard.sentences.numbers import day, number

HEIGHT = 220
LETTER, SHAPE = 6.2, 24  # pixels: of a word written upward, and of the shape below it
DAYS_NAMED = 6
MARGIN = 1 / 14  # of a week, at each side of a bar
HEADROOM, LEAST = 1.08, 4.0
EASY = ("deload", "holiday", "illness", "layoff", "return")
MARKS = {"step_up": "step up", "spike": "spike", "large_spike": "large spike"}
AS_PLANNED = {"": "planned", "step up": "step, planned", "spike": "spike, planned", "large spike": "large, planned"}
PLANNED = "planned"  # a marked week in which nothing stood out
NUMBERS = ("load", "low", "high", "usual", "planned", "band_low", "band_high")
OTHERS = ("week", "mark", "state", "so_far", "planned_increase")
KINDS = ("frame", "band", "full", "easy", "planned", "usual", "range", "points", "hollow_points", "words", "dates", "hover", "nothing")
NOTHING = {"x": 0.0, "x2": 0.0, "y": 0.0, "y2": 0.0}  # unseen; a layer without a row would have no extent that the axis could take in

Marks = dict[str, list[dict[str, Any]]]


class Week(NamedTuple):
    """A bar: hard sets, None where a number is absent; the word over it, '' without one; the shape's kind, '' without one."""

    week: date
    load: float
    low: float | None
    high: float | None
    usual: float | None
    planned: float | None
    band_low: float | None
    band_high: float | None
    label: str
    told: str  # as `label`, at full length
    kind: str
    easy: bool
    hollow: bool  # the increase was planned

    @property
    def tall(self) -> float:
        """As high as anything of it reaches."""
        return max(0.0, *(value for value in (self.load, self.high, self.usual, self.planned) if value is not None))


def weeks_of(series: pd.DataFrame) -> list[Week]:
    """The rows of a series (`weekly.weekly`), oldest first; a column that it lacks is absent in all of them."""
    columns = [series[name].tolist() if name in series else [None] * len(series) for name in (*NUMBERS, *OTHERS)]
    return [_week(*values) for values in zip(*columns, strict=True)]


def lay_out(weeks: list[Week], picked: str | None) -> Marks:
    """The marks by kind (KINDS), the last to be drawn over the others. picked: the Monday of the week in a frame, as an ISO date."""
    marks: Marks = {kind: [] for kind in KINDS} | {"nothing": [NOTHING]}
    top, first, many = top_of(weeks), weeks[0].week, apart(len(weeks))
    for n, week in enumerate(weeks):
        at = (week.week - first).days / 7
        whole, bar = {"x": at, "x2": at + 1}, {"x": at + MARGIN, "x2": at + 1 - MARGIN}
        key = week.week.isoformat()
        if key == picked:
            marks["frame"].append({**bar, "y": 0.0, "y2": top, "key": key})
        if week.band_low is not None and week.band_high is not None:
            marks["band"].append({**whole, "y": week.band_low, "y2": min(week.band_high, top)})
        marks["easy" if week.easy else "full"].append({**bar, "y": 0.0, "y2": week.load})
        if week.planned is not None:
            marks["planned"].append({**bar, "y": 0.0, "y2": week.planned})
        if week.usual is not None:
            marks["usual"].append({**bar, "y": week.usual, "y2": week.usual})
        if week.low is not None and week.high is not None and week.high > week.low:
            marks["range"].append({"x": at + 0.5, "x2": at + 0.5, "y": week.low, "y2": week.high})
        if week.kind:
            marks["hollow_points" if week.hollow else "points"].append({"x": at + 0.5, "y": week.tall, "kind": week.kind})
        if week.label:
            marks["words"].append({"x": at + 0.5, "y": week.tall, "label": week.label})
        if (len(weeks) - 1 - n) % many == 0:
            marks["dates"].append({"x": at + 0.5, "key": key, "text": f"{week.week.day} {week.week:%b}"})
        marks["hover"].append({**bar, "y": 0.0, "y2": top, "key": key, "load": week.load, "told_week": day(week.week), "told_load": number(week.load),
                               "told_range": between(week.low, week.high).strip(" ()"), "told_usual": number(week.usual), "told": week.told})
    return marks


def span(weeks: list[Week]) -> int:
    """Weeks from the first to the last, both among them."""
    return (weeks[-1].week - weeks[0].week).days // 7 + 1


def top_of(weeks: list[Week]) -> float:
    """Hard sets at the top of the picture: room above each bar, and above a bar with a word for that word."""
    words = [week.tall * HEIGHT / (HEIGHT - SHAPE - LETTER * len(week.label)) for week in weeks if week.label]
    return max(LEAST, HEADROOM * max(week.tall for week in weeks), *words)


def apart(weeks: int) -> int:
    """Weeks from one Monday that is named to the next, so that the days have room on a narrow screen."""
    return ceil(weeks / DAYS_NAMED)


def _week(load: Any, low: Any, high: Any, usual: Any, planned: Any, band_low: Any, band_high: Any, week: pd.Timestamp, mark: Any, state: Any, so_far: Any,
          planned_increase: Any) -> Week:
    numbers = [None if pd.isna(value) else float(value) for value in (low, high, usual, planned, band_low, band_high)]
    word = "" if pd.isna(mark) else MARKS.get(mark, "")
    state = "" if pd.isna(state) else str(state)
    easy = state in EASY
    hollow = bool(pd.notna(planned_increase) and planned_increase)
    label = told = word or (state if easy else "")
    if hollow:
        label, told = AS_PLANNED.get(label, f"{label}, planned"), ", ".join(filter(None, [label, "planned"]))
    return Week(week.date(), float(load), *numbers, label, told, word or PLANNED * hollow, easy or bool(pd.notna(so_far) and so_far), hollow)
