"""Stored sets that a person corrected or removed, remembered by what they were read as, and put into every file that is read."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

import duckdb

from etl.store.identity import identity_sql


@dataclass(frozen=True)
class Change:
    """One row of set_changes. original: the set before; changed: its new values, None where it was removed.

    stood: how many sets of its identity there were beside it when it was made.
    """

    change_id: int
    set_id: int
    athlete: str
    identity: str
    original: dict[str, Any]
    changed: dict[str, Any] | None
    stood: int

    @property
    def result(self) -> dict[str, Any] | None:
        """The set as it is after the change."""
        return None if self.changed is None else self.original | self.changed


def any_for(con: duckdb.DuckDBPyConnection, athletes: Iterable[str]) -> bool:
    """True where a set of one of the athletes was ever corrected or removed, and that was not taken back."""
    names = list(athletes)
    return bool(names) and con.execute("select count(*) from set_changes where active and athlete in (select unnest(?))", [names]).fetchall()[0][0] > 0


def apply(con: duckdb.DuckDBPyConnection) -> int:
    """Put the changes into the temp table `staged` (columns of `sets` without set_id and import_id) before its rows are counted.

    Of the rows that equal the original of a change, as many as the file has beyond those that were right take its new
    values, or are deleted where it was removed. Returns how many were deleted: they count as already stored.
    """
    rows = con.execute(
        f"select t.rowid, {identity_sql('t.')} from staged t where exists (select 1 from set_changes c "
        "where c.active and c.athlete = t.athlete and c.date = t.date::date) order by t.source_row desc").fetchall()
    if not rows:
        return 0
    places: dict[str, list[int]] = defaultdict(list)
    for place, identity in rows:
        places[identity].append(place)
    now, gone = _placed(con, places)
    for place, values in now.items():
        update(con, "staged", values, "rowid", place)
    if gone:
        con.execute("delete from staged where rowid in (select unnest(?))", [gone])
    return len(gone)


def _placed(con: duckdb.DuckDBPyConnection, places: dict[str, list[int]]) -> tuple[dict[int, dict], list[int]]:
    """The new values of each row that a change is about, and the rows that are removed. places: identity -> rows of the file."""
    stored, active = _stored_beside(con), changes_of(con)
    after = [change.result and identity_of(con, change.result) for change in active]
    mended = _mended({identity: len(here) for identity, here in places.items()}, [c.identity for c in active], after, stored)
    now: dict[int, dict] = defaultdict(dict)
    gone: list[int] = []
    settled: dict[tuple[str, int], int] = {}  # a row whose note or effort a change has put right -> the set that it was about
    for position, (change, result) in enumerate(zip(active, after, strict=True)):
        here = places[change.identity]
        # A later change of the same set is about the same row.
        free = [place for place in here if settled.get((change.identity, place)) == change.set_id] + [
            place for place in here if (change.identity, place) not in settled]
        own = result != change.identity and (change.identity in mended or len(here) <= _right(position, active, after, stored))
        if not free or own:
            continue
        if result is None:
            gone.append(free[0])
        else:
            now[free[0]] |= change.changed
        if result == change.identity:
            settled[result, free[0]] = change.set_id
            continue
        here.remove(free[0])
        if result is not None:
            places[result].append(free[0])
    return {place: values for place, values in now.items() if place not in gone}, gone


def _mended(in_file: dict[str, int], before: list[str], after: list[str | None], stored: dict[str, int]) -> set[str]:
    """Identities that the file's owner has mended as they were changed here: neither they nor those that changes link them with are more
    often in the file than in the store, so that nothing would come in.
    """
    groups: dict[str, set[str]] = {}
    for one, other in zip(before, after, strict=True):
        group = groups.get(one, {one}) | groups.get(other or one, {other or one})
        groups |= {identity: group for identity in group}
    return {identity for identity, group in groups.items() if all(in_file.get(i, 0) <= stored.get(i, 0) for i in group)}


def _right(position: int, active: list[Change], after: list[str | None], stored: dict[str, int]) -> int:
    """How many sets of a change's identity are right beside the one it is about, as the log stood when it was made.

    An owner who has mended the log has only these left. Counted when it was made, or in the store where there are more by now:
    without what later changes made of other sets, and with what they made of these.
    """
    identity = active[position].identity
    later = [(c.identity, result) for c, result in zip(active[position + 1:], after[position + 1:], strict=True) if c.identity != result]
    made, unmade = sum(result == identity for _, result in later), sum(before == identity for before, _ in later)
    return max(active[position].stood, stored.get(identity, 0) - made + unmade)


def _stored_beside(con: duckdb.DuckDBPyConnection) -> dict[str, int]:
    """Identity -> how many sets the store holds, for the days on which sets were changed."""
    return dict(con.execute(
        f"select {identity_sql('s.')} as identity, count(*) from sets s "
        "join (select distinct athlete, date from set_changes where active) c on c.athlete = s.athlete and c.date = s.date group by 1").fetchall())


def identity_of(con: duckdb.DuckDBPyConnection, row: dict[str, Any]) -> str:
    """The identity of a set that is given as a dict."""
    types = dict(con.execute("select column_name, data_type from duckdb_columns() where table_name = 'sets' and not internal").fetchall())
    named = {name: value for name, value in row.items() if name in types}
    typed = ", ".join(f"?::{types[name]} as {name}" for name in named)
    return con.execute(f"select {identity_sql('r.')} from (select {typed}) r", list(named.values())).fetchall()[0][0]


def changes_of(con: duckdb.DuckDBPyConnection, where: str = "true", *params: Any, active: bool = True) -> list[Change]:
    """The changes, oldest first; active: only those that were not taken back."""
    rows = con.execute(f"select change_id, set_id, athlete, identity, original, changed, stood from set_changes "
                       f"where {where} and (active or not ?) order by change_id", [*params, active]).fetchall()
    return [Change(*row[:4], json.loads(row[4]), row[5] and json.loads(row[5]), row[6]) for row in rows]


def amend(con: duckdb.DuckDBPyConnection, change: Change, values: dict[str, Any], side: str = "changed") -> None:
    """Give a remembered correction other values, which are no part of a set's identity. side: `changed`, or `original` for those before."""
    con.execute(f"update set_changes set {side} = ? where change_id = ?", [as_json(getattr(change, side) | values), change.change_id])


def update(con: duckdb.DuckDBPyConnection, table: str, values: dict[str, Any], key: str, place: int) -> None:
    """Put values into the one row of a table whose `key` is `place`."""
    con.execute(f"update {table} set {', '.join(f'{name} = ?' for name in values)} where {key} = ?", [*values.values(), place])


def as_json(row: dict[str, Any]) -> str:
    """A set, or columns of one, as JSON text with ISO dates."""
    return json.dumps({name: value.isoformat() if isinstance(value, date) else value for name, value in row.items()}, ensure_ascii=False)
