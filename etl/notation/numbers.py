"""Numbers with a decimal point or a decimal comma, and marks between thousands."""

from __future__ import annotations

import re

import pandas as pd

from etl.notation.blanks import by_distinct, plain

LONGEST = 200  # [D] characters: no number, date, load or shorthand is longer, and a longer cell is not looked at
NUMBER = r"[+-]?\s?(?:\d[\d.,'\u2019½]*|[.,]\d+|½)"  # what may be a number; `number` decides
_PLAIN = re.compile(r"[+-]?(?:\d+[.,]?\d*|[.,]\d+)", re.ASCII)
_GROUPED = re.compile(r"[+-]?\d{1,3}(?P<group>[.,' \u2019])\d{3}(?:(?P=group)\d{3})*(?:(?!(?P=group))[.,]\d*)?", re.ASCII)
_LAST_MARK = re.compile(r"([.,])(\d+)$", re.ASCII)
NAN = float("nan")


def decimal_mark(text: pd.Series) -> str:
    """The decimal mark of a column, "." or ",": the one that stands where no mark of thousands can.

    A mark with exactly three digits behind it may be either ("1,250"); any other number of digits settles it
    ("62,5"), and so does another mark to its left ("1.250,5"). The mark seen so in more distinct cells wins; with no
    such evidence it is the point. A mark that stands twice in a word is none of both ("8,8,6").
    """
    votes = {".": 0, ",": 0}
    for cell in text[text.str.contains("[.,]", regex=True)].unique():
        for word in cell.split():
            if (m := _LAST_MARK.search(word.strip("kgKGlbsLBS"))) and word.count(m[1]) == 1:
                other = "," if m[1] == "." else "."
                votes[m[1]] += len(m[2]) != 3 or other in word[:word.rindex(m[1])]
    return "," if votes[","] > votes["."] else "."


def read_numbers(text: pd.Series, mark: str | None = None) -> pd.Series:
    """Numbers as float, NaN where a cell is blank or is no number. mark: by default that of the column."""
    mark = mark or decimal_mark(text)
    return by_distinct(text, lambda cell: number(cell, mark), "float64")


def number(cell: str, mark: str = ".") -> float:
    """One number, NaN for anything else.

    mark: the column's decimal mark. The other mark is one of thousands where three digits stand behind it, else
    decimal: "1,250" is 1250 and "62,5" is 62.5 in a column of points.
    """
    if len(cell) > LONGEST:
        return NAN
    cell = re.sub(r"(?<=[+-]) ", "", plain(cell))
    if cell.count("½") == 1 and cell.endswith("½"):
        cell = cell[:-1].strip() + f"{mark}5"
    grouped = _GROUPED.fullmatch(cell)
    if grouped and grouped["group"] != mark:
        return float(cell.replace(grouped["group"], "").replace(",", "."))
    return float(cell.replace(",", ".")) if _PLAIN.fullmatch(cell) else NAN
