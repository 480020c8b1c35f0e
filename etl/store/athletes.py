"""What a person has said of an athlete: level, focus, equipment, and whether untagged warm-ups are assumed."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path

from etl.refusal import Refusal
from etl.settings import RULES
from etl.store import known
from etl.store.connection import reading, writing
from etl.store.imports import mark_stale
from etl.store.warm_ups import assume

SHOWN_UNITS = ("kg", "lb")
SHOWS = ("decisions", "notes", "pain", "body_mass")
MOST_LOADS, HEAVIEST_KG = 100, 500.0
# Whether most loads of an athlete's log are whole quarters of a pound and not of a kilogram. The log is kept in kg, exactly as it was written.
MOSTLY_LB = """
select count(*) filter (where abs(load_kg / $lb * 4 - round(load_kg / $lb * 4)) < 1e-3 and abs(load_kg * 4 - round(load_kg * 4)) >= 1e-3) * 2 > count(*) as lb
from sets where athlete = $athlete and load_kg > 0 and not planned and not coalesce(load_estimated, false)
""".replace("$lb", repr(RULES.pound_kg)).replace("$athlete", "?")


@dataclass(frozen=True)
class Settings:
    """What was said of an athlete. loads: kg in one hand, rising; () where nothing was said. shows: of SHOWS.

    shown_unit: kg or lb; where nobody said it, the one that most of the log is written in.
    """

    level: str
    level_said: bool
    focus: tuple[str, ...]
    equipment: tuple[str, ...]
    warm_ups: str
    equation: str
    shown_unit: str
    shown_unit_said: bool
    loads: tuple[float, ...]
    shows: tuple[str, ...]


def settings(store: str | Path, name: str) -> Settings:
    """Raises Refusal for an athlete that the store does not have."""
    with reading(store) as con:
        found = con.execute("select level, level_said, focus, equipment, assume_warm_ups, equation, shown_unit, loads, shows from athletes where athlete = ?",
                            [name]).fetchall()
        people = known.athletes(con)
        in_lb = con.execute(MOSTLY_LB, [name]).fetchall()[0][0]
    if not found:
        raise known.nobody(name, people, more=" Say --level to add one.")
    level, said, focus, equipment, assumed, equation, unit, loads, shows = found[0]
    return Settings(level, said, *(tuple(json.loads(text or "[]")) for text in (focus, equipment)), "assumed" if assumed else "logged", equation, unit or ("lb" if in_lb else "kg"), unit is not None,
                    *(tuple(json.loads(text or "[]")) for text in (loads, shows)))


def say(store: str | Path, name: str, *, level: str | None = None, focus: list[str] | None = None, equipment: list[str] | None = None,
        warm_ups: str | None = None, equation: str | None = None, shown_unit: str | None = None, loads: list[float] | None = None,
        shows: list[str] | None = None) -> None:
    """Write what was said (None: nothing), and mark the athlete's standing as stale. focus: part ids, [] for the default.

    level: beginner, intermediate or advanced. warm_ups: assumed, or logged where only tagged sets are warm-ups.
    equation: the name of the one-repetition-maximum equation. shown_unit: kg or lb. loads: those in the house, kg in one hand, rising;
    [] for any. shows: what of SHOWS a client may see beside the training. Raises Refusal for what is not among these.
    """
    _check(shown_unit, loads, shows)
    with writing(store) as con:
        con.execute("insert into athletes (athlete) values (?) on conflict do nothing", [name])
        if level:
            con.execute("update athletes set level = ?, level_said = true where athlete = ?", [level, name])
        if equation:
            con.execute("update athletes set equation = ? where athlete = ?", [equation, name])
        if shown_unit:
            con.execute("update athletes set shown_unit = ? where athlete = ?", [shown_unit, name])
        for column, value in (("focus", focus), ("equipment", equipment), ("loads", loads), ("shows", shows)):
            if value is not None:
                con.execute(f"update athletes set {column} = ? where athlete = ?", [json.dumps(value), name])
        if warm_ups:
            con.execute("update athletes set assume_warm_ups = ? where athlete = ?", [warm_ups == "assumed", name])
            assume(con, "select distinct athlete, date, exercise from sets where athlete = $name and exercise is not null", {"name": name})
        if all(value is None for value in (level, focus, equipment, warm_ups, equation, loads)):
            return  # how something is shown changes nothing that was worked out
        first = con.execute("select min(date) from sets where athlete = ?", [name]).fetchall()[0][0]
        if first is not None:
            mark_stale(con, {name: first})


def _check(shown_unit: str | None, loads: list[float] | None, shows: list[str] | None) -> None:
    if shown_unit is not None and shown_unit not in SHOWN_UNITS:
        raise Refusal(f"Loads cannot be shown in '{shown_unit}'", "", f"It is one of: {', '.join(SHOWN_UNITS)}.")
    if loads is not None and (len(loads) > MOST_LOADS or loads != sorted(set(loads)) or not all(0 < load <= HEAVIEST_KG for load in loads)):
        raise Refusal("The loads in the house cannot be so", "", f"Up to {MOST_LOADS} different numbers over 0 and up to {HEAVIEST_KG:g} kg, the lightest first.", field="loads")
    if strange := set(shows or ()) - set(SHOWS):
        raise Refusal(f"A client cannot be shown '{sorted(strange)[0]}'", "", f"It is one of: {', '.join(SHOWS)}.")
