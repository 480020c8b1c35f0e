"""The program, end to end: a log as CSV is imported and worked out, and what is kept of it is read with SQL."""

from __future__ import annotations

import csv
from collections.abc import Iterable
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from dashboard.standing.refresh import refresh
from etl import tables
from etl.importing import Answers, keep, known, understand
from etl.store import reading
from etl.store.athletes import say
from tests.calibration.athletes import FIRST_DAY, Set

HEADER = ("Date", "Athlete", "Exercise", "Set", "Load (kg)", "Reps", "Hold (s)", "RIR", "Body mass (kg)")
AFTER = date(2030, 1, 7)  # a day after every log


def work_out(store: Path, log: Path, level: str) -> int:
    """Import a log into a new store, say every athlete's level, work all out. Returns how many sets were stored."""
    report = keep(store, understand([(log.name, log)], Answers(), known=known(store), today=AFTER))
    if report["rows_set_aside"]:
        raise RuntimeError(f"{report['rows_set_aside']} rows of an invented log were set aside: {report['set_aside'][:3]}")
    with reading(store) as con:
        athletes = [name for (name,) in con.execute("select distinct athlete from sets order by athlete").fetchall()]
    for name in athletes if level != "intermediate" else ():  # intermediate is assumed where nothing is said
        say(store, name, level=level)
    refresh(store, today=AFTER)
    return int(report["sets_stored"])


def write_log(path: Path, sets: Iterable[Set]) -> None:
    """Rows as `athletes.sets_of` gives them, with a body mass or without; an exercise is written by its name in the catalogue."""
    named = tables.exercises().set_index("exercise_id")["name"].to_dict()
    with path.open("w", newline="", encoding="utf-8") as file:
        rows = csv.writer(file)
        rows.writerow(HEADER)
        for athlete, day, exercise, *numbers in sets:
            rows.writerow((FIRST_DAY + day, athlete, named[exercise], *numbers, *[None] * (len(HEADER) - 3 - len(numbers))))


def ask(store: Path, sql: str, *values: Any) -> pd.DataFrame:
    """A query's rows; `week` becomes whole weeks, `date` days, and `begins` weeks from the logs' first Monday."""
    with reading(store) as con:
        found = con.execute(sql, list(values)).df()
    for column in ("week", "date", "begins", "low", "high"):
        if column in found:
            day = found[column].to_numpy().astype("datetime64[D]")
            days = np.where(np.isnat(day), np.nan, (day - FIRST_DAY).astype(float))
            found[column] = days if column == "date" else days / 7
    return found
