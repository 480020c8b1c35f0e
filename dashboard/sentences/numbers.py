"""Numbers as words: units, signs, dates."""

from __future__ import annotations

from datetime import date, timedelta

import math


def number(value: float, places: int = 1) -> str:
    """A number without needless zeros: 4, 4.5, 0.25; a dash where there is none.

    >>> number(4.0), number(4.54), number(float("nan"))
    ('4', '4.5', '–')
    """
    if value is None or math.isnan(value):
        return "–"
    text = f"{value:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def signed_pct(value: float, places: int = 2) -> str:
    """A rate with its sign, such as +0.35 or -0.20.

    >>> signed_pct(0.354), signed_pct(-0.001)
    ('+0.35', '0.00')
    """
    rounded = round(value, places) + 0.0
    return f"{rounded:+.{places}f}" if rounded else f"{0:.{places}f}"


def day(whole_days: float) -> str:
    """A date from whole days since 1970, such as 9 March 2026.

    >>> day(20521)
    '9 March 2026'
    """
    when = date(1970, 1, 1) + timedelta(days=int(whole_days))
    return f"{when.day} {when:%B %Y}"


def listed(words: list[str]) -> str:
    """Words as a list in a sentence.

    >>> listed(["a"]), listed(["a", "b", "c"])
    ('a', 'a, b and c')
    """
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def sets(value: float) -> str:
    """Hard sets in words.

    >>> sets(1.0), sets(2.5)
    ('1 hard set', '2.5 hard sets')
    """
    return f"{number(value)} hard set{'' if round(value, 1) == 1 else 's'}"


UNITS = {"e1rm": "kg", "per_kg": "kg per kg of body mass", "reps": "repetitions", "hold": "s"}


def amount(value: float, measure: str) -> str:
    """A strength value with its unit.

    >>> amount(82.46, "e1rm"), amount(1.344, "per_kg"), amount(41.0, "hold")
    ('82.5 kg', '1.34 kg per kg of body mass', '41 s')
    """
    places = {"per_kg": 2, "hold": 0}.get(measure, 1)
    return f"{number(value, places)} {UNITS[measure]}"
