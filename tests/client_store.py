"""Stores of some athletes, row by row, and what the page Clients makes of them."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pandas as pd

from dashboard.queries import clients
from dashboard.queries.kept import store_at
from etl.store import writing
from tests import kept_store

WEEK = date(2026, 3, 9)  # a Monday
BEFORE = WEEK - timedelta(weeks=1)
TODAY = WEEK + timedelta(days=7)  # the Monday after it
LAST_SET = WEEK + timedelta(days=5)
NAN = float("nan")


def fill(path: Path, **tables: list[dict]) -> Path:
    """A store with these rows."""
    with writing(path) as con:
        con.execute("insert or replace into meta values ('worked_out_with', ?)", [kept_store.fingerprint()])
        for table, rows in tables.items():
            con.register("some_rows", pd.DataFrame(rows))
            con.execute(f"insert into {table} by name select * from some_rows")
            con.unregister("some_rows")
    return path


def a_set(athlete: str, day: date = LAST_SET, exercise: str | None = "plank", **more: object) -> dict:
    return {"set_id": 1, "import_id": 1, "athlete": athlete, "date": day, "exercise": exercise, "exercise_as_written": "Plank", "name_key": "plank", "kind": "work",
            "kind_source": "logged", "side": "both", "range": "full", "planned": False, "source": "log.csv", "source_row": 2} | more


def a_week(athlete: str, week: date = WEEK, **more: object) -> dict:
    return {"athlete": athlete, "week": week, "so_far": False, "sessions": 3, "hard_sets": 40.0, "usual_hard_sets": 42.0, "planned_sets": None, "deload": False} | more


def a_part(athlete: str, week: date, status: str, part: str = "lats", **more: object) -> dict:
    return {"athlete": athlete, "week": week, "part": part, "dose": 3.0, "band_low": 4.0, "status": status, "in_focus": True} | more


def a_flag(athlete: str, kind: str, level: str, message: str, **more: object) -> dict:
    return {"athlete": athlete, "kind": kind, "subject": "whole_body", "week": WEEK, "until": WEEK, "level": level, "numbers": "{}", "message": message} | more


def a_verdict(athlete: str, week: date, verdict: str, part: str = "lats") -> dict:
    return {"athlete": athlete, "week": week, "part": part, "verdict": verdict}


def basis(*athletes: str, days: dict[str, date] | None = None) -> dict[str, list[dict]]:
    """Two weeks of each, in which nothing happened."""
    return {"sets": [a_set(name, (days or {}).get(name, LAST_SET)) for name in athletes],
            "kept_weeks": [a_week(name, week) for name in athletes for week in (BEFORE, WEEK)]}


def looked_at(path: Path, today: date = TODAY, week: date | None = None) -> dict[str, clients.Client]:
    store = store_at(path)
    return {one.athlete: one for one in clients.clients(store, clients.seen(store, today, week))}


def reasons(path: Path, athlete: str, **when: date) -> dict[str, str]:
    return {reason.kind: reason.text for reason in looked_at(path, **when)[athlete].reasons}
