"""Strength: verdicts of a week, the best sets behind them, and the two sides."""

from __future__ import annotations

from datetime import date

import pandas as pd

from dashboard.queries.balance import in_focus
from dashboard.queries.kept import Store, of_week, rows
from dashboard.queries.words import called, part_words
from dashboard.sentences.units import KG, from_kg
from etl import tables
from etl.settings import RULES, Rules

# An exercise can have several series (a load, an object); the verdict's own is kept with it.
BESTS = """
select b.*
from kept_bests b
join kept_strength v on v.athlete = b.athlete and v.exercise = b.exercise and v.measure = b.measure and v.series = b.series
where b.athlete = ? and b.exercise = ? and b.measure = ? and v.week = ? and b.date < v.week + 7
order by b.date
"""
LIFTED_WEEKS = 12  # [D] what was lifted longer ago does not say what is lifted now
HEAVIEST = """
select max(load_kg) as load_kg from sets
where athlete = ? and exercise = ? and kind = 'work' and range = 'full' and not planned and load_kg > 0 and load_estimated is not true
    and coalesce(reps, hold_s, 0) > 0 and date < ?::date + 7 and date >= ?::date - 7 * (? - 1)
"""
SERIES = {"e1rm": "estimated maximum", "per_kg": "per kg of body mass", "reps": "repetitions", "hold": "hold"}
# What needs a look first stands first.
OF_FIT = ("value", "value_low", "value_high", "best_value", "fit_from_value", "fit_to_value")
ORDER = ("declining", "plateau", "progressing", "undecided", "too_little_data")


def exercises(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """One row per exercise and measure with its verdict, what needs a look first.

    `name` is the exercise in words, `series_name` names the measure as well; the index is (exercise, measure).
    """
    found = of_week(store, "kept_strength", athlete, week)
    names = found["exercise"].map(called)
    found = _by_verdict(found.assign(name=names, series_name=names + found["measure"].map(lambda measure: f", {SERIES[measure]}")))
    return found.set_index(["exercise", "measure"], drop=False)


def long_open(store: Store, athlete: str, week: date, rules: Rules = RULES) -> list[str]:
    """Exercises, in words, of the parts in focus that are undecided while their best has stood for `open_weeks` or more, the longest first."""
    found = of_week(store, "kept_strength", athlete, week)
    until = pd.Timestamp(week) + pd.Timedelta(days=6 - 7 * rules.open_weeks)
    found = found[(found["verdict"] == "undecided") & (found["best_since"] <= until)].sort_values(["best_since", "exercise"])
    first = frozenset().union(*(exercises_of(part) for part in in_focus(store, athlete, week))) if len(found) else frozenset()
    return list(dict.fromkeys(called(one) for one in found["exercise"] if one in first))


def parts(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """One row per part with its pooled verdict, `name` in words; what needs a look first."""
    found = of_week(store, "kept_part_strength", athlete, week)
    return _by_verdict(found.assign(name=found["part"].map(lambda part: part_words().get(part, called(part)))))


@tables.per_catalogue
def exercises_of(part: str) -> frozenset[str]:
    """The exercises that train the part first: a direct set for one of its heads. Its trend is pooled from these."""
    table = tables.parts()
    heads = set("|".join(table.loc[table["part_id"] == part, "heads"]).split("|"))
    credits = tables.credits()
    return frozenset(credits.loc[(credits["credit"] >= 1) & credits["head_id"].isin(heads), "exercise_id"])


def bests(store: Store, athlete: str, exercise: str, measure: str, week: date) -> pd.DataFrame:
    """The best eligible set of each session up to that week's Sunday, of the series that the week's verdict is on."""
    return rows(store, BESTS, athlete, exercise, measure, week)


def heaviest(store: Store, athlete: str, exercise: str, week: date) -> float:
    """The heaviest load of a work set over the full range in the twelve weeks up to that week, kg as written; NaN where there is none. No load that is
    estimated.
    """
    return float(rows(store, HEAVIEST, athlete, exercise, week, week, LIFTED_WEEKS)["load_kg"].astype(float).iloc[0])


def sides(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """Left against right, the largest difference first; `name` in words."""
    found = of_week(store, "kept_sides", athlete, week, "abs(difference_pct) desc")
    return found.assign(name=found["exercise"].map(called))


def _by_verdict(found: pd.DataFrame) -> pd.DataFrame:
    places = [(ORDER.index(verdict), name) for verdict, name in zip(found["verdict"], found["name"], strict=True)]
    return found.iloc[sorted(range(len(places)), key=places.__getitem__)].reset_index(drop=True)


def telling(judged: pd.DataFrame, most: int) -> pd.DataFrame:
    """At most so many rows: what falls or stands still, then the surest gains, then what is open; in the order of `parts`."""
    # A rate that is not known stands last.
    places = [(ORDER.index(verdict), -low if pd.notna(low) else float("inf")) for verdict, low in zip(judged["verdict"], judged["rate_low"], strict=True)]
    return judged.iloc[sorted(sorted(range(len(places)), key=places.__getitem__)[:most])].reset_index(drop=True)


def in_unit(bests: pd.DataFrame, fit: pd.Series, unit: str) -> tuple[pd.DataFrame, pd.Series]:
    """Best sets and their fit with loads in the unit. Loads keep two decimals, values theirs."""
    if unit == KG:
        return bests, fit
    turned = bests.assign(load_kg=from_kg(bests["load_kg"], unit).round(2))
    if fit["measure"] != "e1rm":
        return turned, fit
    fit = fit.copy()
    fit[[*OF_FIT]] = [from_kg(fit[name], unit) for name in OF_FIT]
    return turned.assign(**{name: from_kg(bests[name], unit) for name in ("value", "low", "high")}), fit
