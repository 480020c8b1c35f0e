"""Does what stands in a column fit the field that its header names?"""

from __future__ import annotations

from collections.abc import Callable

import pandas as pd

from etl import notation
from etl.columns.headers import EITHER
from etl.notation.blanks import by_distinct
from etl.tables import exercises

SAMPLE = 500  # [D] cells looked at, spread over the column
KIND_FOR_NUMBER = 0.9  # [D] what a kind of set counts for where a set's number is looked for
FITS = 0.5  # [D] share of a column's cells that have to read as the field it is named for
MOST_SETS = 30  # [D] more in one row is another number
LONG_HOLD_HOURS = 3  # [D] in "0:45" to "3:30" a part before the colon up to this is minutes of a hold, not an hour of the day


def sample_of(cells: pd.Series) -> pd.Series:
    """Up to SAMPLE cells that say something, spread evenly over the column."""
    filled = cells[~notation.is_blank(cells)]
    step = -(-len(filled) // SAMPLE) or 1
    return filled.iloc[::step]


def fit(field: str, unit: str, cells: pd.Series) -> float:
    """Share of the cells, 0-1, that read as the field. For an empty column just enough: it says nothing against it."""
    if cells.empty:
        return FITS
    return float(CHECKS.get(field, _anything)(cells, unit).mean())


def dates(cells: pd.Series, unit: str = "") -> pd.Series:
    """True where a cell is a date in some order."""
    return notation.read_dates(cells, True)["date"].notna() | notation.read_dates(cells, False)["date"].notna()


def work(cells: pd.Series, unit: str = "") -> pd.Series:
    """True where a cell is a whole shorthand of work, or a plain count of repetitions or seconds."""
    is_short = by_distinct(cells, lambda cell: notation.shorthand(cell, load_given=True) is not None, "bool")
    return is_short | notation.read_repetitions(cells)["read"]


def _counted(cells: pd.Series, unit: str) -> pd.Series:
    """A number, also behind a word or letter: 2, R2, Round 2."""
    return notation.read_numbers(cells.str.replace(r"^[^\W\d_ .#]*[ .#]*(?=\d)", "", regex=True), ".").notna()


def _date(cells: pd.Series, unit: str) -> pd.Series:
    """A date, also one that leaves out its year: the column is named for dates."""
    return dates(cells) | notation.are_serials(cells) | notation.lack_year(cells)


def _count(cells: pd.Series, unit: str) -> pd.Series:
    return notation.read_numbers(cells, ".").between(0, MOST_SETS)


def _year(cells: pd.Series, unit: str) -> pd.Series:
    return cells.str.fullmatch(r"\s*(?:19|20)\d{2}\s*")


def _id(cells: pd.Series, unit: str) -> pd.Series:
    return cells.str.strip().isin(exercises()["exercise_id"])


def _anything(cells: pd.Series, unit: str) -> pd.Series:
    return pd.Series(True, index=cells.index)


def _number(cells: pd.Series, unit: str) -> pd.Series:
    return notation.read_numbers(cells).notna()


def _text(cells: pd.Series, unit: str) -> pd.Series:
    return ~(_number(cells, unit) | dates(cells) | (notation.clock_times(cells) != ""))


def _time(cells: pd.Series, unit: str) -> pd.Series:
    """A time of day; but "0:45" and "1:30" all down a column are minutes and seconds of a hold."""
    if unit:
        return pd.Series(False, index=cells.index)
    is_time = notation.clock_times(cells) != ""
    return is_time & (not _all_short(cells))


def _hold(cells: pd.Series, unit: str) -> pd.Series:
    reads = notation.durations_s(cells, unit if unit in ("s", "min") else "s").notna()
    colons = cells.str.contains(":")
    return reads & ~(colons & (unit == "") & (not _all_short(cells)))


def _all_short(cells: pd.Series) -> bool:
    parts = cells.str.strip().str.extract(r"^(\d):\d{2}$")[0].astype("float64")
    return bool((parts <= LONG_HOLD_HOURS).all())


def _minutes(cells: pd.Series, unit: str) -> pd.Series:
    return notation.durations_s(cells, "min").notna()


def _rest(cells: pd.Series, unit: str) -> pd.Series:
    return notation.durations_s(cells, "s").notna()


def _load(cells: pd.Series, unit: str) -> pd.Series:
    """Anything but dates and times: loads that cannot be read are said row by row, a column passed over would lose them."""
    return ~(dates(cells) | (notation.clock_times(cells) != ""))


def _body_mass(cells: pd.Series, unit: str) -> pd.Series:
    in_stones = notation.stones_and_pounds(cells).notna() & (unit in ("st", EITHER))
    return notation.read_loads(cells)["value"].notna() | in_stones


def _reps(cells: pd.Series, unit: str) -> pd.Series:
    """Any cell with a digit: a shorthand that cannot be read is still said row by row."""
    return cells.str.contains(r"\d", regex=True)


def _set_no(cells: pd.Series, unit: str) -> pd.Series:
    """Numbers, and a few kinds of set among them ("W", 1, 2); a column of kinds alone is rather the kind."""
    return _number(cells, unit) + KIND_FOR_NUMBER * (notation.kinds(cells) != "")


def _kind(cells: pd.Series, unit: str) -> pd.Series:
    return ~_number(cells, unit) | cells.str.strip().isin(["0", "1"])


def _effort(cells: pd.Series, unit: str) -> pd.Series:
    return notation.read_efforts(cells).notna()


def _tempo(cells: pd.Series, unit: str) -> pd.Series:
    """A code such as 3-1-1-0, 3110 or a word; plain seconds of one or two digits are no tempo."""
    return ~cells.str.fullmatch(r"\s*\d{1,2}([.,:]\d+)?\s*")


def _unit(cells: pd.Series, unit: str) -> pd.Series:
    """A known unit. A column without any is rather something else that is named so, if anything else is."""
    known = notation.units(cells) != ""
    return known if known.any() else pd.Series(float(FITS), index=cells.index)


def _planned(cells: pd.Series, unit: str) -> pd.Series:
    return (notation.booleans(cells) != "") | (notation.states(cells) != "")


CHECKS: dict[str, Callable[[pd.Series, str], pd.Series]] = {
    "date": _date, "time": _time, "exercise": _text, "set_no": _set_no, "round_no": _counted, "segment_no": _counted,
    "kind": _kind, "side": lambda c, u: notation.sides(c) != "", "range": lambda c, u: notation.ranges(c) != "",
    "reps": _reps, "load": _load, "hold": _hold, "rpe": _effort,
    "rir": _effort, "pain_place": _text, "pain_score": _effort, "body_mass": _body_mass, "session_rpe": _effort,
    "minutes": _minutes, "rest": _rest, "planned": _planned, "tempo": _tempo, "unit": _unit, "set_count": _count, "round_count": _count, "year": _year, "assistance": _load, "work": work, "exercise_id": _id,
    "kind_source": lambda c, u: c.isin(["logged", "assumed"]), "load_estimated": lambda c, u: notation.booleans(c) != "",
}
