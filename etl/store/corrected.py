"""Correcting and removing stored sets, and taking that back. Runs inside the caller's transaction."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any

import duckdb

from etl.refusal import Refusal
from etl.settings import RULES, Rules
from etl.store import warm_ups
from etl.store.identity import identity_sql
from etl.store.set_changes import Change, as_json, changes_of, identity_of, update
from etl.store.stale import mark_stale

KINDS = ("work", "warm_up", "drop", "rest_pause", "cluster")  # of a set, in the set log
SIDES = ("both", "left", "right")
RANGES = ("full", "lower_half", "upper_half", "part")


def change(con: duckdb.DuckDBPyConnection, set_id: int, values: dict[str, Any] | None) -> int:
    """Give a stored set new values (None: remove it) and remember it; returns the change's number.

    values: column of `sets` -> value, already checked. Raises Refusal for a set that is not in the store.
    """
    before = stored(con, set_id)
    identity, number = identity_of(con, before), con.execute("select nextval('change_ids')").fetchall()[0][0]
    if values is None:
        con.execute("delete from sets where set_id = ?", [set_id])
    else:
        update(con, "sets", values, "set_id", set_id)
        # What a person says is no longer the cell that a later file filled: an undo of that file leaves it.
        con.execute("delete from fills where set_id = ? and column_name in (select unnest(?))", [set_id, list(values)])
    con.execute("insert into set_changes values (?, ?, ?, ?, ?, ?, ?, ?, ?, true)", [
        number, datetime.now().replace(microsecond=0), set_id, before["athlete"], before["date"], identity, as_json(before),
        None if values is None else as_json(values), count(con, before, identity)])
    settle(con, [before] if values is None else [before, before | values])
    return number


def take_back(con: duckdb.DuckDBPyConnection, number: int) -> bool:
    """Give a changed set its old values again, or bring a removed one back; True where there was such a set.

    Raises Refusal for an unknown change, one that was taken back already, or one on which a later change stands.
    """
    found = changes_of(con, "change_id = ?", number)
    if not found:
        raise Refusal(f"There is no change {number} that could be taken back", "", "The page Data lists the changes.")
    (was,) = found
    after = was.result and identity_of(con, was.result)
    later = [c.change_id for c in changes_of(con) if c.change_id > number and c.set_id == was.set_id]
    if later:
        raise Refusal(f"Change {number} was changed again", "", f"Take change {max(later)} back first.")
    con.execute("update set_changes set active = false where change_id = ?", [number])
    if after != was.identity:
        # What later changes were counted beside has one more of the old kind and one less of the new.
        con.execute("update set_changes set stood = stood + 1 where active and change_id > ? and identity = ?", [number, was.identity])
        con.execute("update set_changes set stood = stood - 1 where active and change_id > ? and identity = ?", [number, after])
    return _bring_back(con, was) if was.changed is None else _undo(con, was, after)


def _bring_back(con: duckdb.DuckDBPyConnection, was: Change) -> bool:
    """A removed set, under an import that holds its file; none does where all of them were undone."""
    row, digest = was.original, str(was.original["source"]).rpartition("#")[2]
    holding = con.execute(
        "select import_id from imports where not undone and contains(files, ?) order by import_id = ? desc, import_id",
        [digest, row["import_id"]]).fetchall()
    if not holding:
        return False
    row = row | {"import_id": holding[0][0]}
    con.execute(f"insert into sets ({', '.join(row)}) values ({', '.join('?' * len(row))})", list(row.values()))
    settle(con, [row])
    return True


def _undo(con: duckdb.DuckDBPyConnection, was: Change, after: str) -> bool:
    """A corrected set with its old values: the set itself, or, after its file was imported anew, one like it."""
    found = con.execute(
        f"select set_id from sets where athlete = ? and date = ?::date and {identity_sql()} = ? order by set_id = ? desc, set_id limit 1",
        [was.athlete, was.result["date"], after, was.set_id]).fetchall()
    if not found:
        return False
    update(con, "sets", {name: was.original[name] for name in was.changed}, "set_id", found[0][0])
    settle(con, [was.original, was.result])
    return True


def stored(con: duckdb.DuckDBPyConnection, set_id: int) -> dict[str, Any]:
    """One set of the store as a dict, its date as ISO text. Raises Refusal where there is none of that number."""
    found = con.execute("select * from sets where set_id = ?", [set_id])
    names, rows = [column[0] for column in found.description], found.fetchall()
    if not rows:
        raise Refusal(f"There is no set {set_id} in the store", "", "evenset sets --athlete NAME lists the sets with their numbers.")
    return {name: value.isoformat() if isinstance(value, date) else value for name, value in zip(names, rows[0], strict=True)}


def count(con: duckdb.DuckDBPyConnection, row: dict[str, Any], identity: str) -> int:
    """How many sets of that identity the store holds on the row's day."""
    return con.execute(f"select count(*) from sets where athlete = ? and date = ?::date and {identity_sql()} = ?",
                       [row["athlete"], row["date"], identity]).fetchall()[0][0]


def settle(con: duckdb.DuckDBPyConnection, rows: list[dict[str, Any]], rules: Rules = RULES) -> None:
    """After a change of these sets: their weeks are stale, and the warm-ups of their days are assumed anew."""
    for row in rows:
        # A body mass also speaks for the days before it.
        back = timedelta(days=0 if row["body_mass_kg"] is None else rules.body_mass_days)
        mark_stale(con, {row["athlete"]: date.fromisoformat(str(row["date"])[:10]) - back})
        if row["exercise"] is not None:
            warm_ups.assume(con, "select $athlete as athlete, $day::date as date, $exercise as exercise",
                            {"athlete": row["athlete"], "day": row["date"], "exercise": row["exercise"]})


def rename(con: duckdb.DuckDBPyConnection, old: str, new: str) -> None:
    """The changes of an athlete who has another name from now on."""
    for was in changes_of(con, "athlete = ?", old, active=False):
        row = was.original | {"athlete": new}
        con.execute("update set_changes set athlete = ?, original = ?, identity = ? where change_id = ?",
                    [new, as_json(row), identity_of(con, row), was.change_id])
