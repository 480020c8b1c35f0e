"""Which columns of a file are understood together, and which columns of the set log each group of them decides."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from etl.columns import MODIFIER_FIELDS, Column
from etl.fast.parse import Layout, Unfit

# Passed through as they stand, but for the blanks around them; a cell that says nothing is empty in `session` and `tempo`.
PASSED = ("note", "session", "tempo")
DECIDES: dict[tuple[str, ...], tuple[str, ...]] = {
    ("athlete",): ("athlete",),
    ("date", "planned"): ("date", "time", "session", "planned"),
    ("time",): ("time",),
    ("exercise", "exercise_id", "modifiers", *MODIFIER_FIELDS, "side"): ("exercise_as_written", "exercise", "name_key", "modifiers", "side"),
    ("reps", "hold"): ("reps", "hold_s"),
    ("load", "unit", "load_estimated"): ("load_kg", "load_estimated"),
    ("body_mass", "unit"): ("body_mass_kg",),
    ("set_no", "kind", "kind_source"): ("set_no", "kind", "kind_source"),
    ("round_no",): ("round_no",), ("range",): ("range",), ("rpe",): ("rpe",), ("rir",): ("rir",), ("limited_by",): ("limited_by",),
    ("pain_place",): ("pain_place",), ("pain_score",): ("pain_score",), ("session_rpe",): ("session_rpe",), ("minutes",): ("minutes",),
    ("rest",): ("rest_s",),
}


class Group(NamedTuple):
    """positions: of its columns in the file, with the field of each. decides: columns of the set log."""

    positions: tuple[int, ...]
    fields: tuple[str, ...]
    decides: tuple[str, ...]


def groups_of(columns: Sequence[Column]) -> list[Group]:
    """The groups that a file has columns of. Raises Unfit for a file whose rows may hold anything but one set each."""
    position = {c.field: c.position for c in columns if c.field}
    known = {field for fields in DECIDES for field in fields} | set(PASSED)
    if any(c.part for c in columns) or len(position) != sum(c.field is not None for c in columns) or not set(position) <= known:
        raise Unfit("rows that may hold several sets, or a part of one")
    if not {"date", "exercise"} <= set(position) or not {"reps", "hold"} & set(position):
        raise Unfit("no repetitions or seconds")
    found = []
    for fields, decides in DECIDES.items():
        here = tuple(f for f in fields if f in position)
        if here and here != ("unit",):
            found.append(Group(tuple(position[f] for f in here), here, decides))
    return found


def layout_of(columns: Sequence[Column], groups: Sequence[Group], delimiter: str, width: int) -> Layout:
    """Where the groups stand in a row of `width` cells."""
    grouped = {p for group in groups for p in group.positions}
    return Layout(delimiter, width, tuple(g.positions for g in groups), tuple(p for p in range(width) if p not in grouped))
