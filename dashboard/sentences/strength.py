"""Why a strength verdict was given, in one sentence, and since when the best has stood."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from dashboard.measures.verdict import TOO_LITTLE
from dashboard.sentences.numbers import amount, counted, day_of, number, signed
from etl.settings import RULES, Rules

DAYS = 7
WORDS = {
    "progressing": "progressing", "plateau": "plateau", "declining": "declining", "undecided": "undecided",
    "too_little_data": "too little data",
}


def exercise_reasons(looks: pd.DataFrame, levels: Sequence[str], rules: Rules = RULES) -> list[str]:
    """The reason for each exercise's verdict, when it was last done, and since when its best has stood, as plain facts.

    looks: columns verdict, flat, slope, low, high, upper_80_one_sided, sessions, span_weeks, held, measure, series,
    best_value, best_since, idle_days, last_day. levels: of each row.
    """
    return [
        _held(held) + _because(look[0], look[1] and not held and best[2] <= DAYS, *look[2:], span, at if measure == "reps" else "", _least(measure, level, rules), level, rules)
        + _best(measure, at, *best, rules)
        for look, span, held, measure, at, best, level in zip(
            _columns(looks, "verdict", "flat", "slope", "low", "high", "upper_80_one_sided", "sessions"), looks["span_weeks"].tolist(),
            looks["held"].tolist(), looks["measure"].tolist(), looks["series"].tolist(),
            _columns(looks, "best_value", "best_since", "idle_days", "last_day"), levels, strict=True)]


def part_reasons(looks: pd.DataFrame, levels: Sequence[str], rules: Rules = RULES) -> list[str]:
    """The reason for each part's verdict, pooled over its exercises.

    looks: columns verdict, flat, slope, low, high, upper_80_one_sided, sessions, span_weeks, held, exercises, window_weeks.
    """
    found = []
    for look, span, held, exercises, window, level in zip(
            _columns(looks, "verdict", "flat", "slope", "low", "high", "upper_80_one_sided", "sessions"), looks["span_weeks"].tolist(),
            looks["held"].tolist(), looks["exercises"].tolist(), looks["window_weeks"].tolist(), levels, strict=True):
        text = _because(look[0], look[1] and not held, *look[2:], span, "", _least("", level, rules), level, rules)
        over = f"Over {exercises} exercise{'s' if exercises != 1 else ''}: "
        if exercises > 1 and look[0] != TOO_LITTLE:
            over = f"Over {exercises} exercises and {number(window, 0)} weeks" + (", given what came before: " if window < rules.window_weeks[level] else ": ")
        found.append(_held(held) + over + text[0].lower() + text[1:])
    return found


def _columns(table: pd.DataFrame, *names: str) -> list[tuple]:
    return list(zip(*(table[name].tolist() for name in names), strict=True))


def _least(measure: str, level: str, rules: Rules) -> str:
    """The least gain worth having, in words."""
    return "one repetition in four weeks" if measure == "reps" else f"{number(rules.worthwhile_pct[level], 2)} % a week"


def _best(measure: str, series: str, value: float, since: float, idle_days: float, last_day: float, rules: Rules) -> str:
    if value != value:
        return ""
    idle = f" Last done on {day_of(last_day)}." if idle_days > rules.idle_days else ""
    at = f" at {series}, those in reserve included" if measure == "reps" else ""
    return f"{idle} The best, {amount(value, measure)}{at}, stands since {day_of(since)}."


def _held(held: bool) -> str:
    return "Held as it was before the break. " if held else ""


def _because(
    verdict: str, flat: bool, slope: float, low: float, high: float, upper: float, sessions: int, span: float, at: str, least: str, level: str,
    rules: Rules,
) -> str:
    """flat: this look by itself rules out a gain worth having, and another look will come."""
    if verdict == TOO_LITTLE:
        weeks = counted(round(span) if sessions else 0, "week", "weeks")
        return (f"{counted(sessions, 'session', 'sessions')}{' at ' + at if at else ''} over {weeks}; "
                f"a verdict needs {rules.trend_min_sessions} over {number(rules.trend_min_span * rules.window_weeks[level], 0)} weeks or more.")
    rate = f"{signed(slope, 2)} % a week (80 % interval {signed(low, 2)} to {signed(high, 2)})"
    if verdict == "progressing":
        return f"The trend is {rate}, above zero with 90 % confidence, from {sessions} sessions."
    if verdict == "declining":
        return f"The trend is {rate}, below zero with 95 % confidence, from {sessions} sessions."
    gain = f"{number(upper, 2)} % a week"
    above = f"any above {gain}" if upper > 0 else "any at all"
    if verdict == "plateau":
        return (f"The trend is {rate}; a gain worth having, {least}, is ruled out at this week's end and the one before, "
                f"at this one {above} (80 %, one-sided).")
    if flat:
        return (f"The trend is {rate}; a gain worth having, {least}, is ruled out at this week's end (80 %, one-sided), not at the one before. "
                "One more week will tell.")
    return f"The trend is {rate}; a gain of {gain} cannot be ruled out, so it is too early to say."
