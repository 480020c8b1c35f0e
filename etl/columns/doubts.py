"""Columns that two sensible people would read in two ways: asked about, with the answer to give."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Protocol

import numpy as np
import pandas as pd

from etl import notation
from etl.columns.by_content import name_and_work
from etl.columns.column import Column, ColumnQuestion
from etl.columns.content import FITS, sample_of
from etl.columns.headers import fields_named, names_exertion, says_something_else, words_of
from etl.columns.numbering import RUNNING, numbers, running
from etl.columns.parts import WORK_FIELDS
from etl.notation.blanks import by_distinct
from etl.notation.effort import HARD
from etl.notation.loads import IN_KG
from etl.read import TextTable
from etl.settings import RULES
from etl.told import the

ASKED = ("load", "reps")  # fields that a wrong column would spoil without a sign
BODY_WORDS = frozenset("weight weights gewicht poids peso".split())  # words that mean a load and a body's mass alike
BODY_FROM, BODY_TO = 35.0, 200.0  # [D] kg or lb, stones as kg: outside it a number is no adult's mass in either unit, or rarely one
MOST_REPS = 30  # [D] a plain number above this is rather a load
DAYS_SEEN = 2  # [D] days with several exercises under one number before it is asked about
AS_FULL = 0.9  # [D] a column that is blanker than this share of the other is the lesser of two, and is said to be passed over
UNIT_NEAR = 0.02  # [D] how near two columns of one load in both units have to come
BROKEN = 0.1  # [D] share of numbers that are not whole from which on a column holds no repetitions


class Claims(Protocol):
    """A column's claim to a field, as `assign` makes it."""

    position: int
    field: str
    confidence: float
    fit: float
    filled: float


def two_columns(table: TextTable, claims: Sequence[Claims], columns: Sequence[Column], said: Mapping[str, int]) -> None:
    """Raise ColumnQuestion where a second column is named for the load or the repetitions just as well, and holds something else."""
    for field in ASKED:
        taken = next((c for c in columns if c.field == field and not c.part), None)
        if taken is None or field in said:
            continue
        own = next((c for c in claims if (c.position, c.field) == (taken.position, field)), None)
        used = {c.position for c in columns if c.field}
        rivals = [c for c in claims if own and c.field == field and c.position not in used and c.confidence >= own.confidence and c.fit >= FITS]
        for rival in rivals:
            alone = (table.rows.iloc[:, rival.position] != "") & (table.rows.iloc[:, taken.position] == "")
            as_full = rival.filled >= AS_FULL * own.filled
            if field == "load" and alone.any() or as_full and _differ(table.rows.iloc[:, taken.position], table.rows.iloc[:, rival.position]):
                raise ColumnQuestion(f'"{taken.header}" and "{table.header[rival.position]}" are both named for {the(field)}, and they differ', table.name,
                                     f'Say which it is: --columns "{field}=HEADER".', about=(taken.position, rival.position))


def load_or_body_mass(table: TextTable, columns: Sequence[Column], said: Mapping[str, int]) -> None:
    """Raise ColumnQuestion where a column "weight" holds one number for all exercises of a day: that is how body mass is written."""
    by_field = {c.field: c for c in columns if not c.part}
    load, date, exercise = (by_field.get(field) for field in ("load", "date", "exercise"))
    if not (load and date and exercise) or "load" in said or "body_mass" in said or "body_mass" in by_field or not BODY_WORDS & set(words_of(load.header)):
        return
    cells = [table.rows.iloc[:, c.position].str.strip() for c in (load, date, exercise)]
    value = notation.read_loads(cells[0])["value"] * (IN_KG["st"] if load.unit == "st" else 1.0)
    frame = pd.DataFrame({"value": value, "day": cells[1].mask(cells[1] == "").ffill(), "exercise": cells[2].mask(cells[2] == "").ffill()}).dropna()
    by_day = frame.groupby("day").agg(values=("value", "nunique"), exercises=("exercise", "nunique"))
    several = by_day[by_day["exercises"] > 1]
    like_a_body = frame["value"].between(BODY_FROM, BODY_TO).all()
    if len(several) >= DAYS_SEEN and (several["values"] == 1).all() and frame["value"].nunique() > 1 and like_a_body:
        raise ColumnQuestion(f'"{load.header}" holds one number for all exercises of a day, as a body\'s mass does, and it may be the load', table.name,
                             f'Say which it is: --columns "load={load.header}" or --columns "body_mass={load.header}".', about=(load.position,))


def numbered_or_counted(table: TextTable, columns: Sequence[Column], said: Mapping[str, int]) -> None:
    """Raise ColumnQuestion where a column's numbers run on within an exercise in part: some of them may number sets, and some count them.

    A column "round" in a row for all exercises of a circuit is asked about as well where it cannot number the rounds.
    """
    by_field = {c.field: c for c in columns if not c.part}
    day, exercise = (_cells(table, by_field.get(field)) for field in ("date", "exercise"))
    for number, count in (("set_no", "set_count"), ("round_no", "round_count")):
        column = by_field.get(number) or by_field.get(count)
        of_parts = {field for c in columns for field, _ in c.gives}
        if column is None or {number, count} & set(said) or number in of_parts:
            continue
        share = running(_cells(table, column), day, exercise)
        either = {number, count} <= {n.field for n in fields_named(column.header)}
        circuit = number == "round_no" and column.field == number and "exercise" in of_parts
        if share is not None and (either and numbers(share) is None or circuit and share <= 1 - RUNNING):
            what = number.removesuffix("_no")
            raise ColumnQuestion(f'"{column.header}" may number the {what}s or say how many there were, and its numbers fit neither in every row',
                                 table.name, f'Say which it is: --columns "{number}={column.header}" or --columns "{count}={column.header}".', about=(column.position,))


def _cells(table: TextTable, column: Column | None) -> pd.Series:
    return pd.Series("", index=table.rows.index, dtype="str") if column is None else table.rows.iloc[:, column.position]


def loads_or_repetitions(table: TextTable, columns: Sequence[Column]) -> None:
    """Raise ColumnQuestion where a column for each day holds plain numbers of which some can only be loads: the repetitions are then nowhere."""
    days = [c for c in columns if c.field == "work" and "date" in dict(c.gives)]
    if not days or any(c.field == "load" for c in columns):
        return
    cells = pd.concat([table.rows.iloc[:, c.position] for c in days])
    plain = notation.read_numbers(cells[cells.str.fullmatch(r"\s*\d+(?:[.,]\d+)?\s*")])
    loads = (plain > MOST_REPS) | (plain % 1 != 0)
    if len(plain) and loads.mean() >= FITS:
        raise ColumnQuestion(f'The columns of days, such as "{days[0].header}", hold plain numbers that look like loads, and no repetitions', table.name,
                             "Write sets, repetitions and load into the cells (3x8 @ 60 kg), or one row per set.")


def unnamed_repetitions(table: TextTable, columns: Sequence[Column], closed: Collection[str]) -> None:
    """Raise ColumnQuestion where nothing holds repetitions or seconds, and columns that are not read hold whole numbers or sets in shorthand."""
    have = {c.field for c in columns} | {field for c in columns for field, _ in c.gives}
    exercise = next((c for c in columns if c.field == "exercise" and not c.part), None)
    if have & {*WORK_FIELDS, "plan", "done"} or set(closed) & {*WORK_FIELDS, "plan"} or exercise is None:
        return
    if by_distinct(sample_of(_cells(table, exercise)), lambda cell: bool(name_and_work(cell)[1]), "bool").any():
        return  # the sets stand behind the exercise's name
    found = [c.header for c in columns if c.field is None and c.header and not says_something_else(c.header) and _like_repetitions(_cells(table, c))]
    if found:
        which = " and ".join(f'"{header}"' for header in found[:2])
        raise ColumnQuestion(f"No column is recognised as the repetitions, and {which} {'holds' if len(found) == 1 else 'hold'} whole numbers or sets in shorthand", table.name,
                             f'Say which it is: --columns "reps={found[0]}", or "hold={found[0]}" for seconds; where no column holds them, --columns "reps=-".')


def _like_repetitions(cells: pd.Series) -> bool:
    """Whether most cells are whole numbers that may be repetitions, or sets in shorthand: 10, 9, 3x10, 2x45s. Where some are 12.5, they are loads."""
    cells = sample_of(cells)
    numbers = notation.read_numbers(cells)
    whole = (numbers % 1 == 0) & numbers.between(1, RULES.reps_max)
    short = by_distinct(cells, lambda cell: isinstance(notation.shorthand(cell), list), "bool")
    return bool(len(cells)) and float((whole | short).mean()) >= FITS and float((numbers % 1 > 0).mean()) <= BROKEN


def _differ(one: pd.Series, other: pd.Series) -> bool:
    """Whether two columns say different numbers in a row. One load in two units is no difference."""
    values = [notation.read_loads(cells)["value"] for cells in (one, other)]
    both = values[0].notna() & values[1].notna() & (values[0] > 0) & (values[1] > 0)
    if not both.any():
        return False
    ratio = (values[0][both] / values[1][both]).to_numpy()
    same = [np.abs(ratio / (one / other) - 1) <= UNIT_NEAR for one in IN_KG.values() for other in IN_KG.values()]
    return not any(near.all() for near in same)


def effort_or_reserve(table: TextTable, columns: Sequence[Column], said: Mapping[str, int]) -> None:
    """Raise ColumnQuestion where a column "Effort" never says more than 5: so low, it may be repetitions in reserve."""
    column = next((c for c in columns if c.field == "rpe" and not c.part), None)
    if column is None or "rpe" in said or names_exertion(column.header):
        return
    cells = table.rows.iloc[:, column.position]
    values = notation.read_efforts(cells)[notation.effort_scales(cells) == ""].dropna()
    if len(values) and values.max() <= HARD:
        raise ColumnQuestion(f'"{column.header}" never says more than {values.max():g}: it may be repetitions in reserve, or an effort (RPE)', table.name,
                             f'Say which it is: --columns "rir={column.header}" or --columns "rpe={column.header}", or --columns "rpe=-" for neither.', about=(column.position,))
