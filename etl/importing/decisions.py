"""What a person decides once and what holds for every file after it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pandas as pd
import pyarrow as pa

from etl.importing.again import columns_of, understood
from etl.importing.corrections import exercise_id
from etl.importing.kept import KeptImport, head_of, import_of
from etl.importing.memory import known_by
from etl.importing.naming import settle_name
from etl.importing.plan import silent
from etl.names import normalise_name
from etl.refusal import Refusal
from etl.store import reading, renaming, spellings, warm_ups, writing


def decide(path: str | Path, name: str, exercise: str, modifiers: str = "") -> int:
    """Settle what a written name means, for the sets in the store and every later file; returns how many sets it settled.

    exercise: a catalogue id, or "" for an exercise that the catalogue does not have: its sets stay unmatched and the name is
    not asked about again. modifiers: 'k=v;k=v'. Raises Refusal for an id that the catalogue does not have, and for no name.
    """
    key = _key(name)
    with writing(path) as con:
        if exercise:
            exercise_id(exercise)
        before = known_by(con).decisions
        con.execute("insert or replace into name_decisions values (?, ?, ?, now()::timestamp)", [key, exercise, modifiers])
        return settle_name(con, key, before)


def undecide(path: str | Path, name: str) -> int:
    """Take a decision back: what the catalogue says by itself is used again; returns how many sets that settled anew.

    Raises Refusal where nothing was decided on the name.
    """
    key = _key(name)
    with writing(path) as con:
        before = known_by(con).decisions
        if not con.execute("delete from name_decisions where name_key = ? returning name_key", [key]).fetchall():
            raise Refusal(f"Nothing was decided on '{name}'", "", "The page Data lists the decisions.")
        settled = settle_name(con, key, before)
        _give_own(con, path, key)
        return settled


def decisions(path: str | Path) -> pd.DataFrame:
    """What was decided, newest first: name_key, exercise (an id; "" where the catalogue lacks it), modifiers, made_at, sets."""
    with reading(path) as con:
        return con.execute(
            "select d.name_key, d.exercise, d.modifiers, d.made_at, coalesce(s.sets, 0) as sets from name_decisions d left join "
            "(select name_key, count(*) as sets from sets where name_key in (select name_key from name_decisions) group by name_key) s "
            "on s.name_key = d.name_key order by d.made_at desc, d.name_key").df()


def merge_athletes(path: str | Path, spelling: str, into: str) -> dict[str, int]:
    """Give everything of one spelling of an athlete to another, in the store and in every later file.

    Returns sets_moved and sets_already_there (sets that both had: the larger count stays). What was said of `into` (level, focus,
    equipment) stays. Raises Refusal for a name that the store does not have, and where both are one athlete already.
    """
    with writing(path) as con:
        return spellings.merge(con, spelling, into)


def rename_athlete(path: str | Path, name: str, to: str) -> dict[str, Any]:
    """Give an athlete another name, in the store and in every later file that writes the old one; renaming back takes that back.

    Returns athlete (the new name), was, sets and days. Raises Refusal for an athlete that the store does not have, and for a name that is
    blank, too long, or somebody else's.
    """
    with writing(path) as con:
        return renaming.rename(con, name, to)


def _key(name: str) -> str:
    if not name.strip():
        raise Refusal("No exercise is named", "", "Give the name as it is written in the log.")
    return normalise_name(name)


def _give_own(con: Any, path: str | Path, key: str) -> None:
    """Sets of a name that nothing is known for any more get the exercise that their file gives by an id of its own."""
    lacking = con.execute("select distinct import_id, source from sets where name_key = ? and exercise is null", [key]).fetchall()
    for number in sorted({n for n, _ in lacking}):
        was = import_of(con, number)
        if not any(_gives_ids(con, path, was, file["name"]) for file in was.files):
            continue
        for file in understood(con, path, was, silent).files:
            rows = _own_ids(file.normal.sets, key)
            if rows.empty:
                continue
            con.register("own_ids", rows)
            con.execute("update sets set exercise = o.exercise, modifiers = o.modifiers from own_ids o "
                        "where sets.name_key = $key and sets.exercise is null and sets.import_id = $n "
                        "and sets.source = o.source and sets.source_row = o.source_row", {"key": key, "n": number})
            con.unregister("own_ids")
    warm_ups.assume(con, "select distinct athlete, date, exercise from sets where name_key = $key and exercise is not null", {"key": key})


def _gives_ids(con: Any, path: str | Path, was: KeptImport, file: str) -> bool:
    """Whether a kept file has a column of exercise ids."""
    return any(column.field == "exercise_id" for column in columns_of(con, head_of(path, was.files, file), was))


def _own_ids(sets: pd.DataFrame | pa.Table, key: str) -> pd.DataFrame:
    """Of the sets of a name, those with an exercise: exercise, modifiers, source, source_row."""
    names = ["name_key", "exercise", "modifiers", "source", "source_row"]
    if isinstance(sets, pa.Table):
        sets = sets.select([name for name in names if name in sets.column_names]).to_pandas()
    sets = sets.reindex(columns=names)
    found = sets[(sets["name_key"] == key) & sets["exercise"].notna()].drop_duplicates(["source", "source_row"])
    return found.astype({"exercise": "str", "modifiers": "str"})
