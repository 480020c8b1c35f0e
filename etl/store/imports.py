"""Writing one import, and taking one back. Runs inside the caller's transaction.

Of each identity a file adds max(0, its count in the file - its count in the store), so that the same file
stores nothing again while three identical sets stay three. A later file fills cells that are empty, never
overwrites, and what differs is listed.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import duckdb
import numpy as np
import pandas as pd

from etl.marts import mart
from etl.refusal import Refusal
from etl.settings import RULES, Rules
from etl.store import warm_ups

# Not part of a set's identity: a later file may fill them.
FILLABLE = (
    "time", "session", "modifiers", "rpe", "rir", "limited_by", "pain_place", "pain_score", "body_mass_kg",
    "session_rpe", "minutes", "rest_s", "tempo", "note",
)
WHOLE = ("set_no", "round_no", "segment_no")
DAY_COLUMNS = ("athlete", "date", "body_mass_kg", "session_rpe", "minutes", "pain_place", "pain_score", "note")


@dataclass(frozen=True)
class FileRows:
    """What one file became: set log rows (with name_key and exercise), day rows, and rows set aside."""

    name: str
    sha256: str
    sets: pd.DataFrame
    days: pd.DataFrame
    set_aside: pd.DataFrame
    rows_read: int
    rows_with_sets: int


@dataclass(frozen=True)
class Counts:
    """What became of the rows of a file. sets_stored, already_stored: sets; the rest: rows of the file."""

    rows_read: int = 0
    rows_with_sets: int = 0
    sets_stored: int = 0
    days_stored: int = 0
    already_stored: int = 0
    rows_set_aside: int = 0
    look_like_corrections: int = 0

    def __add__(self, other: Counts) -> Counts:
        return Counts(**{name: getattr(self, name) + getattr(other, name) for name in self.__dict__})


def begin_import(con: duckdb.DuckDBPyConnection, answers: dict[str, Any]) -> int:
    """A new import's number."""
    number = con.execute("select nextval('import_ids')").fetchall()[0][0]
    con.execute(
        "insert into imports values (?, ?, 0, 0, 0, 0, 0, 0, ?, '[]', '[]', false)",
        [number, datetime.now().replace(microsecond=0), json.dumps(answers)],
    )
    return number


def add_file(con: duckdb.DuckDBPyConnection, number: int, rows: FileRows) -> Counts:
    """Store what is new of one file, fill what was empty, list what differs. Returns its counts."""
    stored, corrections = _add_sets(con, number, rows.sets)
    days = _add_days(con, number, rows.days)
    _add_set_aside(con, number, rows)
    mark_stale(con, _first_days(rows))
    warm_ups.assume(con, "select distinct athlete, date, exercise from sets where import_id = $n and exercise is not null", {"n": number})
    return Counts(
        rows_read=rows.rows_read, rows_with_sets=rows.rows_with_sets, sets_stored=stored, days_stored=days,
        already_stored=len(rows.sets) - stored + len(rows.days) - days, rows_set_aside=len(rows.set_aside),
        look_like_corrections=corrections,
    )


def end_import(con: duckdb.DuckDBPyConnection, number: int, counts: Counts, sources: list[dict], assumed: list[str]) -> None:
    """Write the counts of an import beside its number."""
    con.execute(
        "update imports set rows_read=?, rows_with_sets=?, sets_stored=?, days_stored=?, already_stored=?, "
        "rows_set_aside=?, files=?, assumed=? where import_id=?",
        [counts.rows_read, counts.rows_with_sets, counts.sets_stored, counts.days_stored, counts.already_stored,
         counts.rows_set_aside, json.dumps(sources), json.dumps(assumed), number],
    )


def take_back(con: duckdb.DuckDBPyConnection, number: int, rules: Rules = RULES) -> int:
    """Remove all that an import brought; returns how many sets. Raises Refusal for an unknown or undone import."""
    found = con.execute("select undone from imports where import_id = ?", [number]).fetchall()
    if not found or found[0][0]:
        what = "was undone already" if found else "is not in the store"
        raise Refusal(f"Import {number} {what}", "", "The page Data lists the imports that can be undone.")
    mark_stale(con, dict(con.execute(
        "select athlete, min(date - case when body_mass_kg is null then 0 else $days end) from ("
        "select athlete, date, body_mass_kg from sets where import_id = $n "
        "union all select athlete, date, body_mass_kg from days where import_id = $n "
        "union all select s.athlete, s.date, s.body_mass_kg from fills f join sets s on s.set_id = f.set_id where f.import_id = $n) "
        "group by athlete", {"n": number, "days": rules.body_mass_days}).fetchall()))
    for (column,) in con.execute("select distinct column_name from fills where import_id = ?", [number]).fetchall():
        con.execute(
            f"update sets set {column} = {'date::text' if column == 'session' else 'null'} where set_id in (select set_id from fills where import_id = ? and column_name = ?)",
            [number, column])
    removed = con.execute("select count(*) from sets where import_id = ?", [number]).fetchall()[0][0]
    for table in ("sets", "days", "set_aside", "fills", "differences"):
        con.execute(f"delete from {table} where import_id = ?", [number])
    con.execute("update imports set undone = true where import_id = ?", [number])
    return removed


def mark_stale(con: duckdb.DuckDBPyConnection, first_days: dict[str, Any]) -> None:
    """Note from which week on an athlete's standing has to be worked out again."""
    for athlete, day in first_days.items():
        con.execute("insert into athletes (athlete) values (?) on conflict do nothing", [athlete])
        con.execute(
            "insert into stale values ($a, date_trunc('week', $d::date)::date) on conflict (athlete) do update "
            "set from_week = least(stale.from_week, excluded.from_week)", {"a": athlete, "d": day})


def _first_days(rows: FileRows, rules: Rules = RULES) -> dict[str, Any]:
    """The first day of each athlete that the file can change: a body mass also speaks for 90 days before it."""
    both = pd.concat([rows.sets[["athlete", "date", "body_mass_kg"]], rows.days[["athlete", "date", "body_mass_kg"]]])
    back = pd.to_timedelta(np.where(both["body_mass_kg"].notna(), rules.body_mass_days, 0), unit="D")
    return (pd.to_datetime(both["date"]) - back).groupby(both["athlete"]).min().dt.date.to_dict()


def _add_sets(con: duckdb.DuckDBPyConnection, number: int, sets: pd.DataFrame) -> tuple[int, int]:
    if sets.empty:
        return 0, 0
    sets = sets.assign(**{name: sets[name].astype("Int32") for name in WHOLE})
    con.register("incoming", sets)
    for name in ("stage", "counted", "fresh", "paired"):
        con.execute(mart(f"import/{name}"))
    con.unregister("incoming")
    _fill(con, number)
    con.execute(mart("import/corrections"))
    corrections = con.execute("select count(*) from corrections").fetchall()[0][0]
    columns = ", ".join(sets.columns)
    con.execute(
        f"insert into sets (set_id, import_id, identity, {columns}) "
        f"select nextval('set_ids'), {number}, identity, {columns} from (select * from fresh order by source_row)")
    return con.execute("select count(*) from fresh").fetchall()[0][0], corrections


def _fill(con: duckdb.DuckDBPyConnection, number: int) -> None:
    """Fill empty cells of stored sets from their twins in the file; list where both say something else."""
    for column in FILLABLE:
        here, there = _said(column, "s"), _said(column, "p")
        pairs = f"from paired p join sets s on s.set_id = p.stored_id where {there} is not null"
        con.execute(f"insert into differences select {number}, s.set_id, '{column}', {here}::text, {there}::text "
                    f"{pairs} and {here} is not null and {here} <> {there}")
        empty = con.execute(f"select count(*) {pairs} and {here} is null").fetchall()[0][0]
        if empty:
            con.execute(f"insert into fills select {number}, s.set_id, '{column}', {there}::text {pairs} and {here} is null")
            con.execute(f"update sets set {column} = p.{column} from paired p where p.stored_id = sets.set_id "
                        f"and {_said(column, 'sets')} is null and {there} is not null")


def _said(column: str, table: str) -> str:
    """SQL for what a file said in a column: a session that is only the date is what stands for a session nobody named."""
    return f"nullif({table}.session, {table}.date::date::text)" if column == "session" else f"{table}.{column}"


def _add_days(con: duckdb.DuckDBPyConnection, number: int, days: pd.DataFrame) -> int:
    if days.empty:
        return 0
    con.register("incoming_days", days)
    key = ", ".join(f"coalesce({name}::text, '-')" for name in DAY_COLUMNS)
    columns = ", ".join((*DAY_COLUMNS, "source", "source_row"))
    before = con.execute("select count(*) from days").fetchall()[0][0]
    con.execute(
        f"insert into days (import_id, identity, {columns}) "
        f"select {number}, identity, {columns} from (select *, md5(concat_ws('|', {key})) as identity from incoming_days) d "
        "where d.identity not in (select identity from days)")
    con.unregister("incoming_days")
    return con.execute("select count(*) from days").fetchall()[0][0] - before


def _add_set_aside(con: duckdb.DuckDBPyConnection, number: int, rows: FileRows) -> None:
    if rows.set_aside.empty:
        return
    con.register("incoming_aside", rows.set_aside)
    # A row that an earlier import set aside for the same reason is listed once.
    con.execute(
        "insert into set_aside select $n, $f, a.row, a.text, a.reason from incoming_aside a where not exists "
        "(select 1 from set_aside s where s.file = $f and s.row = a.row and s.text = a.text and s.reason = a.reason)",
        {"n": number, "f": rows.name})
    con.unregister("incoming_aside")
