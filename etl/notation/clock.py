"""Lengths of time (45, 45 s, 0:45, 1m30s, 1:02:03, PT45S) and times of day (18:30, 6:30 pm)."""

from __future__ import annotations

import re
from datetime import datetime

import pandas as pd

from etl.notation.blanks import by_distinct, plain
from etl.notation.numbers import LONGEST, NUMBER, decimal_mark, number

SECONDS = {"s": 1.0, "min": 60.0}
# English, German, French, Spanish, Italian, Portuguese and Dutch, the longest first.
HOUR_WORDS = "stunden|stunde|heures|heure|hours|horas|hour|hora|uren|hrs|std|uur|ore|ora|hr|h"
MINUTE_WORDS = "minutes|minuten|minutos|minute|minuto|minuti|minuut|mins|min|m|'|\u2032|\u2019"
SECOND_WORDS = ("sekunden|secondes|seconden|segundos|seconds|sekunde|seconde|segundo|secondi|secondo|second|secs|segs|sek|sec|seg|s"
                "|\"|''|\u2033|\u201d|\u2019\u2019")
_DECIMAL = r"\d+(?:[.,]\d+)?"
_BARE = re.compile(rf"(?P<n>{NUMBER})", re.ASCII)
_COLONS = re.compile(r"(?:(\d{1,3}):)?(\d{1,3}):(\d{2}(?:\.\d+)?)", re.ASCII)
_NAMED = re.compile(rf"(?:(?P<h>{_DECIMAL})\s?(?:{HOUR_WORDS})\.?\s?)?(?:(?P<m>{_DECIMAL})\s?(?:{MINUTE_WORDS})\.?\s?)?"
                    rf"(?:(?P<s>{_DECIMAL})\s?(?:{SECOND_WORDS})\.?)?", re.ASCII)
_MINUTES_THEN_BARE = re.compile(r"(?P<m>\d+)\s?(?:m|min|'|\u2032|\u2019)\s?(?P<s>\d{1,2})", re.ASCII)
_ISO = re.compile(rf"pt(?:(?P<h>{_DECIMAL})h)?(?:(?P<m>{_DECIMAL})m)?(?:(?P<s>{_DECIMAL})s)?", re.ASCII)  # a duration of ISO 8601-1
_TIME_OF_DAY = re.compile(
    r"(?P<h>\d{1,2})(?::(?P<m>\d{2}))?(?::(?P<s>\d{2})(?:\.\d+)?)?\s?(?P<half>[ap]\.?m\.?)?"
    r"\s?(?:z|[+-]\d{2}(?::?\d{2})?)?(?:\[[\w/+-]+\])?", re.ASCII)
NAN = float("nan")


def durations_s(text: pd.Series, unit: str = "s", mark: str | None = None) -> pd.Series:
    """Seconds as float, NaN where a cell is blank or not read.

    unit: that of a bare number, "s" or "min". Two parts with a colon are minutes and seconds where it is "s", hours
    and minutes where it is "min"; three are hours, minutes, seconds.
    """
    mark = mark or decimal_mark(text)
    return by_distinct(text, lambda cell: duration_s(cell, unit, mark), "float64")


def duration_s(cell: str, unit: str = "s", mark: str = ".") -> float:
    """One duration in seconds, NaN where it cannot be read."""
    if len(cell) > LONGEST:
        return NAN
    cell = plain(cell)
    if _BARE.fullmatch(cell) and (value := number(cell, mark)) == value:
        return value * SECONDS[unit]
    if m := _COLONS.fullmatch(cell):
        parts = [float(p) for p in m.groups() if p is not None]
        if len(parts) == 3:
            return NAN if parts[1] >= 60 or parts[2] >= 60 else parts[0] * 3600 + parts[1] * 60 + parts[2]
        return NAN if parts[1] >= 60 else (parts[0] * 60 + parts[1]) * SECONDS[unit]
    m = _MINUTES_THEN_BARE.fullmatch(cell) or _NAMED.fullmatch(cell) or _ISO.fullmatch(cell)
    if m is None or not any(m.groupdict().values()):
        return NAN
    sizes = {"h": 3600.0, "m": 60.0, "s": 1.0}
    return sum(float(value.replace(",", ".")) * sizes[part] for part, value in m.groupdict().items() if value)


def clock_times(text: pd.Series) -> pd.Series:
    """Times of day as text HH:MM, "" where a cell is blank or is none. Seconds and a zone are not kept."""
    return by_distinct(text, clock_time, "str")


def clock_time(cell: str) -> str:
    """One time of day as HH:MM, "" where it is none. A date before it is passed over, and so is the zone."""
    if len(cell) > LONGEST:
        return ""
    cell = plain(cell)
    m = _TIME_OF_DAY.fullmatch(cell) or _TIME_OF_DAY.fullmatch(re.split(r"[t ]", cell, maxsplit=1)[-1])
    if m is None or (m["m"] is None and m["half"] is None):
        return ""
    hour, minute = int(m["h"]), int(m["m"] or 0)
    if m["half"]:
        if not 1 <= hour <= 12:
            return ""
        hour = hour % 12 + 12 * m["half"].startswith("p")
    return datetime(2000, 1, 1, hour, minute).strftime("%H:%M") if hour < 24 and minute < 60 else ""
