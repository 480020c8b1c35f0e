"""The sets of one file -> the store: what is new, what fills an empty cell, what differs. Runs inside the caller's transaction.

Duplicates are looked for only among the stored sets of the file's athletes between its first and its last day; where there
are none, the rows go in as they come.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Any

import duckdb
import pandas as pd
import pyarrow as pa

from etl.marts import mart
from etl.settings import RULES, Rules
from etl.store import set_changes
from etl.store.identity import identity_sql

# Not part of a set's identity: a later file may fill them.
FILLABLE = (
    "time", "session", "modifiers", "rpe", "rir", "limited_by", "pain_place", "pain_score", "body_mass_kg",
    "session_rpe", "minutes", "rest_s", "tempo", "note",
)
WHOLE = ("set_no", "round_no", "segment_no")
OWN = ("set_id", "import_id")  # what the store gives a set, and no file holds


@dataclass(frozen=True)
class Added:
    """stored: sets that were new. corrections: new ones that look like a corrected stored set; alike: that look like a stored one in
    another shape. first_days: athlete -> first day changed.

    unmatched: exercise as written -> sets of the file that no exercise is known for. alone: no stored set of these athletes
    lies between the first and the last day of the file.
    """

    stored: int = 0
    corrections: int = 0
    alike: int = 0
    first_days: dict[str, date] = field(default_factory=dict)
    unmatched: dict[str, int] = field(default_factory=dict)
    alone: bool = True


def add_sets(con: duckdb.DuckDBPyConnection, number: int, sets: pd.DataFrame | pa.Table, rules: Rules = RULES) -> Added:
    """Store what is new of a file's sets. sets: columns of `sets` but set_id and import_id.

    A frame stands in the order of the file. A table says the order in a column `place`, from 0; it may lack columns that are
    empty throughout, and say in `own_time` and `own_session` what goes before `time` and `session`.
    """
    if not len(sets):
        return Added()
    con.register("incoming_rows", sets if isinstance(sets, pa.Table) else _placed(sets))
    added = _add(con, number, len(sets), _incoming(con), rules)
    # After an error the transaction takes no more statements, and the connection is closed.
    con.execute("drop view incoming")
    con.unregister("incoming_rows")
    return added


def _placed(sets: pd.DataFrame) -> pd.DataFrame:
    return sets.assign(place=range(len(sets)), **{name: sets[name].astype("Int32") for name in WHOLE})


def _incoming(con: duckdb.DuckDBPyConnection) -> str:
    """Make the view `incoming` with every column of a file; returns those that it says something in, for an insert."""
    have = {name for (name, *_) in con.execute("describe incoming_rows").fetchall()}
    said, shown = [], ["place"]
    for name, kind, *_ in con.execute("describe sets").fetchall():
        if name in OWN:
            continue
        own = f"own_{name}" if f"own_{name}" in have else ""
        value = f"coalesce({own}, {name})" if own and name in have else own or (name if name in have else f"null::{kind}")
        if name == "planned" and name not in have:
            value = "false"
        said += [name] if own or name in have else []
        shown.append(f"{value} as {name}")
    con.execute(f"create or replace temp view incoming as select {', '.join(shown)} from incoming_rows")
    return ", ".join(said)


def _add(con: duckdb.DuckDBPyConnection, number: int, count: int, columns: str, rules: Rules) -> Added:
    unmatched = dict(con.execute("select exercise_as_written, count(*) from incoming where exercise is null group by all").fetchall())
    changed = _people(con, "incoming", rules)
    put_right = set_changes.any_for(con, changed)
    if put_right:
        # A date that was put right may lie outside the days of the file.
        _stage(con)
        set_changes.apply(con)
        _people(con, "staged", rules)
    con.execute(mart("import/near").format(identity=identity_sql("s.")))
    if not put_right and not con.execute("select count(*) from near").fetchall()[0][0]:
        _insert(con, number, count, f"select place as nth, {columns} from incoming", columns, in_order=True)
        return Added(count, first_days=changed, unmatched=unmatched, alone=True)
    if not put_right:
        _stage(con)
    con.execute(f"create or replace temp table marked as select place, {identity_sql()} as identity from staged")
    for step in ("counted", "fresh", "paired", "corrections", "alike"):
        con.execute(mart(f"import/{step}"))
    filled = _fill(con, number)
    new, corrections, alike = con.execute(
        "select (select count(*) from fresh), (select count(*) from corrections), (select coalesce(sum(sets), 0)::bigint from alike)").fetchall()[0]
    _insert(con, number, new, f"select f.nth, {columns} from fresh f join staged using (place)", columns)
    return Added(new, corrections, alike, _first_days(con, filled, rules), unmatched, alone=False)


def _people(con: duckdb.DuckDBPyConnection, rows: str, rules: Rules) -> dict[str, date]:
    """Make `people`; returns the first day of each athlete that the file can change."""
    con.execute(mart("import/people").format(rows=rows), {"days": rules.body_mass_days})
    return dict(con.execute("select athlete, changed from people").fetchall())


def _stage(con: duckdb.DuckDBPyConnection) -> None:
    con.execute("create or replace temp table staged as select * from incoming")


def _insert(con: duckdb.DuckDBPyConnection, number: int, count: int, rows: str, columns: str, in_order: bool = False) -> None:
    """rows: SQL that gives the new sets, with `nth` counting them from 0; in_order: as it gives them. Their numbers are taken from the sequence in one piece."""
    if not count:
        return
    first = con.execute("select nextval('set_ids')").fetchall()[0][0]
    order = "" if in_order else "order by nth"
    con.execute(f"insert into sets (set_id, import_id, {columns}) select {first} + nth, {number}, {columns} from ({rows}) {order}")
    con.execute(f"create or replace sequence set_ids start {first + count}")


def _fill(con: duckdb.DuckDBPyConnection, number: int) -> list[str]:
    """Fill empty cells of stored sets from their twins in the file; list where both say something else. Returns the columns filled."""
    if not con.execute("select count(*) from paired").fetchall()[0][0]:
        return []
    con.execute(mart("import/twins"))
    done = []
    for column in FILLABLE:
        here, there = f"stored_{column}", f"in_file_{column}"
        con.execute(f"insert into differences select {number}, set_id, '{column}', {here}::text, {there}::text from twins where {here} <> {there}")
        empty = f"from twins where {here} is null and {there} is not null"
        if con.execute(f"select count(*) {empty}").fetchall()[0][0]:
            done.append(column)
            con.execute(f"insert into fills select {number}, set_id, '{column}', {there}::text {empty}")
            con.execute(f"update sets set {column} = t.{there} from (select * {empty}) t where t.set_id = sets.set_id")
    return done


def _first_days(con: duckdb.DuckDBPyConnection, filled: list[str], rules: Rules) -> dict[str, Any]:
    """The first day of each athlete that the file changes: of its new sets, and of stored ones that it fills."""
    parts = ["select athlete, date, body_mass_kg from staged join fresh using (place)"]
    if filled:
        empty = " or ".join(f"(stored_{c} is null and in_file_{c} is not null)" for c in filled)
        parts.append(f"select athlete, date, in_file_body_mass_kg from twins where {empty}")
    return dict(con.execute(
        "select athlete, min(date::date - case when body_mass_kg is null then 0 else $days end)::date "
        f"from ({' union all '.join(parts)}) group by athlete", {"days": rules.body_mass_days}).fetchall())
