"""One athlete's log as arrays: every set with its exercise's attributes, its body mass, and what it counts."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
import pandas as pd

from dashboard.measures import counting
from dashboard.standing.body import kinds_of_set
from etl import tables
from etl.marts import mart
from etl.settings import RULES, Rules

BAND = "load=band"
ATTRIBUTES = ["load_basis", "bodymass_share", "per_hand", "long_end", "strength_estimate", "mode", "reps_low", "reps_high", "ladder_id"]


@dataclass(frozen=True)
class Log:
    """sets: one row per set that was done, with day (whole days since 1970), line (week number from 0), kind_no,
    body_mass, system_kg, hard, tonnage, in_reserve. mondays: the Monday of each line, in whole days.
    """

    athlete: str
    level: str
    focus_said: tuple[str, ...]
    equation: str
    sets: pd.DataFrame
    planned: pd.DataFrame
    kinds: list[tuple[str, str]]
    mondays: np.ndarray
    complete: int

    @property
    def weeks(self) -> int:
        return len(self.mondays)

    @property
    def beginner(self) -> bool:
        return self.level == "beginner"


def read_log(con: Any, athlete: str, today: int, rules: Rules = RULES) -> Log | None:
    """The log of one athlete up to `today` (whole days), or None where nothing was done."""
    rows = con.execute(mart("athlete_log"), {"athlete": athlete}).df()
    mass = con.execute(mart("athlete_body_mass"), {"athlete": athlete}).df()
    (person,) = con.execute("select level, focus, equation from athletes where athlete = ?", [athlete]).fetchall() or [("intermediate", None, "lower_of_two")]
    rows["day"] = days(rows["date"])
    # A station that was left out is often written as 0 repetitions: it was not done.
    skipped = (rows["reps"] == 0) & ~(rows["hold_s"] > 0)
    done = rows[~rows["planned"].astype(bool) & ~skipped].reset_index(drop=True)
    if done.empty:
        return None
    first, last = monday(int(done["day"].min())), monday(int(done["day"].max()))
    mondays = np.arange(first, last + 1, 7)
    complete = int(np.sum(mondays + 6 < today))
    sets, kinds = _with_facts(done, mass, first, person[0] == "beginner", rules)
    planned = rows[rows["planned"].astype(bool)].assign(line=lambda r: (r["day"] - first) // 7)
    return Log(athlete, person[0], tuple(json.loads(person[1] or "[]")), person[2], sets, planned, kinds, mondays, complete)


def days(dates: pd.Series) -> np.ndarray:
    """Whole days since 1970-01-01."""
    return pd.to_datetime(dates).to_numpy().astype("datetime64[D]").astype(int)


def monday(day: int) -> int:
    """The Monday of a day's ISO week, in whole days; 1970-01-01 was a Thursday."""
    return day - (day + 3) % 7


@cache
def _attributes() -> pd.DataFrame:
    return tables.exercises().set_index("exercise_id")[ATTRIBUTES]


def _with_facts(done: pd.DataFrame, mass: pd.DataFrame, first: int, beginner: bool, rules: Rules) -> tuple[pd.DataFrame, list]:
    sets = _as_done(done)
    known = _attributes().reindex(sets["exercise"].fillna("")).reset_index(drop=True)
    sets = pd.concat([sets, known], axis=1)
    # An exercise that the catalogue lacks is a series by its own name, with the load as written.
    sets["name"] = sets["exercise"].fillna("?" + sets["name_key"])
    sets["body_mass"] = counting.body_mass_on(sets["day"], days(mass["date"]), mass["body_mass_kg"], rules)
    by_body = (sets["load_basis"] == "body").to_numpy()
    sets["by_body"] = by_body
    # How much a band helps or resists is not known.
    sets["banded"] = sets["modifiers"].fillna("").str.contains(BAND, regex=False)
    hands = np.where(sets["per_hand"] == "yes", 2.0, 1.0)
    system = counting.system_load_kg(sets["load_kg"], by_body, sets["bodymass_share"].fillna(0), sets["body_mass"], hands)
    sets["system_kg"] = np.where(sets["banded"], np.nan, system)
    sets["in_reserve"] = counting.reserve(sets["rir"], sets["rpe"])
    sets["hard"] = counting.hard_sets(sets.assign(exercise=sets["name"]), beginner, rules)
    work = sets["kind"] != "warm_up"
    sets["tonnage"] = np.where(work, counting.tonnage_kg(sets["reps"], sets["system_kg"], (sets["per_hand"] == "yes") & ~by_body, sets["side"]), 0.0)
    sets["line"] = (sets["day"] - first) // 7
    sets["kind_no"], kinds = kinds_of_set(sets["exercise"], sets["modifiers"])
    return sets, kinds


def _as_done(done: pd.DataFrame) -> pd.DataFrame:
    """A dumbbell curl with a neutral grip is a hammer curl, however it was written."""
    number, kinds = kinds_of_set(done["exercise"], done["modifiers"])
    same = [tables.same_exercise(*kind) if kind[0] else ("", "") for kind in kinds]
    exercise = pd.Series([e or None for e, _ in same], dtype="str").iloc[number].reset_index(drop=True)
    modifiers = pd.Series([m or None for _, m in same], dtype="str").iloc[number].reset_index(drop=True)
    return done.assign(exercise=exercise, modifiers=modifiers.where(exercise.notna(), done["modifiers"]))
