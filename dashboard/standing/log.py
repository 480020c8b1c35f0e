"""Logs as arrays: every set with its exercise's attributes, its body mass, and what it counts. Many athletes at once."""

from __future__ import annotations

import json
from collections.abc import Sequence
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
UNSAID = ("intermediate", None, "lower_of_two")


@dataclass(frozen=True)
class Log:
    """sets: one row per set that was done, with day (whole days since 1970), line (week number from 0), kind_no,
    body_mass, system_kg, hard, tonnage, in_reserve. mondays: the Monday of each line, in whole days. pain: one row per day
    and place. kinds: of all logs that were read together.
    """

    athlete: str
    level: str
    focus_said: tuple[str, ...]
    equation: str
    sets: pd.DataFrame
    planned: pd.DataFrame
    pain: pd.DataFrame
    kinds: tuple[tuple[str, str], ...]
    mondays: np.ndarray
    complete: int

    @property
    def weeks(self) -> int:
        return len(self.mondays)

    @property
    def beginner(self) -> bool:
        return self.level == "beginner"


def read_logs(con: Any, athletes: Sequence[str], today: int, rules: Rules = RULES) -> dict[str, Log]:
    """The logs of some athletes up to `today` (whole days); without those of whom nothing was done."""
    rows, mass, pain = (con.execute(mart(name), {"athletes": list(athletes)}).df() for name in ("logs", "body_masses", "pains"))
    people = {name: said for name, *said in con.execute("select athlete, level, focus, equation from athletes").fetchall()}
    for table in (rows, mass, pain):
        table["day"] = days(table["date"])
    # A station that was left out is often written as 0 repetitions: it was not done.
    planned = rows["planned"].to_numpy(bool)
    skipped = ((rows["reps"] == 0) & ~(rows["hold_s"] > 0)).to_numpy()
    done = rows[~planned & ~skipped].reset_index(drop=True)
    if done.empty:
        return {}
    beginner = done["athlete"].map({a: people.get(a, UNSAID)[0] == "beginner" for a in athletes}).to_numpy(bool)
    sets, kinds = _with_facts(done, mass, beginner, rules)
    ahead, masses_of_pain = _by_athlete(rows[planned]), _by_athlete(pain)
    return {athlete: _log(athlete, people.get(athlete, UNSAID), own, ahead.get(athlete, rows.iloc[:0]),
                          masses_of_pain.get(athlete, pain.iloc[:0]), kinds, today) for athlete, own in _by_athlete(sets).items()}


def _by_athlete(table: pd.DataFrame) -> dict[str, pd.DataFrame]:
    """A table sorted by athlete, cut into each one's rows."""
    name = table["athlete"].to_numpy(object)
    cuts = np.r_[0, np.flatnonzero(name[1:] != name[:-1]) + 1, len(name)] if len(name) else np.zeros(1, int)
    return {name[a]: table.iloc[a:b].reset_index(drop=True) for a, b in zip(cuts[:-1], cuts[1:], strict=True)}


def _log(athlete: str, said: Sequence, sets: pd.DataFrame, planned: pd.DataFrame, pain: pd.DataFrame, kinds: tuple, today: int) -> Log:
    day = sets["day"].to_numpy()
    first = monday(int(day.min()))
    mondays = np.arange(first, monday(int(day.max())) + 1, 7)
    # Numbers of the first week of the log are 0; nothing of a batch is known to the log of one athlete.
    sets["line"] = (day - first) // 7
    level, focus, equation = said
    return Log(athlete, level, tuple(json.loads(focus or "[]")), equation, sets, planned.assign(line=(planned["day"] - first) // 7),
               pain.assign(line=(pain["day"] - first) // 7), kinds, mondays, int(np.sum(mondays + 6 < today)))


def days(dates: pd.Series) -> np.ndarray:
    """Whole days since 1970-01-01."""
    return pd.to_datetime(dates).to_numpy().astype("datetime64[D]").astype(int)


def monday(day: int) -> int:
    """The Monday of a day's ISO week, in whole days; 1970-01-01 was a Thursday."""
    return day - (day + 3) % 7


@cache
def _attributes() -> pd.DataFrame:
    return tables.exercises().set_index("exercise_id")[ATTRIBUTES]


def _with_facts(done: pd.DataFrame, mass: pd.DataFrame, beginner: np.ndarray, rules: Rules) -> tuple[pd.DataFrame, tuple]:
    sets = _as_done(done)
    code, exercises = pd.factorize(sets["exercise"].fillna(""))
    known = _attributes().reindex(exercises).reset_index(drop=True)
    sets = pd.concat([sets, known.iloc[code].reset_index(drop=True)], axis=1)
    # An exercise that the catalogue lacks is a series by its own name, with the load as written.
    sets["name"] = sets["exercise"].fillna("?" + sets["name_key"])
    sets["body_mass"] = _body_mass(sets, mass, rules)
    by_body = (sets["load_basis"] == "body").to_numpy()
    sets["by_body"] = by_body
    # How much a band helps or resists is not known.
    sets["banded"] = sets["modifiers"].fillna("").str.contains(BAND, regex=False)
    hands = np.where(sets["per_hand"] == "yes", 2.0, 1.0)
    system = counting.system_load_kg(sets["load_kg"], by_body, sets["bodymass_share"].fillna(0), sets["body_mass"], hands)
    sets["system_kg"] = np.where(sets["banded"], np.nan, system)
    sets["in_reserve"] = counting.reserve(sets["rir"], sets["rpe"])
    # Two athletes never share an effort or a best hold.
    whose = pd.Series(pd.factorize(sets["athlete"])[0]).astype("str") + "|" + sets["name"]
    sets["hard"] = counting.hard_sets(sets.assign(exercise=whose), beginner, rules)
    work = sets["kind"] != "warm_up"
    sets["tonnage"] = np.where(work, counting.tonnage_kg(sets["reps"], sets["system_kg"], (sets["per_hand"] == "yes") & ~by_body, sets["side"]), 0.0)
    sets["kind_no"], kinds = kinds_of_set(sets["exercise"], sets["modifiers"])
    return sets, tuple(kinds)


def _body_mass(sets: pd.DataFrame, mass: pd.DataFrame, rules: Rules) -> np.ndarray:
    """Each set's athlete's body mass on its day, kg."""
    logged, out = _by_athlete(mass), np.full(len(sets), np.nan)
    for athlete, rows in sets.groupby("athlete", sort=False).indices.items():
        if athlete in logged:
            out[rows] = counting.body_mass_on(sets["day"].to_numpy()[rows], logged[athlete]["day"], logged[athlete]["body_mass_kg"], rules)
    return out


def _as_done(done: pd.DataFrame) -> pd.DataFrame:
    """A dumbbell curl with a neutral grip is a hammer curl, however it was written."""
    number, kinds = kinds_of_set(done["exercise"], done["modifiers"])
    same = [tables.same_exercise(*kind) if kind[0] else ("", "") for kind in kinds]
    exercise = pd.Series([e or None for e, _ in same], dtype="str").iloc[number].reset_index(drop=True)
    modifiers = pd.Series([m or None for _, m in same], dtype="str").iloc[number].reset_index(drop=True)
    return done.assign(exercise=exercise, modifiers=modifiers.where(exercise.notna(), done["modifiers"]))
