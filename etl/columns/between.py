"""Names that stand alone in rows between the others, as headings of the rows below: of athletes, or of something else."""

from __future__ import annotations

import functools
import re
from collections.abc import Callable, Collection, Mapping, Sequence

import numpy as np
import pandas as pd

from etl import notation
from etl.columns.by_content import HEADING
from etl.columns.column import Column, ColumnQuestion
from etl.columns.headers import fields_named, words_of
from etl.notation.blanks import by_distinct
from etl.read import TextTable
from etl.tables import cell_words, name_words

NAMED = ("athlete", "session")  # what such a heading may name
_NAME = re.compile(r"[^\W\d_][^\W\d_'’.-]*(?: [^\W\d_][^\W\d_'’.-]*){0,2}")


def lone_names(table: TextTable, position: int) -> np.ndarray:
    """True for rows with nothing but one cell in this column that is written like a name, and is no date or word of the trade."""
    cells = table.rows.iloc[:, position]
    alone = (cells != "") & ((table.rows != "").sum(axis=1) == 1)
    return (alone & by_distinct(cells.where(alone, ""), _is_name, "bool")).to_numpy()


def said_of_headings(table: TextTable, said: Mapping[str, int]) -> list[Column]:
    """What the user named as the column of athletes or sessions where it is another column with such names between its cells."""
    found = []
    for field in NAMED:
        if field in said and (lone := lone_names(table, said[field])).any() and ((table.rows.iloc[:, said[field]] != "").to_numpy() & ~lone).any():
            found.append(Column(said[field], table.header[said[field]], field, "", 1.0, "you said so: its names stand alone, as headings of the rows below", HEADING))
    return found


def ask(table: TextTable, columns: Sequence[Column], closed: Collection[str], is_exercise: Callable[[str], bool]) -> None:
    """Raise ColumnQuestion where several names stand alone in rows between the others and no column names the athletes."""
    if "athlete" in closed or any(c.field == "athlete" or c.field == "session" and c.part for c in columns):
        return
    for position in range(len(table.header)):
        lone = lone_names(table, position)
        heads = lone & np.append(~lone[1:], False)
        names = list(dict.fromkeys(table.rows.iloc[heads, position].str.strip()))
        if len(names) > 1 and not any(map(is_exercise, names)):
            raise ColumnQuestion(f'"{names[0]}" and "{names[1]}" stand alone in rows between the others, as names of athletes do whose sets stand below', table.name,
                                 f'Say what they name: --columns "athlete=#{position + 1}" or --columns "session=#{position + 1}"; '
                                 'where it is neither, --columns "athlete=-".', about=(position,))


def _is_name(cell: str) -> bool:
    text = cell.strip()
    one = pd.Series([text], dtype="str")
    if not _NAME.fullmatch(text) or not all(word[0].isupper() for word in text.split()) or fields_named(text) or notation.is_weekday(text):
        return False
    return not notation.totals(one).iloc[0] and not notation.is_blank(one).iloc[0] and not set(words_of(text)) & _trade_words()


@functools.cache
def _trade_words() -> frozenset[str]:
    return frozenset(word for phrase in [*name_words()["written"], *cell_words()["words"]] for word in words_of(phrase))
