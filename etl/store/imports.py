"""Writing one import, and taking one back. Runs inside the caller's transaction.

Of each identity a file adds max(0, its count in the file - its count in the store), so that the same file
stores nothing again while three identical sets stay three. A later file fills cells that are empty, never
overwrites, and what differs is listed.
"""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

import duckdb
import pandas as pd
import pyarrow as pa

from etl.refusal import Refusal
from etl.settings import RULES, Rules
from etl.store import warm_ups
from etl.store.adding import FILLABLE, add_sets
from etl.store.stale import mark_stale

__all__ = ["FILLABLE", "Counts", "FileRows", "add_file", "begin_import", "end_import", "mark_stale", "take_back"]

DAY_COLUMNS = ("athlete", "date", "body_mass_kg", "session_rpe", "minutes", "pain_place", "pain_score", "note")


@dataclass(frozen=True)
class FileRows:
    """What one file became: set log rows (with name_key and exercise; see `adding.add_sets`), day rows, and rows set aside."""

    name: str
    sha256: str
    sets: pd.DataFrame | pa.Table
    days: pd.DataFrame
    set_aside: pd.DataFrame
    rows_read: int
    rows_with_sets: int
    left_out: int = 0  # rows that a person said to leave out


@dataclass(frozen=True)
class Counts:
    """What became of the rows of a file. sets_stored, already_stored, look_like_corrections, look_alike: sets; the rest: rows of the file.

    unmatched: exercise as written -> sets of the file that no exercise is known for.
    """

    rows_read: int = 0
    rows_with_sets: int = 0
    sets_stored: int = 0
    days_stored: int = 0
    already_stored: int = 0
    rows_set_aside: int = 0
    look_like_corrections: int = 0
    look_alike: int = 0
    unmatched: Counter[str] = field(default_factory=Counter)

    def numbers(self) -> dict[str, int]:
        """The counts alone, by name."""
        return {name: value for name, value in vars(self).items() if name != "unmatched"}

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


def add_file(con: duckdb.DuckDBPyConnection, number: int, rows: FileRows, rules: Rules = RULES) -> Counts:
    """Store what is new of one file, fill what was empty, list what differs. Returns its counts."""
    added = add_sets(con, number, rows.sets, rules)
    days, first_days = _add_days(con, number, rows.days, rules)
    _add_set_aside(con, number, rows)
    for changed in (added.first_days, first_days):
        mark_stale(con, changed)
    if added.stored:
        warm_ups.assume_import(con, number, added.alone, rules)
    return Counts(
        rows_read=rows.rows_read, rows_with_sets=rows.rows_with_sets, sets_stored=added.stored, days_stored=days,
        already_stored=len(rows.sets) - added.stored + len(rows.days) - days + rows.left_out, rows_set_aside=len(rows.set_aside),
        look_like_corrections=added.corrections, look_alike=added.alike, unmatched=Counter(added.unmatched),
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


def _add_days(con: duckdb.DuckDBPyConnection, number: int, days: pd.DataFrame, rules: Rules) -> tuple[int, dict[str, Any]]:
    """How many rows were new, and the first day of each athlete that they change: a body mass also speaks for days before it."""
    if days.empty:
        return 0, {}
    con.register("incoming_days", days)
    key = ", ".join(f"coalesce({name}::text, '-')" for name in DAY_COLUMNS)
    columns = ", ".join((*DAY_COLUMNS, "source", "source_row"))
    con.execute(
        f"create or replace temp table new_days as select *, md5(concat_ws('|', {key})) as identity from incoming_days "
        "where identity not in (select identity from days where athlete in (select athlete from incoming_days))")
    con.unregister("incoming_days")
    con.execute(f"insert into days (import_id, identity, {columns}) select {number}, identity, {columns} from new_days")
    first_days = dict(con.execute(
        "select athlete, min(date::date - case when body_mass_kg is null then 0 else $days end)::date from new_days group by athlete",
        {"days": rules.body_mass_days}).fetchall())
    return con.execute("select count(*) from new_days").fetchall()[0][0], first_days


def _add_set_aside(con: duckdb.DuckDBPyConnection, number: int, rows: FileRows) -> None:
    """Every import lists its own, so that one that is undone takes none of another's with it."""
    if rows.set_aside.empty:
        return
    con.register("incoming_aside", rows.set_aside)
    con.execute("insert into set_aside select $n, $f, row, text, reason from incoming_aside", {"n": number, "f": rows.name})
    con.unregister("incoming_aside")
