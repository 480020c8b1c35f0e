"""Two stretches of weeks as table rows: all of it text, with units in the headings."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

import pandas as pd

from dashboard.charts.rates import WORDS, rate_in_words
from dashboard.sentences.numbers import begun, counted, day, number

SIDE_BY_SIDE = {"name": "part", "upper": "first, hard sets a week", "upper_low": "first, each credit a tier lower", "upper_high": "first, each credit a tier higher",
                "lower": "second, hard sets a week", "lower_low": "second, each credit a tier lower", "lower_high": "second, each credit a tier higher"}
FIRST, SECOND = "first", "second"
UNIT = " % a week"
RATES = ("first, % a week", "second, % a week")


def week_rows(done: list[pd.Series], stretches: list[tuple[date, date]]) -> pd.DataFrame:
    """Rows of `queries.blocks.weeks`, one column each."""
    told = [{"weeks": f"{day(first, year=False)} – {day(last + timedelta(days=6))}, {number(one['weeks'])} whole", "sessions": number(one["sessions"]),
             "sessions a week": number(one["sessions_a_week"]), "hard sets": number(one["hard_sets"]), "hard sets a week": number(one["hard_a_week"])}
            for one, (first, last) in zip(done, stretches, strict=True)]
    return pd.DataFrame([{"": name, FIRST: told[0][name], SECOND: told[1][name]} for name in told[0]])


def strength_rows(first: pd.DataFrame, second: pd.DataFrame, names: Mapping[str, str]) -> pd.DataFrame:
    """One row per part with a verdict in either: kept_part_strength rows of two looks. names: part id -> its word."""
    told = [{row.part: f"{rate_in_words(row).replace(UNIT, '')} {WORDS.get(row.verdict, row.verdict)}{_of(row)}" for row in own.itertuples()
             if row.verdict != "too_little_data"} for own in (first, second)]
    parts = [part for part in names if part in told[0] or part in told[1]]
    return pd.DataFrame([{"part": begun(names[part]), **{rate: own.get(part, "no verdict") for rate, own in zip(RATES, told, strict=True)}} for part in parts])


def only_in(own: Mapping[str, int], other: Mapping[str, int]) -> list[str]:
    """Exercises of one that the other lacks, with their sets."""
    return [f"{name}, {counted(sets, 'set', 'sets')}" for name, sets in own.items() if name not in other]


def _of(row) -> str:
    return ", of repetitions" if row.measure == "repetitions" else ""
