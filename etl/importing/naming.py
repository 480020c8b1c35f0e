"""What a written name means, put into the sets that are stored, as an import would put it. Runs inside the caller's transaction."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pandas as pd

from etl.importing.exercises import LEAST_HELD, exercise_of, held_in_place, thing_in
from etl.importing.memory import known_by
from etl.names import Match, Matcher, with_thing
from etl.store import set_changes, warm_ups
from etl.store.stale import mark_stale

THEIRS = "name_key = ? and set_id not in (select unnest(?::bigint[]))"


def settle_name(con: Any, key: str, before: Mapping[str, tuple[str, str]], meant: Mapping[str, Match] | None = None) -> int:
    """Give the sets of a name the exercise and the modifiers that an import would give them now; returns how many sets.

    before: the decisions by which they were settled so far, so that the modifiers which came from them go. meant: written name -> what it
    meant, where the catalogue was another one then. A set whose exercise a person corrected by itself stays.
    """
    changed = [c for c in set_changes.changes_of(con) if c.changed and "exercise" in c.changed]
    own = [c.set_id for c in changed if "name_key" not in c.changed]
    touched = con.execute(f"select athlete, min(date), count(*) from sets where {THEIRS} group by athlete", [key, own]).fetchall()
    kinds = con.execute(f"select distinct exercise_as_written, exercise, modifiers, side from sets where {THEIRS}", [key, own]).fetchall()
    names = sorted({kind[0] for kind in kinds} | {c.changed["exercise_as_written"] for c in changed if c.changed.get("name_key") == key})
    was, now = ({m.name: m for m in Matcher.from_catalogue(dict(decisions)).match(names)} for decisions in (before, known_by(con).decisions))
    was |= meant or {}
    put(con, key, own, [(*kind, *_now(kind, was[kind[0]], now[kind[0]])) for kind in kinds])
    # As the next import of the file would read them, so that it finds them stored.
    con.execute(f"update sets set hold_s = reps, reps = null where {THEIRS} and list_contains(?, exercise) and hold_s is null and reps >= ? and reps = floor(reps)",
                [key, own, sorted(held_in_place()), LEAST_HELD])
    for change in changed:
        # A set whose name was corrected follows what is decided on its new name, also in the next file.
        if change.changed.get("name_key") == key:
            set_changes.amend(con, change, {"exercise": now[change.changed["exercise_as_written"]].exercise})
    con.execute("update sets set kind = 'work' where name_key = ? and exercise is null and kind_source = 'assumed'", [key])
    mark_stale(con, {athlete: day for athlete, day, _ in touched})
    warm_ups.assume(con, "select distinct athlete, date, exercise from sets where name_key = $key and exercise is not null", {"key": key})
    return sum(count for *_, count in touched)


def _now(kind: tuple[str, str | None, str | None, str], was: Any, now: Any) -> tuple[str | None, str | None]:
    """Exercise and modifiers of one kind of set: what the file itself said, and what the name means now."""
    _, exercise, modifiers, side = kind
    was = with_thing(was, thing_in(modifiers or ""))
    from_name = set(was.modifiers.split(";"))
    own = ";".join(part for part in (modifiers or "").split(";") if part not in from_name)
    own_id = exercise or "" if was.exercise is None else ""
    return exercise_of(now, own_id, own, side)[:2]


def put(con: Any, key: str, own: list[int], rows: list[tuple]) -> None:
    """rows: written name, exercise, modifiers and side as they are, then exercise and modifiers as they are to be; all at once."""
    names = ("written", "exercise", "modifiers", "side", "new_exercise", "new_modifiers")
    con.register("settled", pd.DataFrame(rows, columns=names, dtype="str"))
    con.execute(
        f"update sets set exercise = t.new_exercise, modifiers = t.new_modifiers from settled t where {THEIRS} "
        "and sets.exercise_as_written = t.written and sets.exercise is not distinct from t.exercise and sets.modifiers is not distinct from t.modifiers and sets.side = t.side", [key, own])
    con.unregister("settled")
