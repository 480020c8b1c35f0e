"""Two stretches of weeks as table rows: all of it text, with units in the headings."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

import pandas as pd

from dashboard.charts.rates import WORDS, rate_in_words
from dashboard.sentences.findings import whole_weeks
from dashboard.sentences.numbers import begun, counted, day, number

SIDE_BY_SIDE = {"name": "part", "upper": "older, hard sets a week", "upper_low": "older, each credit a tier lower", "upper_high": "older, each credit a tier higher",
                "lower": "newer, hard sets a week", "lower_low": "newer, each credit a tier lower", "lower_high": "newer, each credit a tier higher"}
VALUES = {"name": "exercise", "upper": "older, {unit}", "upper_low": "older, 80 % interval from", "upper_high": "older, 80 % interval to",
          "lower": "newer, {unit}", "lower_low": "newer, 80 % interval from", "lower_high": "newer, 80 % interval to"}
UNIT = " % a week"
RATES = ("older, % a week", "newer, % a week")


def week_rows(done: list[pd.Series], stretches: list[tuple[date, date]]) -> pd.DataFrame:
    """Rows of `queries.blocks.weeks`, one column each, headed by its days and how many whole weeks of training of it are in the log."""
    heads = [f"{which}: {day(first, year=False)} – {day(last + timedelta(days=6))}, {whole_weeks(*(int(one[name]) for name in ('weeks', 'holidays', 'illnesses')))}"
             for which, one, (first, last) in zip(("older", "newer"), done, stretches, strict=True)]
    told = [{"sessions": number(one["sessions"]), "sessions a week": number(one["sessions_a_week"]), "hard sets": number(one["hard_sets"]),
             "hard sets a week": number(one["hard_a_week"])} for one in done]
    return pd.DataFrame([{"": name, **{head: own[name] for head, own in zip(heads, told, strict=True)}} for name in told[0]])


def strength_rows(first: pd.DataFrame, second: pd.DataFrame, names: Mapping[str, str]) -> pd.DataFrame:
    """One row per part with a verdict in either: kept_part_strength rows of two looks. names: part id -> its word."""
    told = [{row.part: f"{rate_in_words(row).replace(UNIT, '')} {WORDS.get(row.verdict, row.verdict)}{_of(row)}" for row in own.itertuples()
             if row.verdict != "too_little_data"} for own in (first, second)]
    parts = [part for part in names if part in told[0] or part in told[1]]
    return pd.DataFrame([{"part": begun(names[part]), **{rate: own.get(part, "no verdict") for rate, own in zip(RATES, told, strict=True)}} for part in parts])


def value_rows(first: pd.DataFrame, second: pd.DataFrame) -> pd.DataFrame:
    """Rows of `planks`: exercises with a value at the end of both stretches, in one measure, the largest first. kept_strength rows of two looks."""
    both = first.merge(second, on=["exercise", "series"], suffixes=("_a", "_b")).sort_values("value_b", ascending=False, kind="stable")
    return pd.DataFrame({"name": both["name_a"], "upper": both["value_a"], "upper_low": both["value_low_a"], "upper_high": both["value_high_a"],
                         "lower": both["value_b"], "lower_low": both["value_low_b"], "lower_high": both["value_high_b"]}).reset_index(drop=True)


def only_in(own: Mapping[str, int], other: Mapping[str, int]) -> list[str]:
    """Exercises of one that the other lacks, with their sets."""
    return [f"{name}, {counted(sets, 'set', 'sets')}" for name, sets in own.items() if name not in other]


def _of(row) -> str:
    return ", of repetitions" if row.measure == "repetitions" else ""
