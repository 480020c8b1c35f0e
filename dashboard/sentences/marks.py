"""Weeks that a person has marked, in words."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from dashboard.sentences.numbers import counted, day, number

WORDS = {"planned_increase": "a planned increase", "deload": "a deload", "holiday": "a holiday", "illness": "an illness"}
MEANS = {
    "planned_increase": "Its changes of load keep their numbers and are shown as planned.",
    "deload": "It is left out of trends, and its low doses are not taken for parts that went short.",
    "holiday": "It is left out of trends, and its low doses are not taken for parts that went short.",
    "illness": "It is left out of trends, and its low doses are not taken for parts that went short. Come back in steps; after fever or a heart or chest complaint ask a doctor first.",
}


def marked(week: date, mark: str) -> str:
    """After a mark was made."""
    return f"The week of {day(week)} is marked as {WORDS[mark]}. {MEANS[mark]}"


def weeks_since(weeks: Sequence[date]) -> str:
    """The weeks after a log's last one, up to the one that runs.

    >>> weeks_since([date(2026, 3, 9), date(2026, 3, 16)]), weeks_since([date(2026, 3, 9)])
    ('The 2 weeks since then, of 9 March 2026 to the one of 16 March 2026, hold no set so far.', 'The week since then, of 9 March 2026, holds no set so far.')
    """
    if len(weeks) == 1:
        return f"The week since then, of {day(weeks[0])}, holds no set so far."
    return f"The {number(len(weeks))} weeks since then, of {day(weeks[0])} to the one of {day(weeks[-1])}, hold no set so far."


def marked_since(weeks: Sequence[date], mark: str) -> str:
    """After several weeks were marked alike.

    >>> marked_since([date(2026, 3, 9), date(2026, 3, 16)], "holiday")[:62]
    '2 weeks are marked as a holiday: those of 9 March 2026 and 16 '
    """
    if len(weeks) == 1:
        return marked(weeks[0], mark)
    *first, last = (day(week) for week in weeks)
    return f"{counted(len(weeks), 'week is', 'weeks are')} marked as {WORDS[mark]}: those of {', '.join(first)} and {last}. On Clients these days count as away as marked."


def taken_back_since(weeks: Sequence[date]) -> str:
    """
    >>> taken_back_since([date(2026, 3, 9), date(2026, 3, 16)])
    '2 weeks are no longer marked: those of 9 March 2026 and 16 March 2026.'
    """
    *first, last = (day(week) for week in weeks)
    return (f"{counted(len(weeks), 'week is', 'weeks are')} no longer marked: {'those' if first else 'that'} of "
            f"{', '.join(first)}{' and ' if first else ''}{last}.")


def taken_back(week: date, mark: str) -> str:
    """After a mark was taken back."""
    return f"The week of {day(week)} is no longer marked as {WORDS[mark]}."
