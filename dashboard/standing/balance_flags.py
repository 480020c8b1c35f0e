"""Flags about balance: a part in focus that stays below its band, and a side that stays behind."""

from __future__ import annotations

import numpy as np
import pandas as pd

from dashboard.measures.balance import lasting_difference, side_difference_pct
from dashboard.measures.eligibility import effective_reps, eligible
from dashboard.measures.gaps import away, return_week
from dashboard.measures.one_rep_max import e1rm
from dashboard.sentences import balance as say
from dashboard.standing.body import part_ids, part_words
from dashboard.standing.entry_flags import exercise_names
from dashboard.standing.log import Log
from dashboard.standing.raised import Raised
from dashboard.standing.weekly import Weekly, bands
from etl.settings import RULES, Rules

SIDE_COLUMNS = ["line", "exercise", "left_value", "right_value", "unit", "difference_pct", "weaker", "sessions"]
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
    mean = w.parts.dose[last].mean(axis=1)
    under = said[:, None] & (mean < low) & w.focus[: len(line)]
    looks, parts = np.nonzero(under[1:] & under[:-1] & (line[1:, None] > n))
    looks += 1
    ids, words = part_ids(), part_words()
    return [Raised(look, "below_band", ids[p], "review", say.below_band(words[p], own, least, n), {"mean": own, "low": least}, least - own)
            for look, p, own, least in zip(looks.tolist(), parts.tolist(), mean[looks, parts].tolist(), low[parts].tolist(), strict=True)]


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
    """One row per week and exercise done on both sides: the last session's two values and their difference.

    Values: the estimated maximum of each side; where there is none (holds, many repetitions), the load at equal
    repetitions. `sessions`: how many sessions of the last 8 weeks show one side 15 % behind; 0 where it does not last.
    """
    side, kind = (w.log.sets[name].to_numpy(object) for name in ("side", "kind"))
    one = np.flatnonzero(((side == "left") | (side == "right")) & (kind != "warm_up") & w.log.sets["exercise"].notna().to_numpy())
    if not len(one):
        return NO_SIDES
    found, ends = [], w.log.mondays + 6
    for exercise, own in _both_sides(w.log.sets.iloc[one], w.log, rules).groupby("exercise"):
        day, left, right, difference = (own[name].to_numpy() for name in ("day", "left_value", "right_value", "difference_pct"))
        first, beyond = np.searchsorted(day, ends - 7 * rules.first_weeks, side="right"), np.searchsorted(day, ends, side="right")
        for line in np.flatnonzero(beyond > first).tolist():
            recent, last = slice(first[line], beyond[line]), beyond[line] - 1
            lasting = lasting_difference(day[recent], difference[recent], rules)
            middle, sessions = lasting or (float(np.median(difference[recent])), 0)
            weaker = "left" if middle > 0 else "right" if middle < 0 else ""
            found.append((line, exercise, left[last], right[last], "kg", middle, weaker, sessions))
    return pd.DataFrame(found, columns=SIDE_COLUMNS)


def side_flags(w: Weekly, table: pd.DataFrame) -> list[Raised]:
    """side_difference, from the table of `sides`."""
    if not len(table):
        return []
    names = exercise_names()
    return [Raised(int(r.line), "side_difference", r.exercise, "review", say.side_difference(names[r.exercise], r.weaker, r.difference_pct, r.sessions),
                   {"difference_pct": r.difference_pct, "weaker": r.weaker, "sessions": r.sessions, "left": r.left_value, "right": r.right_value}, abs(r.difference_pct) / 100)
            for r in table.itertuples() if r.sessions and r.line < w.log.complete]


def _both_sides(one: pd.DataFrame, log: Log, rules: Rules) -> pd.DataFrame:
    """One row per session day and exercise with both sides: left and right value in kg, signed difference in %. one: work sets of one side."""
    effort = effective_reps(one["reps"], one["rir"], one["rpe"], rules)
    use = eligible(one, (one["strength_estimate"] == "yes").to_numpy(), rules) != "none"
    one = one.assign(kg=np.where(use, e1rm(one["system_kg"].to_numpy(float), effort.reps, log.equation, rules), np.nan))
    by = one.sort_values(["system_kg", "reps"], kind="stable").groupby(["exercise", "day", "side"])
    both = pd.DataFrame({"kg": by["kg"].max(), "top": by["system_kg"].last(), "reps": by["reps"].last()}).unstack("side")
    both = both.reindex(columns=pd.MultiIndex.from_product([["kg", "top", "reps"], ["left", "right"]]))
    # By estimated maximum; where there is none, by load where repetitions are equal.
    estimated = both["kg"].gt(0).all(axis=1)
    equal = both["top"].gt(0).all(axis=1) & (both["reps"]["left"] == both["reps"]["right"])
    values = both["top"].copy()
    values[estimated] = both["kg"][estimated]
    values = values[estimated | equal].reset_index()
    table = values.rename(columns={"left": "left_value", "right": "right_value"})
    return table.assign(difference_pct=side_difference_pct(table["left_value"], table["right_value"]))
