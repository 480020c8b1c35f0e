"""Columns that say what was planned, and whether it was done or what was done of it."""

from __future__ import annotations

from collections.abc import Collection, Mapping

import pandas as pd

from etl import notation
from etl.columns import content
from etl.columns.column import Column, ColumnQuestion
from etl.columns.done_cells import NUMBER, UNKNOWN, WORK, done_cells
from etl.columns.headers import is_named
from etl.columns.parts import WORK_FIELDS
from etl.notation.blanks import by_distinct
from etl.read import TextTable

HALF_OF_A_KIND = 0.5  # [D] share of a column's cells that have to read as what its header says
SURE = 0.9  # [D] confidence of a plan and what was done of it, named as such
EMPTY = "it is named for what was done, and it is empty"
BESIDE = "beside"  # the unit of a plan beside rows that say what was done: it gives their plan, and is not their work
TICKS, SETS, REPS = "ticks", "set_count", "reps"  # what a column of `done` speaks of; WORK where it says whole sets


def read(table: TextTable, columns: Mapping[int, Column], closed: Collection[str], said: Collection[int]) -> dict[int, Column]:
    """The columns with `plan` and `done` among them. said: positions that the user named. Raises ColumnQuestion for numbers of which it is open what they count."""
    columns = _beside(table, columns, closed, said)
    free = {p: c for p, c in columns.items() if p not in said and not c.part}
    done = [p for p, c in free.items() if c.field in (None, "planned", "work") and is_named(c.header, "done")]
    if len(done) > 1 or {"plan", "done", "planned"} & set(closed):
        return dict(columns)
    pair = _plan(table, columns, free, done, closed)
    if pair is not None:
        return pair
    if not done or free[done[0]].field == "work" or not _others(columns, done) & set(WORK_FIELDS):
        return dict(columns)  # where nothing else holds the work, it may be the work
    return {**columns, done[0]: _done(table, columns, free[done[0]])}


def _plan(table: TextTable, columns: Mapping[int, Column], free: Mapping[int, Column], done: list[int], closed: Collection[str]) -> dict[int, Column] | None:
    """Columns with the plan, and what was done beside it, where the plan alone holds the work; None where there is no such plan."""
    plans = [p for p, c in free.items() if c.field in (None, "planned", "note") and p not in done and is_named(c.header, "plan") and _holds_work(table, p)]
    if len(plans) != 1 or _others(columns, done) & set(WORK_FIELDS) or set(closed) & set(WORK_FIELDS):
        return None
    plan = Column(plans[0], table.header[plans[0]], "plan", "", SURE, "its header says that it was planned, and it holds sets and repetitions")
    found = {**columns, plan.position: plan}
    if done:
        header = table.header[done[0]]
        found[done[0]] = Column(done[0], header, "done", WORK, SURE, f'it says what was done of "{plan.header}"')
    return found


def _beside(table: TextTable, columns: Mapping[int, Column], closed: Collection[str], said: Collection[int]) -> dict[int, Column]:
    """The columns with a plan beside rows whose work other columns hold: as the user named it, else by its header and its shorthand."""
    plans = [p for p, c in columns.items() if c.field == "plan"]
    if not plans and "plan" not in closed:
        plans = [p for p, c in columns.items() if p not in said and not c.part and c.field in (None, "planned", "note") and is_named(c.header, "plan") and _holds_shorthand(table, p)]
    done = [p for p, c in columns.items() if p not in said and c.field in (None, "planned", "work") and is_named(c.header, "done")]
    if len(plans) != 1 or "done" in closed or not _others(columns, {*plans, *done}) & set(WORK_FIELDS):
        return dict(columns)
    plan = columns[plans[0]]
    reason = plan.reason if plan.field == "plan" else "its header says that it was planned, it holds sets and repetitions, and other columns hold what was done"
    return {**columns, plan.position: Column(plan.position, plan.header, "plan", BESIDE, plan.confidence if plan.field == "plan" else SURE, reason)}


def _others(columns: Mapping[int, Column], done: Collection[int]) -> set[str]:
    """The fields of the columns but those of what was done."""
    return {c.field for p, c in columns.items() if p not in done and c.field} | {f for c in columns.values() for f, _ in c.gives}


def _done(table: TextTable, columns: Mapping[int, Column], column: Column) -> Column:
    cells = table.rows.iloc[:, column.position]
    blank = notation.is_blank(cells)
    if blank.all():
        return Column(column.position, column.header, None, "", 0.0, EMPTY) if column.field else column
    filled = cells[~blank]
    clear = (notation.booleans(filled) != "") | (notation.states(filled) != "")
    if clear.all() and not blank[(table.rows != "").any(axis=1)].any():
        return column
    kinds = done_cells(filled).map(lambda found: found.kind)
    if kinds.isin([UNKNOWN]).mean() > HALF_OF_A_KIND or content.dates(filled).any():
        return column
    counts = _counts(table, columns, column, cells) if not clear.all() and kinds.isin([NUMBER, WORK]).any() else TICKS
    return Column(column.position, column.header, "done", counts, SURE, "its header says that it tells what was done")


def _counts(table: TextTable, columns: Mapping[int, Column], column: Column, cells: pd.Series) -> str:
    """What the numbers of the column count: sets or repetitions. Raises ColumnQuestion where it may be both."""
    by_field = {c.field: c for c in columns.values() if c.field and not c.part}
    there = [field for field in (SETS, REPS) if field in by_field]
    if len(there) < 2:
        return there[0] if there else TICKS
    done, sets = (notation.read_numbers(texts, ".") for texts in (cells, table.rows.iloc[:, by_field[SETS].position]))
    both = done.notna() & sets.notna()
    if not both.any():
        return REPS  # lists, such as 8/8/4
    if (done[both] <= sets[both]).all() and (done[both] == sets[both]).any():
        return SETS
    raise ColumnQuestion(f'"{column.header}" holds numbers beside sets and repetitions, and which of the two they count is not said', table.name,
                         f'Say which it is: --columns "set_count={column.header}" or --columns "reps={column.header}".', about=(column.position,))


def _holds_shorthand(table: TextTable, position: int) -> bool:
    """Whether most cells are sets and repetitions: of plain numbers, as under "Target", it is not known what they count."""
    cells = content.sample_of(table.rows.iloc[:, position])
    return bool(len(cells)) and float(by_distinct(cells, lambda cell: isinstance(notation.shorthand(cell), list), "bool").mean()) >= HALF_OF_A_KIND


def _holds_work(table: TextTable, position: int) -> bool:
    cells = content.sample_of(table.rows.iloc[:, position])
    return bool(len(cells)) and float(content.work(cells).mean()) >= HALF_OF_A_KIND
