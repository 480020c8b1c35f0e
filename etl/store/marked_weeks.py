"""Weeks that a person has marked: an increase of load that was planned, a deload, a holiday, or an illness."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from pathlib import Path

import duckdb
import pandas as pd

from etl.marts import mart
from etl.refusal import Refusal
from etl.store import known
from etl.store.connection import reading, writing
from etl.store.stale import mark_stale

PLANNED_INCREASE, DELOAD, HOLIDAY, ILLNESS = "planned_increase", "deload", "holiday", "illness"
MARKS = (PLANNED_INCREASE, DELOAD, HOLIDAY, ILLNESS)
AWAY = (HOLIDAY, ILLNESS)  # why there was little or no training
EASY = (DELOAD, *AWAY)  # what was done in such a week says nothing of what is usual
WEEKS_AHEAD = 52  # [D] a week further ahead than this is taken for a slip


def mark_week(path: str | Path, athlete: str, day: date, as_: str, today: date | None = None) -> date:
    """Mark the ISO week that holds a day as one of MARKS, in place of what it was marked as before; returns its Monday.

    The athlete's weeks from it on have to be worked out again. Raises Refusal for an athlete that the store does not have, for another
    mark, and for a week before the athlete's first or more than a year ahead.
    """
    if as_ not in MARKS:
        raise Refusal(f"A week cannot be marked as '{as_}'", "", f"It is one of: {', '.join(MARKS)}.")
    week = day - timedelta(days=day.weekday())
    with writing(path) as con:
        _check(con, athlete, week, today or date.today())
        con.execute("delete from marked_weeks where athlete = ? and week = ?", [athlete, week])
        con.execute("insert into marked_weeks values (?, ?, ?, ?)", [athlete, week, as_, datetime.now().replace(microsecond=0)])
        _stale(con, athlete, week)
    return week


def take_back_mark(path: str | Path, athlete: str, day: date) -> str:
    """Take the mark of the week that holds a day back; returns what it was. Raises Refusal where the week is not marked."""
    week = day - timedelta(days=day.weekday())
    with writing(path) as con:
        gone = con.execute("delete from marked_weeks where athlete = ? and week = ? returning mark", [athlete, week]).fetchall()
        if not gone:
            raise Refusal(f"The week of {week.isoformat()} is not marked", athlete, "evenset mark --athlete NAME lists the weeks that are.")
        _stale(con, athlete, week)
    return gone[0][0]


def marked_weeks(path: str | Path, athlete: str) -> pd.DataFrame:
    """The marked weeks of an athlete, oldest first: week (its Monday), mark, said_at."""
    with reading(path) as con:
        return con.execute(mart("weeks_marked"), {"athletes": [athlete]}).df()


def move(con: duckdb.DuckDBPyConnection, old: str, new: str) -> None:
    """Give the marks of one spelling to an athlete, in the caller's transaction. Where both marked a week, the athlete's mark stays."""
    con.execute("delete from marked_weeks where athlete = $old and week in (select week from marked_weeks where athlete = $new)", {"old": old, "new": new})
    moved = con.execute("update marked_weeks set athlete = ? where athlete = ? returning week", [new, old]).fetchall()
    if moved:
        _stale(con, new, min(week for (week,) in moved))


def _check(con: duckdb.DuckDBPyConnection, athlete: str, week: date, today: date) -> None:
    known.check(con, athlete)
    first = con.execute("select date_trunc('week', min(date))::date from sets where athlete = ?", [athlete]).fetchall()[0][0]
    if first is None or week < first:
        raise Refusal(f"{athlete} has no log in the week of {week.isoformat()}", "", f"The first week is that of {first}." if first else "Import a log first.")
    if week > today + timedelta(weeks=WEEKS_AHEAD):
        raise Refusal(f"The week of {week.isoformat()} is more than a year ahead", "", "Check its date.")


def _stale(con: duckdb.DuckDBPyConnection, athlete: str, week: date) -> None:
    """What was worked out from that week on; of a week after the log's last there is nothing yet."""
    if con.execute("select count(*) from sets where athlete = ? and date >= ? and not planned", [athlete, week]).fetchall()[0][0]:
        mark_stale(con, {athlete: week})
