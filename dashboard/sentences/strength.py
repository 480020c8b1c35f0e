"""Why a strength verdict was given, in one sentence, and since when the best has stood."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, floor

import pandas as pd

from dashboard.measures.verdict import TOO_LITTLE
from dashboard.sentences.decimal_mark import marked
from dashboard.sentences.numbers import MINUS, amount, begun, counted, day_of, few, number
from dashboard.sentences.units import at_load
from etl.settings import RULES, Rules

DAYS = 7
LOOK = ("verdict", "slope", "low", "high", "upper_80_one_sided", "sessions", "span_weeks")
ONE_MORE = "one repetition in four weeks"
SAME_LOAD = ", in repetitions or seconds at the same load"
SURE = "with 80 % confidence"  # how sure the largest gain is: `upper_80_one_sided`
NONE = "0 % a week"
HELD = "Held as it was before the break. "
WORDS = {
    "progressing": "progressing", "plateau": "plateau", "declining": "declining", "undecided": "undecided",
    "too_little_data": "too little data",
}


def exercise_reasons(looks: pd.DataFrame, levels: Sequence[str], rules: Rules = RULES) -> list[str]:
    """The reason for each exercise's verdict, when it was last done, and since when its best has stood, as plain facts.

    looks: columns verdict, flat, slope, low, high, upper_80_one_sided, sessions, span_weeks, held, measure, series,
    worth, read_since, best_value, best_since, idle_days, last_day, lighter. levels: of each row. read_since: the first day that is read, where a
    break leaves out what came before it, else NaN. lighter: the load of twelve weeks before, where there is no verdict because it has risen since, else ''.
    """
    needed = _needed(rules)
    return [
        _held(held) + _because(*look, flat, not held and idle_days <= DAYS, series if measure == "reps" else "",
                               ONE_MORE if measure == "reps" else _pct(worth), needed[level], since) + (f" The load has risen: {at_load(lighter)} twelve weeks before." if lighter else "")
        + _best(measure, series, *best, idle_days, rules)
        for look, flat, worth, held, measure, series, since, lighter, best, idle_days, level in zip(
            _columns(looks, *LOOK), *(looks[name].tolist() for name in ("flat", "worth", "held", "measure", "series", "read_since", "lighter")),
            _columns(looks, "best_value", "best_since", "last_day"), looks["idle_days"].tolist(), levels, strict=True)]


def part_reasons(looks: pd.DataFrame, levels: Sequence[str], rules: Rules = RULES) -> list[str]:
    """The reason for each part's verdict, pooled over its exercises.

    looks: columns verdict, flat, slope, low, high, upper_80_one_sided, sessions, span_weeks, held, exercises, mostly, window_weeks,
    worth, measure, read_since. mostly: the name of the exercise that nearly alone tells for a part that has others, else ''.
    """
    needed, found = _needed(rules), []
    for look, flat, worth, held, measure, exercises, mostly, window, since, level in zip(
            _columns(looks, *LOOK), *(looks[name].tolist() for name in ("flat", "worth", "held", "measure", "exercises", "mostly", "window_weeks", "read_since")),
            levels, strict=True):
        text = _because(*look, flat, not held, "", _pct(worth), needed[level], since)
        named = f", {'mostly ' if exercises > 1 else ''}{mostly}" if mostly else ""
        over = f"Over {counted(exercises, 'exercise', 'exercises')}{named}"
        if exercises > 1 and look[0] != TOO_LITTLE:
            over += f"{',' * bool(named)} and {number(min(window, ceil(look[-1])), 0)} weeks" + (", given what came before" if window < rules.window_weeks[level] else "")
        over += SAME_LOAD if measure == "repetitions" else ""
        found.append(f"{_held(held)}{over}: {text[0].lower()}{text[1:]}" if exercises else f"{_held(held)}{text}")
    return found


def _columns(table: pd.DataFrame, *names: str) -> list[tuple]:
    return list(zip(*(table[name].tolist() for name in names), strict=True))


def _needed(rules: Rules) -> dict[str, str]:
    """What a verdict needs, of each level, in words."""
    return {level: f"{rules.trend_min_sessions} over {number(rules.trend_min_span * weeks)} weeks or more" for level, weeks in rules.window_weeks.items()}


def _best(measure: str, series: str, value: float, since: float, last_day: float, idle_days: float, rules: Rules) -> str:
    if value != value:
        return ""
    idle = f" Last done on {day_of(last_day)}." if idle_days > rules.idle_days else ""
    at = f" at {at_load(series)}, those in reserve included" if measure == "reps" else ""
    return f"{idle} The best, {amount(value, measure)}{at}, stands since {day_of(since)}."


LEVEL_ASSUMED = " Intermediate is taken as the level until Settings say another: a beginner\u2019s verdict looks back over fewer weeks."


def lacking(name: str, reason: str) -> str:
    """What a verdict lacks, of the reason that is kept for one: its first sentence, with the name of what it is about.

    >>> lacking("plank", "30 sessions that count over 9.5 weeks; a verdict needs 8 over 9.6 weeks or more. The best, 57 s, stands since 23 November 2026.")
    'Plank: 30 sessions that count over 9.5 weeks; a verdict needs 8 over 9.6 weeks or more.'
    """
    return f"{begun(name)}: {reason.partition('. ')[0].removesuffix('.')}."


def by_equation(title: str) -> str:
    """Which equation the estimated maxima are by, where it was chosen for the athlete; '' for ''.

    >>> by_equation("Wathen (1994)")
    'Estimated maxima are by the equation of Wathen (1994), which was chosen for this athlete.'
    """
    return f"Estimated maxima are by the equation of {title}, which was chosen for this athlete." if title else ""


def rising(judged: pd.DataFrame, what: str) -> str:
    """How many parts or exercises rise, stand still, fall or are open, in one line. judged: verdict, a row each.

    >>> rising(pd.DataFrame({"verdict": ["progressing", "progressing", "undecided", "too_little_data"]}), "part")
    'strength: 2 parts are rising, 1 is undecided, 1 has too little data'
    """
    counts = judged["verdict"].value_counts()
    told = []
    for verdict, one, many in (("declining", "is falling", "are falling"), ("plateau", "stands still", "stand still"), ("progressing", "is rising", "are rising"),
                               ("undecided", "is undecided", "are undecided"), ("too_little_data", "has too little data", "have too little data")):
        if count := int(counts.get(verdict, 0)):
            subject = "" if told else f" {what if count == 1 else what + 's'}"
            told.append(f"{number(count)}{subject} {one if count == 1 else many}")
    return f"strength: {', '.join(told)}"


def long_open(names: Sequence[str], rules: Rules = RULES) -> str:
    """Exercises of the parts in focus that are undecided and have had no best for long; '' for none.

    >>> long_open(["pull-up"])
    '1 exercise for the parts in focus is undecided and has had no new best for 8 weeks or more: pull-up.'
    """
    if not names:
        return ""
    return (f"{counted(len(names), 'exercise for the parts in focus is', 'exercises for the parts in focus are')} undecided and {'has' if len(names) == 1 else 'have'} "
            f"had no new best for {rules.open_weeks} weeks or more: {few(names)}.")


def _held(held: bool) -> str:
    return HELD if held else ""


def _because(verdict: str, slope: float, low: float, high: float, upper: float, sessions: int, span: float, flat: bool, coming: bool, at: str,
             least: str, needed: str, since: float) -> str:
    """flat: this look by itself rules out a gain worth having. coming: another look will come. least: a gain worth having."""
    if verdict == TOO_LITTLE:
        after_break = since == since
        if not sessions:
            why = f"No session counts yet: after a break sessions are read from {day_of(since)} on" if after_break else "No session says anything of strength yet"
            return f"{why}; a verdict needs {needed}."
        read = f" since {day_of(since)}, as what came before and right after a break is not read" if after_break else ""
        weeks = floor(10 * span + 1e-6) / 10  # never up: a span that is a day short would read as one that is long enough
        return f"{counted(sessions, 'session that counts', 'sessions that count')}{' at ' + at_load(at) if at else ''} over {counted(weeks, 'week', 'weeks')}{read}; a verdict needs {needed}."
    told, gained = rate(slope, low, high), f"a gain worth having is {least}"
    if verdict == "progressing":
        return f"The trend is {told}, from {sessions} sessions: with 90 % confidence it rises."
    if verdict == "declining":
        least_fall = f", {SURE} by {_pct(-upper)} or more" if _pct(-upper) != NONE else ""
        return f"The trend is {told}, from {sessions} sessions: with 95 % confidence it falls{least_fall}."
    less = f"{SURE} there was less at this week's end ({f'at most {_pct(upper)}' if upper > 0 else 'none at all'})"
    if verdict == "plateau":
        return f"The trend is {told}; {gained}, and {less} and at the one before."
    if flat:
        then = "One more week will tell." if coming else "A plateau takes two such weeks running."
        return f"The trend is {told}; {gained}, and {less}, not yet at the one before. {then}"
    return f"The trend is {told}; {gained}, and up to {_pct(upper)} is still possible ({SURE} not more), so it is too early to say."


def _pct(value: float) -> str:
    return f"{number(value, 2)} % a week"


def rate(slope: float, low: float, high: float) -> str:
    """A trend with its interval, each number as `signed` writes it; in one go, as there is one of these for every week."""
    text = "%+.2f %% a week (80 %% interval %+.2f to %+.2f)" % (slope, low, high)
    return marked(text.replace("+0.00", "0.00").replace("-0.00", "0.00").replace("-", MINUS))
