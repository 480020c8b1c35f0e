"""Rows that hold no training of their own: a second header, and a date or a name that stands alone over the rows below."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pandas as pd

from etl import notation
from etl.columns import Column
from etl.columns.between import NAMED, lone_names
from etl.columns.by_content import HEADING
from etl.columns.content import dates
from etl.columns.headers import fields_named
from etl.notation.blanks import by_distinct
from etl.read import TextTable
from etl.told import LOOK

HEADERS_AGREE = 0.6  # [D] share of a row's cells that have to be known header words for it to be a second header
MOST_HEADERS = 200  # [D] rows without a digit that are looked at for a header
UNREAD = "\x00"  # stands for a heading that is no date
HEADING_FIELDS = ("date", "time", "session", "exercise", "athlete")


def second_header(table: TextTable) -> TextTable:
    """The table with its first row joined to the header where that row is the header once more, in another language."""
    if table.rows.empty:
        return table
    first = table.rows.iloc[0].str.strip().tolist()[:len(table.header)]
    filled = [cell for cell in first if cell]
    known = [cell for cell in filled if fields_named(cell)]
    if len(known) < 2 or len(known) < HEADERS_AGREE * len(filled) or first == table.header:
        return table
    header = [h if not cell or cell == h else f"{h} / {cell}" if h else cell for h, cell in zip(table.header, first, strict=True)]
    return replace(table, header=header, rows=table.rows.iloc[1:].reset_index(drop=True), line_no=table.line_no[1:], width=table.width[1:],
                   notes=[*table.notes, f"line {table.line_no[0]} read as a second line of the header"])


def later_header(table: TextTable) -> int | None:
    """Position of a row that is a header of its own and not the first one over again, None where there is none.

    Below it stands another table, whose columns need not be those of the first.
    """
    first = [name.strip() for name in table.header]
    for at in _candidates(table):
        cells = [cell.strip() for cell in table.rows.iloc[at, :len(first)]]
        filled = [cell for cell in cells if cell]
        if cells != first and len(filled) > 2 and sum(bool(fields_named(cell)) for cell in filled) >= HEADERS_AGREE * len(filled):
            return at
    return None


def _candidates(table: TextTable) -> np.ndarray:
    """Rows that hold no digit at all, and a header's word in the column of the date: few, where any."""
    if table.rows.empty:
        return np.zeros(0, dtype=int)
    no_digit = np.ones(len(table.rows), dtype=bool)
    for position in range(min(len(table.header), table.rows.shape[1])):
        no_digit &= ~table.rows.iloc[:, position].str.contains(r"\d", regex=True).to_numpy(dtype=bool)
    return np.flatnonzero(no_digit)[:MOST_HEADERS]


def dates_as_headings(table: TextTable, columns: Sequence[Column], cells: pd.DataFrame) -> tuple[pd.DataFrame, np.ndarray]:
    """Dates that stand alone in the column of exercises, put over the rows below. The cells, and which rows were headings."""
    if not any(c.part == HEADING and c.field == "date" for c in columns):
        return cells, np.zeros(len(table.rows), dtype=bool)
    written = cells["exercise"]
    is_date = written.ne("") & (dates(written) | notation.lack_year(written, notation.SIGNED))
    # A heading with a digit or a weekday that is no date ends what the one above it said: its rows have no date.
    alone = ((table.rows != "").sum(axis=1) == 1).set_axis(written.index) & written.ne("")
    broken = alone & ~is_date & (written.str.contains(r"\d", regex=True) | by_distinct(written, notation.is_weekday, "bool"))
    date = written.where(is_date).mask(broken, UNREAD).ffill().fillna("").replace(UNREAD, "")
    return cells.assign(date=date, exercise=written.mask(is_date, "")), is_date.to_numpy()


def names_as_headings(table: TextTable, columns: Sequence[Column], cells: pd.DataFrame) -> tuple[pd.DataFrame, np.ndarray]:
    """Names that stand alone, put over the rows below as their athlete or session. The cells, and which rows were headings."""
    heads = np.zeros(len(table.rows), dtype=bool)
    for column in columns:
        if column.part == HEADING and column.field in NAMED:
            lone = lone_names(table, column.position)
            written = table.rows.iloc[:, column.position].set_axis(cells.index)
            cells, heads = cells.assign(**{column.field: written.where(lone).ffill().fillna("").str.strip()}), heads | lone
    return cells, heads


def lone_name(table: TextTable, columns: Sequence[Column]) -> list[str]:
    """A sentence where one name stands alone in a row and no column names the athletes: it may be whose sets stand below."""
    if any(c.field == "athlete" for c in columns) or not ((table.rows != "").sum(axis=1) == 1).any():
        return []
    for position in range(len(table.header)):
        found = np.flatnonzero(lone_names(table, position))
        if len(found) and table.rows.iloc[found, position].nunique() == 1:
            return [f'{LOOK}"{table.rows.iloc[found[0], position].strip()}" stands alone in line {table.line_no[found[0]]}: where it is the name of an athlete whose sets '
                    f'stand below, say --columns "athlete=#{position + 1}"']
    return []


def headings(table: TextTable, columns: Sequence[Column], cells: pd.DataFrame) -> np.ndarray:
    """True for rows whose filled cells are all of a kind that blanks below repeat: a date alone, an exercise alone.

    A row counts only where the next row leaves blank what this one says.
    """
    if not len(table.rows):
        return np.zeros(0, dtype=bool)
    filled = (table.rows != "").to_numpy()
    heading_columns = [c.position for c in columns if c.field in HEADING_FIELDS and not c.part]
    own = np.zeros(table.rows.shape[1], dtype=bool)
    own[heading_columns] = True
    only = filled.any(axis=1) & ~filled[:, ~own].any(axis=1)
    below_blank = np.zeros(len(filled), dtype=bool)
    for field in ("date", "exercise"):
        if field in cells:
            said = (cells[field].str.strip() != "").to_numpy()
            next_blank = np.append(~said[1:], False)
            below_blank |= said & next_blank
    if {"date", "exercise"} <= set(cells):
        # A row with both and no work is a set that was not done, not a heading.
        below_blank &= ~np.logical_and.reduce([(cells[f].str.strip() != "").to_numpy() for f in ("date", "exercise")])
    return only & below_blank
