"""What the keeper of the store changed in the catalogue, in the store. But for `lay_over`, for a connection that writes."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import astuple, fields

import duckdb
import pandas as pd

from etl import tables
from etl.own.what import NOTHING, OWN_ID, Own, OwnCredit, OwnExercise, OwnTarget

EXERCISE = ", ".join(field.name for field in fields(OwnExercise))
_SEEN: dict[str, Own] = {}  # by key, so that a store that has changes is asked for the key alone


def lay_over(con: duckdb.DuckDBPyConnection) -> None:
    """Use the catalogue of this store in this thread: the shipped tables with what its keeper changed."""
    key = con.execute("select value from meta where key = 'own'").fetchall()
    if not key:
        tables.use(NOTHING)
    elif key[0][0] in _SEEN:
        tables.use(_SEEN[key[0][0]])
    else:
        own = read(con)
        _SEEN[own.key] = own
        tables.use(own)


def read(con: duckdb.DuckDBPyConnection) -> Own:
    """The exercises and credits, in the order of their ids."""
    exercises = con.execute(f"select {EXERCISE} from own_exercises order by exercise_id").fetchall()
    credits = con.execute("select exercise_id, head_id, credit, note from own_credits order by exercise_id, head_id").fetchall()
    return Own(tuple(OwnExercise(*row) for row in exercises), tuple(OwnCredit(*row) for row in credits))


def targets(con: duckdb.DuckDBPyConnection) -> list[OwnTarget]:
    """The bands that were set, those for everybody first."""
    rows = con.execute("select athlete, part, low, high, note from own_targets order by athlete, part").fetchall()
    return [OwnTarget(*row) for row in rows]


def write(con: duckdb.DuckDBPyConnection, exercises: Iterable[OwnExercise], credits: Iterable[OwnCredit], bands: Iterable[OwnTarget]) -> None:
    """Put these in place of what was said of the same exercise, exercise and head, or athlete and part; then use them."""
    for exercise in exercises:
        values = astuple(exercise)
        con.execute(f"insert or replace into own_exercises ({EXERCISE}, made_at) values ({', '.join('?' * len(values))}, now()::timestamp)", values)
    rows = pd.DataFrame([astuple(credit) for credit in credits], columns=["exercise_id", "head_id", "credit", "note"]).astype({"credit": "float64"})
    con.register("said_credits", rows)
    con.execute("insert or replace into own_credits select *, now()::timestamp from said_credits")
    con.unregister("said_credits")
    con.execute(f"delete from own_credits where credit = 0 and starts_with(exercise_id, '{OWN_ID}')")
    for band in bands:
        con.execute("delete from own_targets where athlete = ? and part = ?", [band.athlete, band.part_id])
        con.execute("insert into own_targets values (?, ?, ?, ?, ?, now()::timestamp)", astuple(band))
    settle(con)


def settle(con: duckdb.DuckDBPyConnection) -> None:
    """Note what the changes are now, and use them."""
    own = read(con)
    con.execute("delete from meta where key = 'own'")
    if own.key:
        con.execute("insert into meta values ('own', ?)", [own.key])
    lay_over(con)


def let_go(con: duckdb.DuckDBPyConnection) -> None:
    """Sets of an exercise of one's own that is no more wait for a match. A file, a correction or a preview may have named it by its id."""
    con.execute(f"update sets set exercise = null, modifiers = null, kind = case when kind_source = 'assumed' then 'work' else kind end "
                f"where starts_with(exercise, '{OWN_ID}') and exercise not in (select exercise_id from own_exercises)")


def forget_notes(con: duckdb.DuckDBPyConnection, said: re.Pattern[str]) -> None:
    """Empty the notes that hold a name, whose words (small letters) `said` finds."""
    for table in ("own_exercises", "own_credits", "own_targets"):
        notes = con.execute(f"select distinct note from {table} where note <> ''").fetchall()
        con.execute(f"update {table} set note = '' where note in (select unnest(?::text[]))", [[note for (note,) in notes if said.search(note.casefold())]])
    settle(con)


def move_targets(con: duckdb.DuckDBPyConnection, old: str, new: str) -> None:
    """Give the bands of one spelling to an athlete, in the caller's transaction. Where both have one for a part, the athlete's stays."""
    con.execute("delete from own_targets where athlete = $old and part in (select part from own_targets where athlete = $new)", {"old": old, "new": new})
    con.execute("update own_targets set athlete = ? where athlete = ?", [new, old])
