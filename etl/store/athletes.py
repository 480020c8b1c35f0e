"""What a person has said of an athlete: level, focus, equipment, and whether untagged warm-ups are assumed."""

from __future__ import annotations

import json
from pathlib import Path

from etl.store.connection import writing
from etl.store.imports import mark_stale
from etl.store.warm_ups import assume


def say(store: str | Path, name: str, *, level: str | None = None, focus: list[str] | None = None, equipment: list[str] | None = None,
        warm_ups: str | None = None, equation: str | None = None) -> None:
    """Write what was said (None: nothing), and mark the athlete's standing as stale. focus: part ids, [] for the default.

    level: beginner, intermediate or advanced. warm_ups: assumed, or logged where only tagged sets are warm-ups.
    equation: the name of the one-repetition-maximum equation.
    """
    with writing(store) as con:
        con.execute("insert into athletes (athlete) values (?) on conflict do nothing", [name])
        if level:
            con.execute("update athletes set level = ?, level_said = true where athlete = ?", [level, name])
        if equation:
            con.execute("update athletes set equation = ? where athlete = ?", [equation, name])
        for column, value in (("focus", focus), ("equipment", equipment)):
            if value is not None:
                con.execute(f"update athletes set {column} = ? where athlete = ?", [json.dumps(value), name])
        if warm_ups:
            con.execute("update athletes set assume_warm_ups = ? where athlete = ?", [warm_ups == "assumed", name])
            assume(con, "select distinct athlete, date, exercise from sets where athlete = $name and exercise is not null", {"name": name})
        first = con.execute("select min(date) from sets where athlete = ?", [name]).fetchall()[0][0]
        if first is not None:
            mark_stale(con, {name: first})
