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
    body_mass, system_kg, hard, tonnage, in_reserve. planned: rows of sets that were planned. pain: one row per day and place.
    day_efforts: session RPE and minutes of rows without a set. kinds: of all logs that were read together. mondays: the Monday
    of each line, in whole days. marked: the Mondays of the weeks that a person has marked, each with what as.
    """

    athlete: str
    level: str
    focus_said: tuple[str, ...]
    equation: str
    sets: pd.DataFrame
    planned: pd.DataFrame
    pain: pd.DataFrame
    day_efforts: pd.DataFrame
    kinds: tuple[tuple[str, str], ...]
    mondays: np.ndarray
    complete: int
    marked: dict[int, str]

    @property
    def weeks(self) -> int:
        return len(self.mondays)

    def marked_as(self, mark: str) -> np.ndarray:
        """Which weeks a person has marked so, (weeks,)."""
        return np.array([self.marked.get(int(monday)) == mark for monday in self.mondays], bool)

    @property
    def beginner(self) -> bool:
        return self.level == "beginner"


def read_logs(con: Any, athletes: Sequence[str], today: int, rules: Rules = RULES) -> dict[str, Log]:
    """The logs of some athletes up to `today` (whole days); without those of whom nothing was done."""
    rows, mass, pain, efforts, said = (con.execute(mart(name), {"athletes": list(athletes)}).df()
                                       for name in ("logs", "body_masses", "pains", "day_efforts", "weeks_marked"))
    people = {name: said for name, *said in con.execute("select athlete, level, focus, equation from athletes").fetchall()}
    for table in (rows, mass, pain, efforts):
        table["day"] = days(table["date"])
    planned = rows["planned"].to_numpy(bool)
    done = rows[~planned & ~left_out(rows).to_numpy()].reset_index(drop=True)
    if done.empty:
        return {}
    beginner = done["athlete"].map({a: people.get(a, UNSAID)[0] == "beginner" for a in athletes}).to_numpy(bool)
    sets, kinds = with_facts(done, mass, beginner, rules)
    beside = {name: (_by_athlete(table), table.iloc[:0]) for name, table in (("planned", rows[planned]), ("pain", pain), ("day_efforts", efforts))}
    marked: dict[str, dict[int, str]] = {}
    for athlete, day, mark in zip(said["athlete"], days(said["week"]).tolist(), said["mark"], strict=True):
        marked.setdefault(athlete, {})[day] = mark
    return {athlete: _log(athlete, people.get(athlete, UNSAID), own, {name: of.get(athlete, none) for name, (of, none) in beside.items()},
                          kinds, today, marked.get(athlete, {})) for athlete, own in _by_athlete(sets).items()}


def left_out(rows: pd.DataFrame) -> pd.Series:
    """A station that was left out is often written as 0 repetitions: it was not done."""
    return (rows["reps"] == 0) & ~(rows["hold_s"] > 0)


def _by_athlete(table: pd.DataFrame) -> dict[str, pd.DataFrame]:
    """A table sorted by athlete, cut into each one's rows."""
    name = table["athlete"].to_numpy(object)
    cuts = np.r_[0, np.flatnonzero(name[1:] != name[:-1]) + 1, len(name)] if len(name) else np.zeros(1, int)
    return {name[a]: table.iloc[a:b].reset_index(drop=True) for a, b in zip(cuts[:-1], cuts[1:], strict=True)}


def _log(athlete: str, said: Sequence, sets: pd.DataFrame, beside: dict[str, pd.DataFrame], kinds: tuple, today: int, marked: dict[int, str]) -> Log:
    day = sets["day"].to_numpy()
    first = monday(int(day.min()))
    mondays = np.arange(first, monday(int(day.max())) + 1, 7)
    sets["line"] = (day - first) // 7
    level, focus, equation = said
    beside = {name: table.assign(line=(table["day"] - first) // 7) for name, table in beside.items()}
    return Log(athlete, level, tuple(json.loads(focus or "[]")), equation, sets, **beside, kinds=kinds, mondays=mondays,
               complete=int(np.sum(mondays + 6 < today)), marked=marked)


def days(dates: pd.Series) -> np.ndarray:
    """Whole days since 1970-01-01."""
    return pd.to_datetime(dates).to_numpy().astype("datetime64[D]").astype(int)


def monday(day: int) -> int:
    """The Monday of a day's ISO week, in whole days; 1970-01-01 was a Thursday."""
    return day - (day + 3) % 7


def numbered_sessions(sets: pd.DataFrame) -> tuple[np.ndarray, np.ndarray]:
    """The number of each set's session, (n,), and the day of each session, ascending: what one day's sets call one session."""
    label, names = pd.factorize(sets["session"].fillna(""))
    several = max(len(names), 1)
    there, at = np.unique(sets["day"].to_numpy(int) * several + label, return_inverse=True)
    return at, there // several


@cache
def _attributes() -> pd.DataFrame:
    return tables.exercises().set_index("exercise_id")[ATTRIBUTES]


def with_facts(done: pd.DataFrame, mass: pd.DataFrame, beginner: np.ndarray, rules: Rules = RULES) -> tuple[pd.DataFrame, tuple[tuple[str, str], ...]]:
    """Rows of sets with what they count and what their exercises are, and the kinds of set that `kind_no` numbers.

    done: rows of the mart `logs` with day, by athlete, numbered from 0. mass: athlete, day, body_mass_kg. beginner: of each row.
    """
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
