"""Two spellings of one athlete, merged. Runs inside the caller's transaction."""

from __future__ import annotations

from collections import Counter
from datetime import date
from typing import Any

import duckdb

from etl.refusal import Refusal
from etl.settings import RULES, Rules
from etl.store import marked_weeks, own, said, set_changes
from etl.store.corrected import rename
from etl.store.identity import identity_sql
from etl.store.known import athletes as everybody
from etl.store.known import nobody
from etl.store.imports import DAY_COLUMNS, FILLABLE
from etl.store.stale import mark_stale


def all_of(con: duckdb.DuckDBPyConnection) -> dict[str, str]:
    """Spelling in small letters -> the athlete it stands for."""
    return dict(con.execute("select spelling, athlete from athlete_spellings").fetchall())


def merge(con: duckdb.DuckDBPyConnection, spelling: str, into: str) -> dict[str, int]:
    """Give everything of one spelling to an athlete, and remember the spelling; returns sets_moved and sets_already_there.

    Of each set the larger count of the two stays, as where one file were imported after the other. Raises Refusal for
    spellings that the store does not have, and where both are one athlete already.
    """
    old, new = meant_by(con, spelling), meant_by(con, into)
    if old == new and into.casefold() in all_of(con):
        new = into  # the athlete is to be called by what was a spelling until now
        con.execute("delete from athlete_spellings where spelling = ?", [into.casefold()])
    if old == new:
        raise Refusal(f"'{spelling}' and '{into}' are one athlete already", "", f"The sets stand under {old}.")
    remember(con, old, new)
    rename(con, old, new)
    report = _merge_sets(con, old, new)
    move_days(con, old, new)
    _merge_settings(con, old, new)
    marked_weeks.move(con, old, new)
    own.move_targets(con, old, new)
    said.move(con, old, new)
    return report


def meant_by(con: duckdb.DuckDBPyConnection, name: str) -> str:
    """The athlete of that name, or the one that the spelling was merged into."""
    known = everybody(con)
    same = [n for n in known if n.casefold() == name.casefold()]
    if name in known or len(same) == 1:
        return name if name in known else same[0]
    if name.casefold() in (merged := all_of(con)):
        return merged[name.casefold()]
    raise nobody(name, known)


def remember(con: duckdb.DuckDBPyConnection, old: str, new: str) -> None:
    """Note that `old`, and what was a spelling of it, is a spelling of `new` from now on."""
    con.execute("update athlete_spellings set athlete = ? where athlete = ?", [new, old])
    if old.casefold() != new.casefold():
        con.execute("delete from athlete_spellings where spelling = ? and athlete <> ?", [new.casefold(), new])
    con.execute("insert or replace into athlete_spellings values (?, ?, ?, now()::timestamp)", [old.casefold(), old, new])


def _merge_sets(con: duckdb.DuckDBPyConnection, old: str, new: str, rules: Rules = RULES) -> dict[str, int]:
    both = {"old": old, "new": new}
    first = first_day(con, old, rules)
    con.execute("create or replace temp table merging as select *, athlete = $old as moved from sets where athlete in ($old, $new)", both)
    con.execute("delete from sets where athlete in ($old, $new)", both)
    con.execute("update merging set athlete = ?", [new])
    if set_changes.any_for(con, [new]):
        _apply_changes(con)
    moved = con.execute("select count(*) from merging where moved").fetchall()[0][0]
    there = _settle_twins(con)
    con.execute("insert into sets by name select * exclude (moved) from merging order by set_id")
    if first is not None:
        mark_stale(con, {new: first})
    con.execute("drop table merging")
    return {"sets_moved": moved - there, "sets_already_there": there}


def first_day(con: duckdb.DuckDBPyConnection, athlete: str, rules: Rules = RULES) -> date | None:
    """The first day that the athlete's log speaks of, or None: a body mass also speaks for days before it."""
    return con.execute(
        "select min(date - case when body_mass_kg is null then 0 else $days end) from ("
        "select date, body_mass_kg from sets where athlete = $a union all select date, body_mass_kg from days where athlete = $a)",
        {"a": athlete, "days": rules.body_mass_days}).fetchall()[0][0]


def _apply_changes(con: duckdb.DuckDBPyConnection) -> None:
    """What was corrected under one spelling is corrected under the other."""
    for moved in (False, True):
        con.execute("create or replace temp table staged as select * from merging where moved = ?", [moved])
        set_changes.apply(con)
        con.execute("delete from merging where moved = ?", [moved])
        con.execute("insert into merging by name select * from staged")


def _settle_twins(con: duckdb.DuckDBPyConnection) -> int:
    """Drop from `merging` the sets that both have, the later stored one of each; returns how many."""
    con.execute(f"""
        create or replace temp table twins as
        with counted as (
            select *, greatest(count(*) filter (moved) over w, count(*) filter (not moved) over w) as stay,
                row_number() over (partition by identity order by set_id) as nth
            from (select *, {identity_sql()} as identity from merging)
            window w as (partition by identity)
        )
        select d.* exclude (identity, stay, nth), k.set_id as stays_id
        from counted d join counted k on k.identity = d.identity and k.nth = d.nth - d.stay
        where d.nth > d.stay""")
    for column in FILLABLE:
        _fill(con, column)
    con.execute("delete from merging where set_id in (select set_id from twins)")
    for table in ("fills", "differences"):
        con.execute(f"delete from {table} where set_id in (select set_id from twins)")
    # An undo of the other import has to find that this one held the sets too.
    con.execute("update imports set sets_stored = sets_stored - t.n, already_stored = already_stored + t.n "
                "from (select import_id, count(*) as n from twins group by import_id) t where t.import_id = imports.import_id")
    return con.execute("select count(*) from twins").fetchall()[0][0]


def _fill(con: duckdb.DuckDBPyConnection, column: str) -> None:
    """A cell that is empty in the set that stays takes the other's; where both say something else, it is listed."""
    pairs = f"from twins t join merging m on m.set_id = t.stays_id where t.{column} is not null"
    con.execute(f"insert into differences select t.import_id, m.set_id, '{column}', m.{column}::text, t.{column}::text {pairs} "
                f"and m.{column} is not null and m.{column} <> t.{column}")
    con.execute(f"insert into fills select t.import_id, m.set_id, '{column}', t.{column}::text {pairs} and m.{column} is null")
    con.execute(f"update merging set {column} = t.{column} from twins t where t.stays_id = merging.set_id and merging.{column} is null")


def move_days(con: duckdb.DuckDBPyConnection, old: str, new: str) -> int:
    """Rows of a day that both have stay once. Returns how many moved."""
    key = ", ".join(f"coalesce({'date::timestamp' if name == 'date' else name}::text, '-')" for name in DAY_COLUMNS)
    moved = con.execute("update days set athlete = ? where athlete = ? returning import_id", [new, old]).fetchall()
    con.execute(f"update days set identity = md5(concat_ws('|', {key})) where athlete = ?", [new])
    gone = con.execute("delete from days where athlete = $a and rowid not in (select min(rowid) from days where athlete = $a group by identity) "
                       "returning import_id", {"a": new}).fetchall()
    for number, count in Counter(number for (number,) in gone).items():
        # As for sets: an undo of the other import has to find that this one held the day too.
        con.execute("update imports set days_stored = days_stored - $c, already_stored = already_stored + $c where import_id = $n", {"c": count, "n": number})
    return len(moved) - len(gone)


def _merge_settings(con: duckdb.DuckDBPyConnection, old: str, new: str) -> None:
    """What was said of the athlete stays; what was worked out of the other spelling goes."""
    known = con.execute("select count(*) from athletes where athlete = ?", [new]).fetchall()[0][0]
    if known:
        con.execute("delete from athletes where athlete = ?", [old])
    else:
        con.execute("update athletes set athlete = ? where athlete = ?", [new, old])
    drop_worked_out(con, old)


def drop_worked_out(con: duckdb.DuckDBPyConnection, athlete: str) -> None:
    """Delete what was worked out of an athlete's log."""
    for table in tables_of_athletes(con):
        if table.startswith("kept_") or table == "stale":
            con.execute(f"delete from {table} where athlete = ?", [athlete])


def tables_of_athletes(con: duckdb.DuckDBPyConnection) -> list[str]:
    """Every table of the store with a column `athlete`."""
    found: list[tuple[Any, ...]] = con.execute(
        "select table_name from duckdb_columns() where column_name = 'athlete' and not internal and database_name = current_database() "
        "and schema_name = 'main' order by table_name").fetchall()
    return [name for (name,) in found]
