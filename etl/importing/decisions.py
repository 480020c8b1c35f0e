"""What a person decides once and what holds for every file after it."""

from __future__ import annotations

from pathlib import Path

from etl.names import normalise_name
from etl.store import imports as writer
from etl.store import warm_ups, writing


def decide(path: str | Path, name: str, exercise: str, modifiers: str = "") -> int:
    """Settle what a name means, for the sets in the store and every later file. Returns how many sets it settled."""
    key = normalise_name(name)
    with writing(path) as con:
        con.execute("insert or replace into name_decisions values (?, ?, ?, now()::timestamp)", [key, exercise, modifiers])
        touched = con.execute("select athlete, min(date), count(*) from sets where name_key = ? group by athlete", [key]).fetchall()
        con.execute("update sets set exercise = ?, modifiers = coalesce(modifiers, nullif(?, '')) where name_key = ?", [exercise, modifiers, key])
        writer.mark_stale(con, {athlete: day for athlete, day, _ in touched})
        warm_ups.assume(con, "select distinct athlete, date, exercise from sets where name_key = $key", {"key": key})
    return sum(count for *_, count in touched)
