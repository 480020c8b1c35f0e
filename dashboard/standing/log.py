"""Logs as arrays: every set with its exercise's attributes, its body mass, and what it counts. Many athletes at once."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, NamedTuple

import numpy as np
import pandas as pd

from dashboard.measures import counting
from dashboard.measures.numbering import is_first, numbered
from etl import tables
from etl.marts import mart
from etl.settings import RULES, Rules
from etl.store import own

BAND = "load=band"
EPOCH = date(1970, 1, 1)
OF_EXERCISE = {"by_body": bool, "per_hand": bool, "bodymass_share": float, "long_end": object, "strength_estimate": object, "mode": object, "reps_high": float}
FACTS = {"exercise": object, "modifiers": object, "name": object, "banded": bool, "kind_no": int} | OF_EXERCISE
UNSAID = ("intermediate", None, "lower_of_two", None)


class Due(NamedTuple):
    """A block whose deload is due in a week."""

    aim: str
    starts: date
    ends: date


@dataclass(frozen=True)
class Log:
    """sets: one row per set that was done, with day (whole days since 1970), line (week number from 0), kind_no,
    body_mass, system_kg, hard, tonnage, in_reserve; texts of the log are categories, but for exercise, modifiers and name, and
    those of the catalogue are not. planned: rows of sets that were planned. pain: one row per day, place and exercise. day_efforts: session
    RPE and minutes of rows without a set. kinds: of all logs that were read together. mondays: the Monday of each line, in whole
    days. marked: the Mondays of the weeks that a person has marked, each with what as. targets: part id -> the low and high end of the
    band that a person set, hard sets a week. loads: those in the house, kg in one hand, rising; () where nothing was said. complete: how
    many weeks are over; reviewed: the same, and the running one on its Sunday. due: the Mondays of weeks in which a deload is due.
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
    targets: Mapping[str, tuple[float, float]]
    loads: tuple[float, ...]
    reviewed: int
    due: Mapping[int, Due]

    @property
    def weeks(self) -> int:
        return len(self.mondays)

    def marked_as(self, *marks: str) -> np.ndarray:
        """Which weeks a person has marked as one of these, (weeks,)."""
        return np.array([self.marked.get(int(monday)) in marks for monday in self.mondays], bool)

    @property
    def deload_due(self) -> np.ndarray:
        """In which weeks a deload is due, (weeks,)."""
        return np.array([int(monday) in self.due for monday in self.mondays], bool)

    @property
    def beginner(self) -> bool:
        return self.level == "beginner"


def read_logs(con: Any, athletes: Sequence[str], today: int, rules: Rules = RULES) -> dict[str, Log]:
    """The logs of some athletes up to `today` (whole days); without those of whom nothing was done."""
    rows, mass, pain, efforts, said = (_read(con, name, athletes) for name in ("logs", "body_masses", "pains", "day_efforts", "weeks_marked"))
    people = {name: said for name, *said in con.execute("select athlete, level, focus, equation, loads from athletes").fetchall()}
    for table in (rows, mass, pain, efforts):
        table["day"] = days(table["date"])
    planned = rows["planned"].to_numpy(bool)
    was_done = ~planned & ~left_out(rows).to_numpy()
    day = rows["day"].to_numpy()[was_done]
    first = {athlete: monday(int(day[own.start])) for athlete, own in _rows_of(rows["athlete"][was_done]).items()}
    if not first:
        return {}
    for table in (rows, pain, efforts):
        code, names = pd.factorize(table["athlete"])
        table["line"] = (table["day"].to_numpy() - np.array([first.get(name, 0) for name in names], int)[code]) // 7
    done = rows[was_done]
    beginner = done["athlete"].map({a: people.get(a, UNSAID)[0] == "beginner" for a in athletes}).to_numpy(bool)
    sets, kinds = with_facts(done, mass, beginner, rules)
    cut = {name: _by_athlete(table, first) for name, table in (("sets", sets), ("planned", rows[planned]), ("pain", pain), ("day_efforts", efforts))}
    marked: dict[str, dict[int, str]] = {}
    for athlete, day, mark in zip(said["athlete"], days(said["week"]).tolist(), said["mark"], strict=True):
        marked.setdefault(athlete, {})[day] = mark
    due: dict[str, dict[int, Due]] = {}
    for athlete, week, *block in con.execute(mart("deloads_due"), {"athletes": list(athletes)}).fetchall():
        due.setdefault(athlete, {})[(week - EPOCH).days] = Due(*block)
    bands = own.targets(con)
    return {athlete: _log(athlete, people.get(athlete, UNSAID), {name: of[athlete] for name, of in cut.items()}, kinds, start, today, marked.get(athlete, {}), due.get(athlete, {}),
                          {one.part_id: (one.low, one.high) for one in bands if one.athlete in ("", athlete)})
            for athlete, start in first.items()}


def _read(con: Any, name: str, athletes: Sequence[str]) -> pd.DataFrame:
    """A mart of some athletes, texts as categories: a log says the same few words over and over."""
    table = con.sql(mart(name), params={"athletes": list(athletes)}).to_arrow_table()
    return table.to_pandas(strings_to_categorical=True, date_as_object=False, use_threads=False)


def left_out(rows: pd.DataFrame) -> pd.Series:
    """A station that was left out is often written as 0 repetitions: it was not done."""
    return (rows["reps"] == 0) & ~(rows["hold_s"] > 0)


def _rows_of(athletes: pd.Series) -> dict[str, slice]:
    """Each athlete's rows, of a column in which theirs follow each other."""
    code, names = pd.factorize(athletes)
    cuts = np.searchsorted(code, np.arange(len(names) + 1))
    return {name: slice(a, b) for name, a, b in zip(names, cuts[:-1], cuts[1:], strict=True)}


def _by_athlete(table: pd.DataFrame, athletes: Iterable[str]) -> dict[str, pd.DataFrame]:
    """Each athlete's rows of a table."""
    own, none = _rows_of(table["athlete"]), table.iloc[:0]
    return {athlete: table.iloc[own[athlete]].reset_index(drop=True) if athlete in own else none for athlete in athletes}


def _log(athlete: str, said: Sequence, tables_of: dict[str, pd.DataFrame], kinds: tuple, first: int, today: int, marked: dict[int, str],
         due: Mapping[int, Due], targets: Mapping[str, tuple[float, float]]) -> Log:
    mondays = np.arange(first, int(tables_of["sets"]["day"].iloc[-1]) + 1, 7)
    level, focus, equation, loads = said
    return Log(athlete, level, tuple(json.loads(focus or "[]")), equation, **tables_of, kinds=kinds, mondays=mondays,
               complete=int(np.sum(mondays + 6 < today)), marked=marked, targets=targets, loads=tuple(json.loads(loads or "[]")),
               reviewed=int(np.sum(mondays + 6 <= today)), due=due)


def days(dates: pd.Series) -> np.ndarray:
    """Whole days since 1970-01-01."""
    return pd.to_datetime(dates).to_numpy().astype("datetime64[D]").astype(int)


def monday(day: int) -> int:
    """The Monday of a day's ISO week, in whole days; 1970-01-01 was a Thursday."""
    return day - (day + 3) % 7


def numbered_sessions(sets: pd.DataFrame) -> tuple[np.ndarray, np.ndarray]:
    """The number of each set's session, (n,), and the day of each session, ascending: what one day's sets call one session."""
    label, names = pd.factorize(sets["session"])
    several = max(len(names), 1)
    there, at = np.unique(sets["day"].to_numpy(int) * several + label, return_inverse=True)
    return at, there // several


def with_facts(done: pd.DataFrame, mass: pd.DataFrame, beginner: np.ndarray, rules: Rules = RULES) -> tuple[pd.DataFrame, tuple[tuple[str, str], ...]]:
    """Rows of sets with what they count and what their exercises are, and the kinds of set that `kind_no` numbers.

    done: rows of the mart `logs` with day, by athlete. mass: athlete, day, body_mass_kg. beginner: of each row.
    """
    names = [done[name] for name in ("exercise", "modifiers", "name_key")]
    written = numbered(*names)
    facts, kinds = _facts(zip(*(name[is_first(written)].astype(object).fillna("") for name in names), strict=True))
    sets = done.assign(**{name: pd.Series(values[written], done.index, values.dtype) for name, values in facts.items()})
    sets["body_mass"] = _body_mass(sets, mass, rules)
    hands = np.where(sets["per_hand"], 2.0, 1.0)
    system = counting.system_load_kg(sets["load_kg"], sets["by_body"], sets["bodymass_share"], sets["body_mass"], hands)
    sets["system_kg"] = np.where(sets["banded"], np.nan, system)
    sets["in_reserve"] = counting.reserve(sets["rir"], sets["rpe"])
    # Two athletes never share an effort or a best hold.
    sets["hard"] = counting.hard_sets(sets.assign(exercise=numbered(sets["athlete"], numbered(facts["name"])[written])), beginner, rules)
    tonnage = counting.tonnage_kg(sets["reps"], sets["system_kg"], sets["per_hand"] & ~sets["by_body"], sets["side"])
    sets["tonnage"] = np.where(sets["kind"] != "warm_up", tonnage, 0.0)
    return sets, kinds


def _facts(written: Iterable[tuple[str, str, str]]) -> tuple[dict[str, np.ndarray], tuple[tuple[str, str], ...]]:
    """What each exercise is as it is written (exercise, modifiers, key of its name), and the kinds of set that `kind_no` numbers.

    A dumbbell curl with a neutral grip is a hammer curl, however it was written. All that is unmatched is one kind, ('', ''); it is a
    series by its own name, with the load as written. How much a band helps or resists is not known. written: one at least.
    """
    same = [(*tables.same_exercise(exercise, modifiers), exercise) if exercise else ("", modifiers, "?" + name) for exercise, modifiers, name in written]
    kinds = [(exercise, modifiers if exercise else "") for exercise, modifiers, _ in same]
    number = {kind: i for i, kind in enumerate(dict.fromkeys(kinds))}
    rows = [(exercise or None, modifiers or None, exercise or name, BAND in modifiers, number[kind], *_attributes()[exercise])
            for (exercise, modifiers, name), kind in zip(same, kinds, strict=True)]
    return {name: np.array(values, dtype) for (name, dtype), values in zip(FACTS.items(), zip(*rows, strict=True), strict=True)}, tuple(number)


@tables.per_catalogue
def _attributes() -> dict[str, tuple]:
    """OF_EXERCISE of each exercise of the catalogue; '' is one that it lacks."""
    table = tables.exercises()
    table = table.assign(by_body=table["load_basis"] == "body", per_hand=table["per_hand"] == "yes")[["exercise_id", *OF_EXERCISE]]
    return {"": (False, False, 0.0, None, None, None, np.nan)} | {exercise: tuple(own) for exercise, *own in table.itertuples(index=False)}


def _body_mass(sets: pd.DataFrame, mass: pd.DataFrame, rules: Rules) -> np.ndarray:
    """Each set's athlete's body mass on its day, kg."""
    logged, out = _rows_of(mass["athlete"]), np.full(len(sets), np.nan)
    day, logged_day, kg = (column.to_numpy() for column in (sets["day"], mass["day"], mass["body_mass_kg"]))
    for athlete, own in _rows_of(sets["athlete"]).items():
        if (known := logged.get(athlete)) is not None:
            out[own] = counting.body_mass_on(day[own], logged_day[known], kg[known], rules)
    return out
