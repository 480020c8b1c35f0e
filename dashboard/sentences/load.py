"""A change of load in words: what was seen, against what, how large, and what people commonly do.

Never what will happen to anyone: no trial ties a week's sets in lifting to injury. low, high: the range of a part's dose, NaN of the whole body.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from dashboard.sentences.dose import RANGE, RANGES, between, has_range
from dashboard.sentences.numbers import day, listed, number, sets
from etl.settings import RULES, Rules

NAN = float("nan")

# The kinds of flag that the one message of a week is made of.
JUMPS = ("spike", "large_spike", "session_spike", "climb", "return", "new_area")

LIMITS = ("Studies in other sports associate sudden increases with more complaints; they cannot say what will happen to one person. "
          "Common choices: repeat this week, or trim a few sets.")
PLANNED = " The sets were planned."


def spike(subject: str, load: float, usual: float, most: float, low: float = NAN, high: float = NAN) -> str:
    """A week far above usual."""
    return (f"{_name(subject)}: {sets(load)} this week{between(low, high)}, usual is {number(usual)} "
            f"({_more(load, usual)}), and the most of the four weeks before was {number(most)}.")


def session(subject: str, load: float, largest: float, low: float = NAN, high: float = NAN) -> str:
    """One session far above the largest of the 30 days before."""
    return f"{_name(subject)}: {sets(load)} in one session{between(low, high)}; the largest of the 30 days before had {number(largest)}."


def climb(subject: str, late: float, early: float, low: float = NAN, high: float = NAN) -> str:
    """A rise over eight active weeks."""
    return (f"{_name(subject)}: {number(late)} hard sets a week{between(low, high)} over the last four active weeks, "
            f"{number(early)} over the four before ({_more(late, early)}).")


def back(subject: str, week: int, away_days: int, load: float, usual: float, suggested: float, low: float = NAN, high: float = NAN,
         rules: Rules = RULES) -> str:
    """A week of return above its ramp. The ramp after a long layoff is the consensus's own; after a short one it is milder."""
    consensus = rules.return_long_suggested[week - 1]
    told = (f"about {_percent(suggested)} is what a coaching consensus suggests for that week" if away_days >= rules.return_long_days
            else f"about {_percent(suggested)} is suggested here for that week, {_percent(consensus)} by a coaching consensus")
    return f"{_name(subject)}: week {week} after {away_days} days away had {sets(load)}{between(low, high)}, {_percent(load / usual)} of the {number(usual)} before it; {told}."


def new_area(subject: str, load: float, usual: float, session_sets: float, session_reps: float, low: float = NAN, high: float = NAN) -> str:
    """Much work for a part that was hardly trained before."""
    before = f"usual is {number(usual)}" if usual == usual else "no usual yet"
    return (f"{_name(subject)}: {sets(load)} this week{between(low, high)}, {before}; up to {number(session_sets)} sets and {number(session_reps, 0)} "
            "repetitions in a session. New work brings soreness for one to three days; the next time is milder.")


def first_exposure(exercises: list[str]) -> str:
    """Exercises not done for eight weeks, in one message for all of a week."""
    what = "This exercise was" if len(exercises) == 1 else "These exercises were"
    return f"New or back after eight weeks: {listed(exercises)}. {what} done for more than three hard sets; one to three easy ones are the usual start."


def check_entry(exercise: str, what: str) -> str:
    """A number that may be a slip of the pen or of the unit."""
    return f"{exercise}: {what}. Check the entry and its unit."


def as_planned(message: str) -> str:
    """The same message, with a word that it was planned."""
    return message + PLANNED


def without_plan(message: str) -> str:
    """A message as it stands in the combined one, which says once what was planned."""
    return message.removesuffix(PLANNED)


def as_of(message: str, look: date, week: date) -> str:
    """A flag's message in the week `week`, with the week whose numbers it tells where that is an earlier one.

    >>> as_of("Lats: plateau.", date(2026, 11, 16), date(2026, 11, 23))
    'Lats: plateau. (As of the end of the week of 16 November.)'
    """
    return message if look >= week else f"{message} (As of the end of the week of {day(look, year=False)}.)"


def largest(kind: str, subject: str, numbers: Mapping[str, Any], message: str) -> str:
    """The one change of load that leads a week, in a plain sentence without ranges.

    >>> largest("spike", "whole body", {"load": 91.0, "usual": 39.0}, "")
    'Whole body: 91 hard sets this week against a usual 39, 2.3 times as many.'
    """
    planned = PLANNED if numbers.get("planned") else ""
    if kind in ("spike", "large_spike"):
        return f"{_name(subject)}: {sets(numbers['load'])} this week against a usual {number(numbers['usual'])}, {number(numbers['load'] / numbers['usual'])} times as many.{planned}"
    return RANGE.sub("", without_plan(message)).partition(". ")[0].rstrip(".") + f".{planned}"


def combined(messages: list[str]) -> str:
    """One message a week, or none. What was planned is said once, behind the numbers, and at the end what a range is."""
    if not messages:
        return ""
    planned = [message for message in messages if message.endswith(PLANNED)]
    subjects = [message.partition(":")[0].lower() for message in planned]
    said = PLANNED if len(planned) == len(messages) else f" Planned of these: {listed(subjects)}." if planned else ""
    ranges = f" {RANGES}" if any(map(has_range, messages)) else ""
    return f"{' '.join(map(without_plan, messages))}{said} {LIMITS}{ranges}"


def _name(subject: str) -> str:
    return subject[0].upper() + subject[1:]


def _percent(share: float) -> str:
    return f"{number(100 * share, 0)} %"


def _more(now: float, before: float) -> str:
    return f"{100 * (now / before - 1):+.0f} %"
