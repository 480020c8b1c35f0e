"""What a person decides once and what holds for every file after it."""

from __future__ import annotations

from pathlib import Path

import pandas as pd

from etl.importing.again import give_own
from etl.importing.corrections import exercise_id
from etl.importing.memory import known_by
from etl.importing.naming import settle_name
from etl.names import normalise_name
from etl.refusal import Refusal
from etl.store import reading, spellings, writing


def decide(path: str | Path, name: str, exercise: str, modifiers: str = "") -> int:
    """Settle what a written name means, for the sets in the store and every later file; returns how many sets it settled.

    exercise: a catalogue id, or "" for an exercise that the catalogue does not have: its sets stay unmatched and the name is
    not asked about again. modifiers: 'k=v;k=v'. Raises Refusal for an id that the catalogue does not have, and for no name.
    """
    key = _key(name)
    if exercise:
        exercise_id(exercise)
    with writing(path) as con:
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
        give_own(con, path, key)
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


def _key(name: str) -> str:
    if not name.strip():
        raise Refusal("No exercise is named", "", "Give the name as it is written in the log.")
    return normalise_name(name)
