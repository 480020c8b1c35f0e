"""Why a strength verdict was given, in one sentence, and since when the best has stood."""

from __future__ import annotations

from typing import Any

from dashboard.sentences.numbers import amount, counted, day_of, number, signed
from etl.settings import Rules

WORDS = {
    "progressing": "progressing", "plateau": "plateau", "declining": "declining", "undecided": "undecided",
    "too_little_data": "too little data",
}


def reason(row: Any, level: str, rules: Rules) -> str:
    """The reason for one exercise's verdict. row: verdict, slope, low, high, upper_80_one_sided, sessions, span_weeks, held."""
    return _held(row) + _because(row, rules.worthwhile_pct[level] if row.measure != "reps" else None, rules, level)


def part_reason(row: Any, level: str, rules: Rules) -> str:
    """The reason for one part's verdict, pooled over its exercises."""
    over = f"Over {row.exercises} exercise{'s' if row.exercises != 1 else ''}: "
    text = _because(row, rules.worthwhile_pct[level], rules, level)
    return _held(row) + over + text[0].lower() + text[1:]


def best_sentence(row: Any, rules: Rules) -> str:
    """When it was last done, if that is weeks ago, and since when the best has stood, as plain facts."""
    if row.best_value != row.best_value:
        return ""
    idle = f" Last done on {day_of(row.last_day)}." if row.idle_days > rules.idle_days else ""
    at = f" at {row.series}, those in reserve included" if row.measure == "reps" else ""
    return f"{idle} The best, {amount(row.best_value, row.measure)}{at}, stands since {day_of(row.best_since)}."


def _held(row: Any) -> str:
    return "Held as it was before the break. " if row.held else ""


def _because(row: Any, worthwhile: float | None, rules: Rules, level: str) -> str:
    rate = f"{signed(row.slope, 2)} % a week (80 % interval {signed(row.low, 2)} to {signed(row.high, 2)})"
    if row.verdict == "too_little_data":
        window = rules.window_weeks[level]
        at = f" at {row.series}" if getattr(row, "measure", "") == "reps" else ""
        weeks = counted(round(row.span_weeks) if row.sessions else 0, "week", "weeks")
        return (f"{counted(row.sessions, 'session', 'sessions')}{at} over {weeks}; "
                f"a verdict needs {rules.trend_min_sessions} over {number(rules.trend_min_span * window, 0)} weeks or more.")
    if row.verdict == "progressing":
        return f"The trend is {rate}, above zero with 90 % confidence, from {row.sessions} sessions."
    if row.verdict == "declining":
        return f"The trend is {rate}, below zero with 95 % confidence, from {row.sessions} sessions."
    gain = f"{number(row.upper_80_one_sided, 2)} % a week"
    if row.verdict == "plateau":
        least = f"{number(worthwhile, 2)} % a week" if worthwhile else "one repetition in four weeks"
        ruled = f"a gain above {gain} is ruled out" if row.upper_80_one_sided > 0 else "any gain is ruled out"
        return f"The trend is {rate}; {ruled} at this week's end and the one before, and the least worth having is {least}."
    return f"The trend is {rate}; a gain of {gain} cannot be ruled out, so it is too early to say."
