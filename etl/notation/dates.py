"""Dates in every common order, decided over a whole column and never cell by cell."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta

import numpy as np
import pandas as pd

from etl.notation.blanks import BLANK_WORDS, by_distinct, folded, plain
from etl.notation.clock import clock_time
from etl.notation.numbers import LONGEST

# Names in English, German, French, Spanish, Italian, Portuguese and Dutch, without accents. A name of a month may be cut
# down to its first letters, three at least, where they are no other month's.
_MONTH_NAMES = (
    "january januar janner janvier enero gennaio janeiro januari", "february februar februari fevrier febrero febbraio fevereiro",
    "march marz maerz mars marzo marco maart mrz mrt", "april avril abril aprile", "may mai mayo maggio maio mei",
    "june juni juin junio giugno junho", "july juli juillet julio luglio julho", "august aout agosto augustus",
    "september septembre septiembre setiembre settembre setembro", "october oktober octobre octubre ottobre outubro",
    "november novembre noviembre novembro", "december dezember decembre diciembre dicembre dezembro")
_WEEKDAY_NAMES = (  # Monday first
    "monday mon montag mo lundi lun lunes lunedi segunda(?:-feira)? seg maandag ma",
    "tuesday tues? dienstag di mardi mar martes martedi terca(?:-feira)? ter dinsdag",
    "wednesday wed mittwoch mi mercredi mer miercoles mie mercoledi quarta(?:-feira)? qua woensdag wo",
    "thursday thu(?:rs?)? donnerstag do jeudi jeu jueves jue giovedi gio quinta(?:-feira)? qui donderdag",
    "friday fri freitag fr vendredi ven viernes vie venerdi sexta(?:-feira)? sex vrijdag vr",
    "saturday sat samstag sonnabend sa samedi sam sabado sab sabato zaterdag za",
    "sunday sun sonntag so dimanche dim domingo dom domenica zondag zo")
NAN = float("nan")
FIRST_TWO_DIGIT_YEAR = 50  # [D] 50-99 are 1950-1999, 00-49 are 2000-2049: no log starts before 1950
# [P] Day 0 of the 1900 date system, counted back from day 61, 1 March 1900 (ECMA-376 Part 1, "Date Representation").
SERIAL_ZERO = datetime(1899, 12, 30)
SERIALS = (20_000, 80_000)  # [D] 1954 to 2119; larger and smaller numbers are something else
REST = r"(?P<rest>(?:[t ]|,\s).+)?"
_ZONE = r"(?:z|[+-]\d{2}:\d{2})?"
_SERIAL = re.compile(r"\d{5}(?:[.,]\d+)?", re.ASCII)
_DAYS_OF_WEEK = "|".join(sorted(" ".join(_WEEKDAY_NAMES).split(), key=len, reverse=True))
_WEEKDAY = re.compile(rf"(?:(?P<day>{_DAYS_OF_WEEK})\.?,?\s)?(?:den |dem |am |le |el |il )?", re.ASCII)
# Behind a date: in brackets anywhere, or bare after a year of four digits ("3 mar" is a day of March).
_WEEKDAY_ELSEWHERE = re.compile(rf",?\s?[(\[](?P<in_brackets>{_DAYS_OF_WEEK})\.?[)\]],?\s?|(?<=\d{{4}}),?\s(?P<at_end>{_DAYS_OF_WEEK})\.?$", re.ASCII)
_WEEKDAYS = tuple(re.compile("|".join(names.split())) for names in _WEEKDAY_NAMES)
_YEAR_FIRST = re.compile(rf"(\d{{4}})([-/.])(\d{{1,2}})\2(\d{{1,2}})(?:{_ZONE}|{REST})", re.ASCII)
_COMPACT = re.compile(r"((?:19|20)\d{2})(\d{2})(\d{2})(?P<rest>t.+)?", re.ASCII)
_WEEK = re.compile(rf"(\d{{4}})-?w(\d{{2}})-?([1-7]){REST}", re.ASCII)
_YEAR_LAST = re.compile(rf"(\d{{1,2}})\s?([-/.])\s?(\d{{1,2}})\s?\2\s?(\d{{4}}|\d{{2}}){REST}", re.ASCII)
_THREE_NUMBERS = re.compile(r"\d{1,4}\s?([-/.])\s?\d{1,2}\s?\1\s?\d{1,4}", re.ASCII)
ORDINAL = r"(?:st|nd|rd|th|er|\.|\u00ba|\u00b0|o)?"
_DAY_NAME = re.compile(rf"(\d{{1,2}}){ORDINAL}[ -]?(?:de |di |of )?([a-z]{{3,10}})\.?,?[ -](?:de |del )?(\d{{4}}|\d{{2}}){REST}", re.ASCII)
_NAME_DAY = re.compile(rf"([a-z]{{3,10}})\.? (\d{{1,2}}){ORDINAL},? (\d{{4}}){REST}", re.ASCII)
_YEAR_NAME = re.compile(rf"(\d{{4}})[ -]([a-z]{{3,10}})\.?[ -](\d{{1,2}}){REST}", re.ASCII)
_FORMS = (_YEAR_FIRST, _COMPACT, _WEEK, _YEAR_LAST, _DAY_NAME, _NAME_DAY, _YEAR_NAME)


def _months() -> dict[str, int]:
    """Each beginning of a name, from three letters, that is one month's alone."""
    found: dict[str, set[int]] = {}
    for month, names in enumerate(_MONTH_NAMES, 1):
        for name in names.split():
            for letters in range(3, len(name) + 1):
                found.setdefault(name[:letters], set()).add(month)
    return {start: months.pop() for start, months in found.items() if len(months) == 1}


MONTHS = _months()


def read_dates(text: pd.Series, day_first: bool, serials: bool = False) -> pd.DataFrame:
    """Columns date (datetime64[us], NaT where blank or not read) and time ("HH:MM", "" where none is said).

    day_first: how a date with its year last and its month as a number is read. ISO dates and named months need no
    such choice. A zone behind a time is not applied: the day is the one that the file names.
    serials: a plain number is a spreadsheet's count of days since 1899-12-30, with the time of day as its fraction
    (see `are_serials`).
    """
    days = by_distinct(text, lambda cell: np.datetime64(_day(cell, day_first, serials) or "NaT", "us"), "datetime64[us]")
    times = by_distinct(text, lambda cell: _time(cell, day_first, serials), "str")
    return pd.DataFrame({"date": days, "time": times})


def are_serials(text: pd.Series) -> bool:
    """Whether a column's dates are a spreadsheet's serial numbers: each cell that says something is a number within SERIALS."""
    cells = [cell for cell in map(plain, text.unique()) if cell not in BLANK_WORDS]
    return bool(cells) and all(_moment(cell) is not None for cell in cells)


def one_date(cell: str, day_first: bool = True) -> date | None:
    """One date, None where there is none. Raises nothing: 31 February is no date."""
    if len(cell) > LONGEST:
        return None
    cell = weekday_first(cell)
    found = _in_a_form(cell, day_first)
    # "mar" is a month and a Tuesday: a weekday is taken off only where the cell is no date with it.
    return found or (_in_a_form(rest, day_first) if (rest := without_weekday(cell)) != cell else None)


def day_first_from(text: pd.Series, latest: date | None = None) -> bool | None:
    """Whether a column's dates read day first (True) or month first (False); None where both readings fit or neither.

    A value above 12 settles it, and so do days of the week that only one reading agrees with. Else the reading that
    runs strictly better in the order of the file, whether that goes up or down. Else the one that alone has no date
    after `latest`. A column without such dates reads day first.
    """
    stripped = by_distinct(text, lambda cell: without_weekday(weekday_first(cell)), "str")
    is_open = stripped.map(lambda cell: _YEAR_LAST.fullmatch(cell) is not None).astype(bool)
    open_ones = stripped[is_open]
    if open_ones.empty:
        return True
    parts = [_YEAR_LAST.fullmatch(cell) for cell in open_ones.unique()]
    first_is_day = any(int(m[1]) > 12 >= int(m[3]) for m in parts)
    second_is_day = any(int(m[3]) > 12 >= int(m[1]) for m in parts)
    if first_is_day or second_is_day:
        return None if first_is_day and second_is_day else first_is_day
    by_day, by_month = (read_dates(open_ones, reading)["date"].dropna() for reading in (True, False))
    if by_day.equals(by_month):
        return True  # every day is its own month's number: 03/03, 04/04
    evidence = [(weekdays_differ(text[is_open], by_day) > 0, weekdays_differ(text[is_open], by_month) > 0), (_turns(by_day), _turns(by_month))]
    if latest is not None:
        limit = pd.Timestamp(latest)
        evidence.append(((by_day > limit).any(), (by_month > limit).any()))
    return next((bool(d < m) for d, m in evidence if d != m), None)


def _turns(days: pd.Series) -> int:
    """How often the dates step against the direction in which most of them run."""
    steps = np.diff(days.to_numpy().astype("int64"))
    return int(min((steps < 0).sum(), (steps > 0).sum()))


def _day(cell: str, day_first: bool, serials: bool) -> date | None:
    moment = _moment(plain(cell)) if serials else None
    return moment.date() if moment else one_date(cell, day_first)


def _time(cell: str, day_first: bool, serials: bool) -> str:
    if serials and (moment := _moment(plain(cell))):
        return moment.strftime("%H:%M") if _fraction(plain(cell)) else ""
    return clock_time(without_weekday(weekday_first(cell))) if one_date(cell, day_first) else ""


def _moment(cell: str) -> datetime | None:
    """The day and minute of a serial number, None for anything else and for a number outside of SERIALS."""
    if not _SERIAL.fullmatch(cell) or not SERIALS[0] <= float(cell.replace(",", ".")) <= SERIALS[1]:
        return None
    return SERIAL_ZERO + timedelta(days=int(cell[:5]), minutes=round(_fraction(cell) * 24 * 60))


def _fraction(cell: str) -> float:
    return float("0." + (cell[6:] or "0"))


def is_weekday(cell: str) -> bool:
    """Whether a cell is the name of a day of the week and nothing else."""
    return _WEEKDAY.fullmatch(folded(cell).strip() + " ") is not None and bool(cell.strip())


def weekday(cell: str) -> int | None:
    """The day of the week that stands before a date, or behind it, 0 for Monday; None where none does."""
    m = _WEEKDAY.match(weekday_first(cell))
    said = m["day"] if m else None
    return next((day for day, names in enumerate(_WEEKDAYS) if said and names.fullmatch(said)), None)


def weekdays_differ(text: pd.Series, days: pd.Series) -> int:
    """How many of the cells name another day of the week than that of their date (NaT where there is none)."""
    said = by_distinct(text, lambda cell: NAN if (day := weekday(cell)) is None else day, "float64").reindex(days.index)
    return int((said.notna() & days.notna() & (said != days.dt.day_of_week)).sum())


def weekday_first(cell: str) -> str:
    """A folded cell with the day of the week before the date, where it stands in brackets or behind.

    >>> weekday_first("28 Nov 2026 (Sat)")
    'sat 28 nov 2026'
    """
    text = folded(cell)
    m = _WEEKDAY_ELSEWHERE.search(text)
    if m is None or not (rest := f"{text[:m.start()]} {text[m.end():]}".strip()):
        return text
    return f"{m['in_brackets'] or m['at_end']} {rest}"


def like_a_date(cell: str) -> bool:
    """Whether a cell, read or not, is written like a date: a day's number beside a month's name, or three numbers between the same signs."""
    text = folded(cell[:LONGEST])
    words = re.findall(r"[a-z]+", text)
    return bool(_THREE_NUMBERS.search(text)) or any(c.isdigit() for c in text) and any(word in MONTHS for word in words)


def without_weekday(cell: str) -> str:
    return cell[_WEEKDAY.match(cell).end():]


def _in_a_form(cell: str, day_first: bool) -> date | None:
    for form in _FORMS:
        m = form.fullmatch(cell)
        if m and (m["rest"] is None or clock_time(m["rest"].lstrip("t, "))):
            return _made(form, m, day_first)
    return None


def _made(form: re.Pattern, m: re.Match, day_first: bool) -> date | None:
    """The date of a match, None where the calendar has no such day."""
    try:
        return date.fromisocalendar(int(m[1]), int(m[2]), int(m[3])) if form is _WEEK else date(*_in_order(form, m, day_first))
    except ValueError:
        return None


def _in_order(form: re.Pattern, m: re.Match, day_first: bool) -> tuple[int, int, int]:
    """Year, month and day of a match; month 0 for a word that names none."""
    if form is _YEAR_FIRST:
        return int(m[1]), int(m[3]), int(m[4])
    if form is _COMPACT:
        return int(m[1]), int(m[2]), int(m[3])
    if form is _YEAR_NAME:
        return int(m[1]), MONTHS.get(m[2], 0), int(m[3])
    if form is _YEAR_LAST:
        day, month = (m[1], m[3]) if day_first else (m[3], m[1])
        return _full_year(m[4]), int(month), int(day)
    name, day = (m[2], m[1]) if form is _DAY_NAME else (m[1], m[2])
    return _full_year(m[3]), MONTHS.get(name, 0), int(day)


def _full_year(digits: str) -> int:
    year = int(digits)
    if len(digits) == 4:
        return year
    return year + (1900 if year >= FIRST_TWO_DIGIT_YEAR else 2000)
