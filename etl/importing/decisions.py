"""What a person decides once and what holds for every file after it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pandas as pd

from etl.importing.corrections import exercise_id
from etl.names import Matcher, normalise_name
from etl.refusal import Refusal
from etl.store import reading, set_changes, spellings, warm_ups, writing
from etl.store.stale import mark_stale


def decide(path: str | Path, name: str, exercise: str, modifiers: str = "") -> int:
    """Settle what a written name means, for the sets in the store and every later file; returns how many sets it settled.

    exercise: a catalogue id, or "" for an exercise that the catalogue does not have: its sets stay unmatched and the name is
    not asked about again. modifiers: 'k=v;k=v'. Raises Refusal for an id that the catalogue does not have, and for no name.
    """
    key = _key(name)
    found = exercise_id(exercise) if exercise else None
    with writing(path) as con:
        con.execute("insert or replace into name_decisions values (?, ?, ?, now()::timestamp)", [key, exercise, modifiers])
        return _settle(con, key, {written: (found, modifiers) for written in _written(con, key)})


def undecide(path: str | Path, name: str) -> int:
    """Take a decision back: what the catalogue says by itself is used again; returns how many sets that settled anew.

    Raises Refusal where nothing was decided on the name.
    """
    key = _key(name)
    with writing(path) as con:
        was = con.execute("delete from name_decisions where name_key = ? returning modifiers", [key]).fetchall()
        if not was:
            raise Refusal(f"Nothing was decided on '{name}'", "", "The page Data lists the decisions.")
        if was[0][0]:
            con.execute("update sets set modifiers = null where name_key = ? and modifiers = ?", [key, was[0][0]])
        matches = Matcher.from_catalogue().match(_written(con, key))
        return _settle(con, key, {m.name: (m.exercise, m.modifiers) for m in matches})


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


def _key(name: str) -> str:
    if not name.strip():
        raise Refusal("No exercise is named", "", "Give the name as it is written in the log.")
    return normalise_name(name)


def _written(con: Any, key: str) -> list[str]:
    return [name for (name,) in con.execute("select distinct exercise_as_written from sets where name_key = ? order by 1", [key]).fetchall()]


def _settle(con: Any, key: str, found: dict[str, tuple[str | None, str]]) -> int:
    """Put the exercise of each written name into the sets; one whose exercise a person corrected by itself stays."""
    changed = [c for c in set_changes.changes_of(con) if c.changed and "exercise" in c.changed]
    own = [c.set_id for c in changed if "name_key" not in c.changed]
    theirs = "name_key = ? and set_id not in (select unnest(?::bigint[]))"
    touched = con.execute(f"select athlete, min(date), count(*) from sets where {theirs} group by athlete", [key, own]).fetchall()
    for written, (exercise, modifiers) in found.items():
        con.execute(f"update sets set exercise = ?, modifiers = coalesce(modifiers, nullif(?, '')) where {theirs} and exercise_as_written = ?",
                    [exercise, modifiers, key, own, written])
    for change in changed:
        # A set whose name was corrected follows what is decided on its new name, also in the next file.
        written = change.changed.get("exercise_as_written")
        if change.changed.get("name_key") == key and written in found:
            set_changes.amend(con, change, {"exercise": found[written][0]})
    con.execute("update sets set kind = 'work' where name_key = ? and exercise is null and kind_source = 'assumed'", [key])
    mark_stale(con, {athlete: day for athlete, day, _ in touched})
    warm_ups.assume(con, "select distinct athlete, date, exercise from sets where name_key = $key and exercise is not null", {"key": key})
    return sum(count for *_, count in touched)
