"""Numbers, units and days as they are written on pages, on charts and on the command line."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from functools import lru_cache

import pandas as pd

from dashboard.sentences.decimal_mark import marked

UNKNOWN = "–"
MINUS = "\u2212"
# The same sets, loads and days come again and again; as text each is made once. What is asked for has to be one plain number.
remembered = lru_cache(maxsize=8192)


def number(value: float | None, places: int = 1) -> str:
    """At most `places` decimals, none where it is whole; thousands apart; '–' where unknown. With the decimal mark that holds."""
    return marked(_with_point(value, places))


@remembered
def _with_point(value: float | None, places: int) -> str:
    if value is None or pd.isna(value):
        return UNKNOWN
    text = f"{value:,.{places}f}".replace(",", "\u202f")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return text.replace("-", MINUS) if text.strip("-0.") else "0"


def measured(value: float | None, places: int = 1) -> str:
    """With exactly `places` decimals: for values that stand beside their interval."""
    return marked(_exact(value, places))


def _exact(value: float | None, places: int) -> str:
    if value is None or pd.isna(value):
        return UNKNOWN
    return f"{value:.{places}f}".replace("-", MINUS)


def signed(value: float | None, places: int = 1) -> str:
    """With its sign, a rise as +, and exactly `places` decimals."""
    text = _exact(value, places)
    return marked(f"+{text}" if text[0].isdigit() and float(text) else text.removeprefix(MINUS) if text.strip(f"{MINUS}0.") == "" else text)


def day(when: date, year: bool = True) -> str:
    """9 March 2026, or 9 March."""
    return f"{when.day} {when:%B}" + (f" {when.year}" if year else "")


def listed(words: Sequence[str]) -> str:
    """All of them, with 'and' before the last; parted by semicolons where one of them holds a comma.

    >>> listed(["abs"]), listed(["abs", "grip"]), listed(["abs", "grip", "shin"]), listed([])
    ('abs', 'abs and grip', 'abs, grip and shin', '')
    >>> listed(["calf, upper", "hip abductors", "grip"])
    'calf, upper; hip abductors; grip'
    """
    return "; ".join(words) if _parted(words) == "; " else together(words)


def together(words: Sequence[str]) -> str:
    """All of them with 'and' before the last in any case: where a semicolon stands for something else beside them.

    >>> together(["calf, upper", "abs"]), together(["calf, upper", "abs", "grip"])
    ('calf, upper and abs', 'calf, upper; abs and grip')
    """
    return " and ".join(filter(None, [_parted(words).join(words[:-1]), *words[-1:]]))


def _parted(words: Sequence[str]) -> str:
    """What stands between words: a comma would run together with one of their own."""
    return "; " if any("," in word for word in words) else ", "


def few(words: Sequence[str]) -> str:
    """The first three words, and how many more there are; parted by semicolons where one of them holds a comma.

    >>> few(["lats", "grip"]), few(["calf, upper", "calf, lower"]), few(["calf, upper", "abs", "grip", "shin"])
    ('lats and grip', 'calf, upper; calf, lower', 'calf, upper; abs; grip and 1 more')
    """
    return listed(words) if len(words) <= 3 else f"{_parted(words[:3]).join(words[:3])} and {len(words) - 3} more"


def counted(count: int, one: str, many: str) -> str:
    """'1 row', '3 rows'."""
    return f"{number(count)} {one if count == 1 else many}"


def begun(sentence: str) -> str:
    """The sentence with a capital first letter; the rest as it is."""
    return sentence[:1].upper() + sentence[1:]


@remembered
def day_of(whole_days: float) -> str:
    """A date from whole days since 1970.

    >>> day_of(20521)
    '9 March 2026'
    """
    return day(date(1970, 1, 1) + timedelta(days=int(whole_days)))


def sets(value: float) -> str:
    """Hard sets in words.

    >>> sets(1.0), sets(2.5)
    ('1 hard set', '2.5 hard sets')
    """
    return f"{number(value)} hard set{'' if round(value, 1) == 1 else 's'}"


def past(value: float, target: float) -> bool:
    """Whether a target is reached, whatever a conversion to kilograms adds behind the second decimal; False of NaN.

    >>> past(70.30681735, 70.31), past(70.3, 70.31), past(float("nan"), 70.0)
    (True, False, False)
    """
    return round(value, 2) >= round(target, 2)


UNITS = {"e1rm": "kg", "load": "kg", "per_kg": "kg per kg of body mass", "reps": "repetitions", "hold": "s"}


def amount(value: float, measure: str) -> str:
    """A strength value with its unit.

    >>> amount(82.46, "e1rm"), amount(1.344, "per_kg"), amount(41.0, "hold"), amount(61.25, "load")
    ('82.5 kg', '1.34 kg per kg of body mass', '41 s', '61.25 kg')
    """
    places = {"per_kg": 2, "load": 2, "hold": 0}.get(measure, 1)
    return f"{number(value, places)} {UNITS[measure]}"
