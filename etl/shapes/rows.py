"""One row of text per set."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import pandas as pd

from etl.columns import Column
from etl.read import TextTable


@dataclass(frozen=True)
class SetRows:
    """A file as one row of text per set. Grain of `cells`: one row per set, or segment of a set, that the file may hold.

    cells: a column of str for each field that the file says something of; "" where it says nothing.
    origin: position in `table.rows` of the row that each set comes from, never falling. trouble: "" or why it cannot
    be read as a set. headings: True for rows of the table that only head the rows below and hold nothing of their own.
    notes: what was taken for granted, in words.
    """

    table: TextTable
    columns: tuple[Column, ...]
    cells: pd.DataFrame
    origin: np.ndarray
    trouble: pd.Series
    headings: np.ndarray
    notes: list[str] = field(default_factory=list)
