"""What a client reads of a week that is over, with the one after it: both are told by their days."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date

from dashboard.sentences.numbers import begun, day

WHEN_BACK = "When training begins again"  # the title of a plan for somebody who has no week to plan
OF_PLAN = {"next week as it was": "that week as the one before was", "next week": "that week", "this week": "the week before"}
IN_PAST = {"stands out this week": "stood out in the week of {day}", "next week": "in the week after", "this week": "the week of {day}"}


def meant(text: str, words: Mapping[str, str]) -> str:
    """A sentence of ours with other words about its weeks. words: in small letters, the longest first; where they begin a sentence, so do the others.

    >>> meant("This week had more than next week.", {"next week": "the one after", "this week": "that week"})
    'That week had more than the one after.'
    """
    return re.sub("|".join(words), lambda found: begun(words[found[0].lower()]) if found[0][0].isupper() else words[found[0].lower()], text, flags=re.IGNORECASE)


def for_week(monday: date) -> str:
    """The title of a plan whose week is over.

    >>> for_week(date(2026, 11, 9))
    'For the week of 9 November'
    """
    return f"For the week of {day(monday, year=False)}"


def of_plan(text: str) -> str:
    """A line of such a plan, below that title.

    >>> of_plan("Lats: add 2 sets. It had about 2 this week."), of_plan("Keep next week as it was.")
    ('Lats: add 2 sets. It had about 2 the week before.', 'Keep that week as the one before was.')
    """
    return meant(text, OF_PLAN)


def in_past(text: str, monday: date) -> str:
    """A sentence about the week of that Monday and the next one.

    >>> in_past("This week had more than usual. Next week it stays as it is.", date(2026, 11, 9))
    'The week of 9 November had more than usual. In the week after it stays as it is.'
    >>> in_past("Nothing stands out this week.", date(2026, 11, 9))
    'Nothing stood out in the week of 9 November.'
    """
    return meant(text, {words: told.format(day=day(monday, year=False)) for words, told in IN_PAST.items()})


def in_week(monday: date) -> str:
    """When the sets of that week were done.

    >>> in_week(date(2026, 11, 9))
    'in the week of 9 November'
    """
    return f"in the week of {day(monday, year=False)}"
