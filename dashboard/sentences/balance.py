"""Parts and sides in words."""

from __future__ import annotations

from typing import Any

import pandas as pd

from dashboard.sentences.dose import between
from dashboard.sentences.numbers import listed, number, sets
from etl.settings import RULES, Rules


def below_band(part: str, mean: float, band_low: float, weeks: int, low: float, high: float) -> str:
    """A part in focus whose mean stayed under its band at two looks running. low, high: the means of the ends of its range."""
    return (f"{part[0].upper() + part[1:]}: {sets(mean)} a week{between(low, high)} over the last {weeks} full weeks, under the low end of {number(band_low)} "
            "at this week's end and the one before.")


def under_bands(parts: list[str]) -> str:
    """Many parts under their bands, in one line."""
    return f"Under the low end of their bands at this week's end and the one before, over four full weeks: {listed(parts)}."


def bands_used(level: str, said: bool, own: list[str]) -> str:
    """Whose bands a shelf shows. said: whether somebody said the level; own: bands that were set, in words.

    >>> bands_used("beginner", True, []), bands_used("intermediate", False, ["lats 6 to 12"])
    ('Bands of the beginner level.', 'No level was said: the bands of the intermediate level are used. Another can be chosen on the page Settings. Yours: lats 6 to 12.')
    """
    told = f"Bands of the {level} level." if said else f"No level was said: the bands of the {level} level are used. Another can be chosen on the page Settings."
    return told + (f" Yours: {listed(own)}." if own else "")


def level_changes(rules: Rules = RULES) -> str:
    """What depends on the level.

    >>> level_changes()
    'The level changes the bands (a main part: 4 to 12 hard sets a week for a beginner, else 4 to 20) and over how many weeks strength is judged (12 for a beginner, else 16, more where it goes up and down much).'
    """
    beginner, other = (f"{number(low)} to {number(high)}" for low, high in (rules.band_main_beginner, rules.band_main))
    weeks = rules.window_weeks
    return (f"The level changes the bands (a main part: {beginner} hard sets a week for a beginner, else {other}) and over how many weeks strength is judged "
            f"({weeks['beginner']} for a beginner, else {weeks['intermediate']}, more where it goes up and down much).")


SIDE_MEASURES = {"e1rm": "estimated maximum", "hold": "seconds held", "load": "load at equal repetitions", "reps": "repetitions at the same load"}
SIDE_VALUES = {"e1rm": "kg, estimated maximum", "hold": "s held", "load": "kg at equal repetitions", "reps": "repetitions at the same load"}
MATCHED = {"hold": "seconds"}


def side_difference(exercise: str, row: Any) -> str:
    """A difference between the sides that lasts; a difference, nothing more. row: one of `standing.balance_flags.sides`."""
    interval = side_interval(row.difference_low_pct, row.difference_high_pct)
    return (f"{exercise[0].upper() + exercise[1:]}: the {row.weaker} side is {number(abs(row.difference_pct), 0)} % behind, 80 % interval {interval}, in "
            f"{SIDE_MEASURES[row.measure]}, in {row.sessions} sessions over four weeks or more. "
            f"It is a difference, not a diagnosis; matching the weaker side's {MATCHED.get(row.measure, 'repetitions')} would hide it.")


def values_are(row: Any) -> str:
    """What the two values of a row of kept_sides are, with their unit."""
    return SIDE_VALUES.get(row.measure, row.unit)


def side_interval(low: float, high: float) -> str:
    """The interval of a signed difference, + where the left is weaker; '' where it is unknown.

    >>> side_interval(12.3, 24.0), side_interval(-24.0, -12.3), side_interval(-3.0, 9.0), side_interval(-0.2, 9.0)
    ('12 to 24', '12 to 24', 'right 3 to left 9 weaker', '0 to 9')
    """
    if pd.isna(low) or pd.isna(high):
        return ""
    if round(low) < 0 < round(high):
        return f"right {number(-low, 0)} to left {number(high, 0)} weaker"
    near, far = sorted((abs(low), abs(high)))
    return f"{number(near if low * high > 0 else 0.0, 0)} to {number(far, 0)}"
