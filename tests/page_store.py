"""Stores for the benchmark of the pages: five athletes over four years, and the same five among five hundred.

The five are imported and worked out by the program. The others did what the five did, under other names: their rows are copied in the database, so that a
store of ten million sets with all that is kept of them is made in minutes.
"""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import numpy as np

from dashboard.standing.kept import BY_WEEK
from dashboard.standing.refresh import refresh
from etl.importing import Answers, keep, known, understand
from etl.store import writing

ATHLETES, WEEKS, DAYS = 5, 222, (0, 1, 3, 4)
MISSED, WEEKS_A_YEAR = 0.04, 52
SESSIONS = (
    (("Back squat", 100, 6), ("Barbell bench press", 70, 7), ("Barbell row", 60, 8), ("Lateral raise", 8, 17), ("Seated leg curl", 40, 10), ("Plank", None, 45)),
    (("Romanian deadlift", 90, 8), ("Overhead press", 45, 6), ("Lat pulldown", 55, 9), ("Dumbbell curl", 12, 10), ("Rope triceps pressdown", 25, 11), ("Calf raise", 60, 12)))
SETS = 4  # of each exercise
COPIED = ("athletes", "sets", "kept_flags", "kept_bests", *BY_WEEK)


def small(path: Path) -> Path:
    """About 100,000 sets of five athletes, up to the last full week."""
    keep(path, understand([("log.csv", _log().encode())], Answers(), known=known(path)))
    refresh(path)
    return path


def grown(path: Path, athletes: int) -> None:
    """Add athletes with the rows of those who are there, until there are so many. Raises ValueError where they do not divide."""
    if athletes % ATHLETES:
        raise ValueError(f"{athletes} athletes are not {ATHLETES} some times over")
    for table in COPIED:
        with writing(path) as con:
            columns = [name for (name,) in con.execute("select column_name from duckdb_columns() where table_name = ? and database_name = current_database() "
                                                       "order by column_index", [table]).fetchall()]
            new = {"athlete": "athlete || printf(' %03d', k)", "set_id": "set_id + k * 1000000"}
            con.execute(f"insert into {table} by name select {', '.join(f'{new.get(c, c)} as {c}' for c in columns)} "
                        f"from (select * from {table}) cross join range(1, {athletes // ATHLETES}) t(k) order by k")


def _log() -> str:
    """Two kinds of session in turn, four a week; loads that rise, good and bad days, now and then a missed one, and a week off a year."""
    rng, lines = np.random.default_rng(7), ["Date,Athlete,Exercise,Set,Load (kg),Reps,Seconds,RIR,Body mass (kg)"]
    monday = date.today() - timedelta(days=date.today().weekday() + 7 * WEEKS)
    for athlete in range(ATHLETES):
        rate = rng.normal(0.0015, 0.001, (2, 6))
        for week in range(WEEKS):
            for place, day in enumerate(DAYS):
                if rng.random() < MISSED or week % WEEKS_A_YEAR == 30:
                    continue
                when, form = monday + timedelta(days=7 * week + day), rng.normal(0, 0.02)
                for n, (exercise, load, reps) in enumerate(SESSIONS[place % 2]):
                    for number in range(SETS):
                        now = np.exp(rate[place % 2, n] * week + form + rng.normal(0, 0.02))
                        done = (("", "", int(reps * now), "") if load is None
                                else (round(load * now / 2.5) * 2.5, reps + rng.integers(-1, 2), "", rng.integers(0, 4)))
                        lines.append(f"{when},Athlete {athlete},{exercise},{number + 1},{','.join(map(str, done))},{75 + 0.01 * week:.1f}")
    return "\n".join(lines) + "\n"
