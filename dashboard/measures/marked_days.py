"""How many days of a gap lie in weeks that were marked."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta


def marked_days(last: date, until: date, weeks: Iterable[date]) -> int:
    """Of the days after `last`, up to `until`, those in one of the weeks. weeks: Mondays, each once.

    >>> marked_days(date(2026, 3, 6), date(2026, 3, 24), [date(2026, 3, 2), date(2026, 3, 9), date(2026, 3, 23)])
    11
    """
    days = ((min(week + timedelta(days=6), until) - max(week - timedelta(days=1), last)).days for week in weeks)
    return sum(max(0, one) for one in days)
