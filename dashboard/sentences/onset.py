"""When a plateau or a decline began, and what else differed around then: things to look at, never causes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from dashboard.sentences.numbers import counted, day, number
from etl.settings import RULES

NOT_CAUSES = "These are things to look at, not causes."
NOTHING = "Nothing else that the log holds differed by much around then."
NOT_DATED = f"When a plateau or a decline began is worked out for the last {counted(RULES.onset_kept_weeks, 'week', 'weeks')} of a log only."
DATED = ("plateau", "declining")  # the verdicts that are
ARROW = " \u2192 "


def onset_sentence(verdict: str, state: str, onset: date | None, low: date | None, high: date | None) -> str:
    """The week in which it began, with the weeks between which it lies with 80 %.

    state: dated, open (before the week `high`) or none; dates are Mondays.

    >>> onset_sentence("plateau", "dated", date(2026, 5, 4), date(2026, 4, 13), date(2026, 5, 25))
    'Its rise ended about the week of 4 May (80 %: the weeks of 13 April to 25 May).'
    """
    falls = verdict == "declining"
    if state == "dated":
        began = "It began to fall" if falls else "Its rise ended"
        return f"{began} about the week of {day(onset, year=False)} (80 %: the weeks of {day(low, year=False)} to {day(high, year=False)})."
    if state == "open":
        since = "It has been falling" if falls else "It has stood still"
        return f"{since} since before the week of {day(high, year=False)}; the log does not show from when."
    return "When that began cannot be dated: one straight line fits its sessions as well."


def around_sentence(changes: Sequence[Mapping[str, Any]], called: Mapping[str, str] = {}) -> str:
    """What differed: the weeks before the onset against those from it on. called: part id -> what it is called.

    >>> around_sentence([{"what": "hard_sets_a_week", "part": "chest", "before": 12, "after": 8}], {"chest": "mid chest"})
    'Around then: hard sets a week for the mid chest 12 → 8. These are things to look at, not causes.'
    """
    if not changes:
        return NOTHING
    return f"Around then: {'; '.join(_one(change, called) for change in changes)}. {NOT_CAUSES}"


def _one(change: Mapping[str, Any], called: Mapping[str, str]) -> str:
    of = f" for the {called[change['part']]}" if change.get("part") in called else ""
    was, now = change["before"], change["after"]
    words, places, unit = WORDS[change["what"]]
    if unit == " %":
        was, now = 100 * was, 100 * now
    return f"{words}{of} {number(was, places)}{ARROW}{number(now, places)}{unit}"


# What differs -> its words, decimals and unit.
WORDS = {
    "hard_sets_a_week": ("hard sets a week", 1, ""), "days_a_week": ("days trained a week", 1, ""),
    "mean_rir": ("repetitions left in reserve", 1, ""), "median_reps": ("repetitions a set", 1, ""),
    "body_mass_kg": ("body mass", 1, " kg"), "longest_gap_days": ("longest time between two sessions", 0, " days"),
    "effort_logged_share": ("sets with effort logged", 0, " %"),
}
