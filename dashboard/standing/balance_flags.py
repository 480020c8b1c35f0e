"""Flags about balance: a part in focus that stays below its band, and a side that stays behind."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

import numpy as np
import pandas as pd

from dashboard.measures.balance import lasting_difference, side_difference_pct, side_interval
from dashboard.measures.gaps import away, return_week
from dashboard.measures.medians import median
from dashboard.measures.numbering import is_first
from dashboard.sentences import balance as say
from dashboard.standing.body import part_ids, part_words
from dashboard.standing.entry_flags import exercise_names
from dashboard.standing.kept import as_dates
from dashboard.standing.raised import Raised
from dashboard.standing.side_values import MEASURES, UNITS, side_values
from dashboard.standing.weekly import Weekly, bands
from etl.settings import RULES, Rules

SIDE_COLUMNS = ["line", "exercise", "left_value", "right_value", "unit", "difference_pct", "weaker", "sessions", "measure", "date",
                "difference_low_pct", "difference_high_pct"]
NO_SIDES = pd.DataFrame(columns=SIDE_COLUMNS)


def band_flags(w: Weekly, rules: Rules = RULES) -> list[Raised]:
    """below_band: the mean of the last 4 complete weeks (deloads, layoffs and returns passed over) under the low end,
    at this look and the one before; never in the log's first 4 weeks.
    """
    low, _ = bands(w.log, rules)
    passed, line, n = _passed_over(w, rules), np.arange(w.log.complete), rules.below_weeks
    counted = (passed > line[:, None]) & (np.arange(w.log.weeks) <= line[:, None])
    # Of each look the last n weeks that count, oldest first; where there are fewer, nothing is said.
    last = np.argsort(counted, axis=1, kind="stable")[:, -n:]
    said = (counted.sum(axis=1) >= n) & (line >= n)
    mean, least, most = (doses[last].mean(axis=1) for doses in (w.parts.dose, w.parts.low, w.parts.high))
    under = said[:, None] & (mean < low) & w.focus[: len(line)]
    looks, parts = np.nonzero(under[1:] & under[:-1] & (line[1:, None] > n))
    looks += 1
    ids, words = part_ids(), part_words()
    told = zip(looks.tolist(), parts.tolist(), low[parts].tolist(), *(of[looks, parts].tolist() for of in (mean, least, most)), strict=True)
    return [Raised(look, "below_band", ids[p], "review", say.below_band(words[p], own, band_low, n, own_low, own_high),
                   {"mean": own, "low": band_low, "mean_low": own_low, "mean_high": own_high}, band_low - own)
            for look, p, band_low, own, own_low, own_high in told]


def _passed_over(w: Weekly, rules: Rules) -> np.ndarray:
    """The first look, as a week's line, that passes over each week, (weeks,): a deload or a week of return at once, a week
    within a layoff of the whole body from the look at which the layoff was known; past the end where none does.
    """
    mondays, weeks = w.log.mondays, w.log.weeks
    first = np.full(weeks, weeks)
    gone = away(mondays + 6, w.body_days, rules)
    for gap in w.body_layoffs:
        known = np.flatnonzero(gone & (mondays + 6 > gap.before) & (True if gap.after is None else mondays <= gap.after))
        if len(known):
            inside = (mondays + 6 > gap.before) & (True if gap.after is None else mondays < gap.after)
            first[inside] = np.minimum(first[inside], known[0])
    at_once = w.deload | np.array([return_week(w.body_layoffs, int(m), rules) is not None for m in mondays])
    return np.where(at_once, np.arange(weeks), first)


def sides(w: Weekly, rules: Rules = RULES) -> pd.DataFrame:
    """One row per week and exercise done on both sides: the last session's two values and the median difference of 8 weeks.

    measure: what most of those weeks' sessions show (`side_values`), of several the one that the latest shows; all that have it count,
    and no others. `date`: of the last of these. difference_low_pct and _high: the 80 % interval of the median. `sessions`:
    how many of them show one side 15 % behind; 0 where it does not last.
    """
    side, kind = (w.log.sets[name].to_numpy(object) for name in ("side", "kind"))
    one = np.flatnonzero(((side == "left") | (side == "right")) & (kind != "warm_up") & w.log.sets["exercise"].notna().to_numpy())
    if not len(one):
        return NO_SIDES
    values = side_values(w.log.sets.iloc[one], w.log.equation, rules)
    values["difference_pct"] = side_difference_pct(values["left_value"], values["right_value"])
    columns = {name: values[name].to_numpy() for name in values}
    begin = [*np.flatnonzero(is_first(columns["exercise"])).tolist(), len(values)]
    found = [row for a, b in pairwise(begin) for row in _looks({name: c[a:b] for name, c in columns.items()}, w.log.mondays + 6, rules)]
    return pd.DataFrame(found, columns=SIDE_COLUMNS)


def _looks(values: dict[str, np.ndarray], ends: np.ndarray, rules: Rules) -> Iterator[tuple]:
    """The rows of one exercise, from its `side_values`. ends: the Sunday of each week, whole days."""
    exercise, which = values["exercise"][0], _measure_of(values, ends, rules)
    for place, measure in enumerate(MEASURES):
        lines, own = np.flatnonzero(which == place), values["measure"] == place
        if not len(lines):
            continue
        day, left, right, difference, noise, step = (
            values[name][own] for name in ("day", "left_value", "right_value", "difference_pct", "noise_pct", "step_pct"))
        first, beyond = _window(day, ends[lines], rules)
        at = first[:, None] + np.arange((beyond - first).max())
        used, at = at < beyond[:, None], np.minimum(at, len(day) - 1)
        looked = np.where(used, difference[at], np.nan)
        low, high = side_interval(looked, np.where(used, noise[at], np.nan), np.where(used, step[at], np.nan), rules)
        middle, dates = median(looked), as_dates(day[beyond - 1])
        for i, line in enumerate(lines.tolist()):
            recent, last = slice(first[i], beyond[i]), beyond[i] - 1
            lasting = lasting_difference(day[recent], difference[recent], rules) if abs(middle[i]) >= rules.side_pct else None
            weaker = "left" if middle[i] > 0 else "right" if middle[i] < 0 else ""
            yield (line, exercise, left[last], right[last], UNITS[measure], float(middle[i]), weaker, lasting[1] if lasting else 0,
                   measure, dates[i], float(low[i]), float(high[i]))


def _measure_of(values: dict[str, np.ndarray], ends: np.ndarray, rules: Rules) -> np.ndarray:
    """The place of each look's measure among MEASURES, (looks,): of most sessions' own, then of the latest; -1 without a session."""
    count, last = np.zeros((len(MEASURES), len(ends)), int), np.full((len(MEASURES), len(ends)), -1)
    for place in range(len(MEASURES)):
        day = values["day"][values["own"] & (values["measure"] == place)]
        if len(day):
            first, beyond = _window(day, ends, rules)
            count[place], last[place] = beyond - first, day[np.maximum(beyond, 1) - 1]
    most = count.max(axis=0)
    return np.where(most > 0, np.where(count == most, last, -1).argmax(axis=0), -1)


def _window(day: np.ndarray, ends: np.ndarray, rules: Rules) -> tuple[np.ndarray, np.ndarray]:
    """The first session of the last 8 weeks of each look, and the one beyond."""
    return np.searchsorted(day, ends - 7 * rules.first_weeks, side="right"), np.searchsorted(day, ends, side="right")


def side_flags(w: Weekly, table: pd.DataFrame) -> list[Raised]:
    """side_difference, from the table of `sides`."""
    if not len(table):
        return []
    names = exercise_names()
    return [Raised(int(r.line), "side_difference", r.exercise, "review", say.side_difference(names[r.exercise], r), _numbers(r), abs(r.difference_pct) / 100)
            for r in table.itertuples() if r.sessions and r.line < w.log.complete]


def _numbers(r: Any) -> dict[str, Any]:
    """A row of `sides` as the numbers of its flag."""
    return {"difference_pct": r.difference_pct, "weaker": r.weaker, "sessions": r.sessions, "left": r.left_value, "right": r.right_value,
            "difference_low_pct": r.difference_low_pct, "difference_high_pct": r.difference_high_pct, "measure": r.measure, "unit": r.unit}
