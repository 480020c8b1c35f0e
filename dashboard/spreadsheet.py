"""Tables as CSV that a spreadsheet opens: no cell of it is taken for a formula.

The package that `evenset export` writes is faithful to the log; this is for people, and marks such cells.
"""

from __future__ import annotations

import re

import pandas as pd

from dashboard.sentences.numbers import MINUS

# What a spreadsheet takes for the beginning of a formula, in both widths, and what it passes over before one.
BEGINNINGS = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
MARK = "'"
# A number as pages write it, with a true minus and thin spaces, which a spreadsheet takes for text.
WRITTEN = re.compile(rf"{MINUS}?\d[\d\u202f]*(\.\d+)?")


def csv(table: pd.DataFrame) -> bytes:
    """The table with its headings, without its index, as CSV in UTF-8 with the mark by which spreadsheets know it.

    Text that begins like a formula gets an apostrophe before it; numbers, negative ones too, stay numbers, or become such where they are
    written for reading. Days are ISO dates.
    """
    plain = pd.DataFrame({name: _plain(table[name]) for name in table.columns}, index=table.index)
    return plain.rename(columns=_harmless).to_csv(index=False, lineterminator="\r\n").encode("utf-8-sig")


def _plain(column: pd.Series) -> pd.Series:
    if pd.api.types.is_datetime64_any_dtype(column):
        return column.dt.strftime("%Y-%m-%d")
    return column if pd.api.types.is_numeric_dtype(column) else column.map(_harmless)


def _harmless(cell: object) -> object:
    if not isinstance(cell, str):
        return cell
    if WRITTEN.fullmatch(cell):
        return cell.replace(MINUS, "-").replace("\u202f", "")
    return MARK + cell if cell.startswith(BEGINNINGS) else cell
