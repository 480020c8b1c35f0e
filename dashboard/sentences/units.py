"""Loads in the unit that an athlete's pages show. The log and what is kept of it are in kilograms; texts and tables are turned over when they are shown."""

from __future__ import annotations

import re
from collections.abc import Sequence

import pandas as pd

from dashboard.sentences.decimal_mark import COMMA, POINT, mark
from dashboard.sentences.numbers import MINUS, measured, number

KG, LB = "kg", "lb"
BODY_WEIGHT, NO_LOAD = "body weight", "0 kg"
LB_KG = 0.45359237  # kg in a pound (exact, international pound of 1959)
# A number with each decimal mark; and a load, or two ends of one, after which may stand its interval in brackets, which has no unit of its own.
NUMBER = {mark: rf"\d[\d\u202f]*(?:[{mark}]\d+)?" for mark in (POINT, COMMA)}
LOAD = {mark: re.compile(rf"(?<![\d{mark}])({one}(?: to {one})?) kg\b(?! per kg)(?: \(({one} to {one})\))?") for mark, one in NUMBER.items()}


STEPS_LB = (0.5, 1.25)  # [D] pounds that a load is usually written in whole steps of, the roundest first
TENTH = 1  # decimals of our texts
QUARTER_SLIP = 1e-4  # of a unit: what a product in double precision may be beside a whole quarter


def in_pounds(kg: float, places: int = TENTH) -> float:
    """A load that is known to `places` decimals of a kilogram, in pounds: of those that it may have been, the roundest, else in tenths.

    >>> in_pounds(21.5), in_pounds(18.1), in_pounds(7.25, 2), in_pounds(33.2)
    (47.5, 40.0, 16.0, 73.2)
    """
    pounds, slip = kg / LB_KG, 0.5 * 10.0**-places / LB_KG
    return next((near for step in STEPS_LB if abs((near := round(pounds / step) * step) - pounds) <= slip), round(pounds, TENTH))


def as_written(kg: float, unit: str = KG) -> str:
    """A load of the log in the unit in which it is a whole number of quarters; in `unit` where it is so in both, or in neither.

    >>> as_written(47.5 * LB_KG), as_written(20.0, LB), as_written(0.0, LB)
    ('47.5 lb', '20 kg', '0 lb')
    """
    whole = [one for one in (KG, LB) if _quarters(from_kg(kg, one))]
    told = whole[0] if len(whole) == 1 else unit
    return f"{number(from_kg(kg, told), 3)} {told}"


def at_load(series: str) -> str:
    """What a series of repetitions is at, in words.

    >>> at_load("0 kg"), at_load("0 kg, grip neutral"), at_load("10 kg")
    ('body weight', 'body weight, grip neutral', '10 kg')
    """
    return BODY_WEIGHT + series.removeprefix(NO_LOAD) if series.startswith((f"{NO_LOAD},", f"{NO_LOAD} ")) or series == NO_LOAD else series


def plates(load: float, unit: str = KG) -> str:
    """A load in `unit` as its plates are written; in tenths where it was written in another one.

    >>> plates(7.25), plates(161.03)
    ('7.25 kg', '161 kg')
    """
    return f"{number(load, 2 if _quarters(load) else TENTH)} {unit}"


def as_lifted(load: float, reps: float, seconds: float, reserve: float, unit: str = KG) -> str:
    """A set as lifters write it; NaN for what is not known of it. load: in `unit`, which it is not turned into.

    >>> nan = float("nan")
    >>> as_lifted(7.25, 6.0, nan, 2.0), as_lifted(0.0, nan, 18.0, nan), as_lifted(nan, 12.0, nan, nan, LB), as_lifted(161.03, 5.0, nan, nan)
    ('7.25 kg × 6, 2 in reserve', '18 s', '12', '161 kg × 5')
    """
    told = ([] if pd.isna(load) or not load else [plates(load, unit)]) + ([number(reps)] if reps == reps else [f"{number(seconds)} s"] if seconds == seconds else [])
    return " × ".join(told) + (f", {number(reserve)} in reserve" if reserve == reserve else "")


def loads_told(loads: Sequence[float], unit: str) -> str:
    """Loads of the log or the house, kg, as they were written: bare numbers in `unit`; with one of another unit among them, each with its own.

    >>> loads_told([2.0, 7.5], KG), loads_told([5 * LB_KG, 7.5 * LB_KG], LB), loads_told([2.0, 5 * LB_KG], KG)
    ('2, 7.5', '5, 7.5', '2 kg, 5 lb')
    """
    told = [as_written(one, unit) for one in loads]
    between = "; " if mark() == COMMA else ", "  # no decimal mark is to be taken for the end of a load
    return between.join(one.removesuffix(f" {unit}") for one in told) if all(one.endswith(unit) for one in told) else between.join(told)


def _quarters(value: float) -> bool:
    return abs(value * 4 - round(value * 4)) < 4 * QUARTER_SLIP


def from_kg(kg: float, unit: str) -> float:
    """A load in the unit."""
    return kg / LB_KG if unit == LB else kg


def to_kg(value: float, unit: str) -> float:
    """A load that is written in the unit, in kg."""
    return value * LB_KG if unit == LB else value


def written_number(kg: float, unit: str) -> float:
    """A load of the log in the unit, without what a product in double precision adds to a number that was written.

    >>> written_number(47.5 * LB_KG, LB), written_number(20.0, KG)
    (47.5, 20.0)
    """
    return round(from_kg(kg, unit), 4)


def load(kg: float, unit: str) -> str:
    """A load in the unit, whole.

    >>> load(45.359237, "lb"), load(30.6, "kg")
    ('100 lb', '31 kg')
    """
    return f"{number(from_kg(kg, unit), 0)} {unit}"


def in_unit(text: str, unit: str) -> str:
    """A text of ours with its loads in the unit, each the roundest that its decimals allow (`in_pounds`); a value that stands beside its interval is
    turned as it is. A load in kg per kg of body mass stays. Not for what a person wrote.

    >>> in_unit("at 10 kg, then 20 to 22.5 kg", "lb"), in_unit("1.2 kg per kg", "lb"), in_unit("10 kg", "kg")
    ('at 22 lb, then 44 to 49.5 lb', '1.2 kg per kg', '10 kg')
    >>> in_unit("82.5 kg (80.0 to 85.0)", "lb")
    '181.9 lb (176.4 to 187.4)'
    """
    return LOAD[mark()].sub(_turned, text) if unit == LB else text


def _turned(found: re.Match[str]) -> str:
    """In brackets stands an interval, whose ends are written with a decimal, as is the value that it belongs to."""
    if found[2]:
        return f"{number(from_kg(_kg(found[1]), LB))} lb ({' to '.join(measured(from_kg(_kg(kg), LB)) for kg in found[2].split(' to '))})"
    return " to ".join(_roundest(kg) for kg in found[1].split(" to ")) + " lb"


def _roundest(text: str) -> str:
    return number(in_pounds(_kg(text), max(TENTH, len(text.partition(mark())[2]))), 2)


def _kg(text: str) -> float:
    return float(text.replace("\u202f", "").replace(COMMA, POINT))


def rows_in_unit(rows: pd.DataFrame, unit: str, *columns: str) -> pd.DataFrame:
    """A table with the loads in the texts of these columns in the unit; of all columns where none is named."""
    if unit != LB or rows.empty:
        return rows
    return rows.assign(**{name: rows[name].map(lambda text: in_unit(text, unit) if isinstance(text, str) else text) for name in columns or rows.columns})


def table_in_unit(rows: pd.DataFrame, unit: str) -> pd.DataFrame:
    """A table of text whose columns of loads say so in their headings ('load, kg'); what is no number in them stays."""
    if unit != LB:
        return rows
    turned = {name: rows[name].map(_number_in_lb) for name in rows if heading_in_unit(name, unit) != name}
    return rows.assign(**turned).rename(columns=lambda name: heading_in_unit(name, unit))


def _number_in_lb(text: str) -> str:
    sign, plain = (MINUS, text[1:]) if text[:1] in (MINUS, "-") else ("", text)
    return sign + _roundest(plain) if re.fullmatch(NUMBER[mark()], plain) else text


def heading_in_unit(heading: str, unit: str) -> str:
    """A heading such as 'load, kg' in the unit.

    >>> heading_in_unit("heaviest load, kg, one hand", "lb"), heading_in_unit("kg per kg of body mass", "lb")
    ('heaviest load, lb, one hand', 'kg per kg of body mass')
    """
    return re.sub(r"\bkg\b(?! per kg)", unit, heading) if "kg per kg" not in heading else heading
