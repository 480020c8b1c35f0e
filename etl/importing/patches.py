"""What a person mended, left out or merged earlier, applied to a file before it is stored."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import pandas as pd

from etl import notation
from etl.columns import Column
from etl.importing.memory import row_key
from etl.normalise import Normal
from etl.normalise.habits import CARRIED_FIELDS
from etl.read import TextTable
from etl.settings import RULES, Rules
from etl.shapes.headings import dates_as_headings


def row_keys(table: TextTable, columns: Sequence[Column], rules: Rules = RULES) -> list[str]:
    """The `row_key` of each row, where a blank date or exercise that means "as above" counts as what stands above.

    columns: of the whole file; none where `table` is only some rows of a file in which nothing is carried down.
    """
    cells = table.rows.to_numpy(dtype=object).copy()
    width = table.width.copy()
    for column in columns:
        if column.field not in CARRIED_FIELDS or column.part or not len(cells):
            continue
        said = table.rows.iloc[:, column.position].set_axis(pd.RangeIndex(len(cells)))
        blank = notation.is_blank(said)
        if blank.sum() >= rules.carry_down_share * len(said):
            cells[:, column.position] = said.mask(blank).ffill().fillna("")
            width = np.maximum(width, column.position + 1)
    keys = [row_key(row[:own]) for row, own in zip(cells.tolist(), width, strict=True)]
    by_field = pd.DataFrame({c.field: table.rows.iloc[:, c.position].to_numpy(dtype=object) for c in columns if c.field and not c.part}, dtype="str")
    over, heads = dates_as_headings(table, columns, by_field)
    return [row_key([day, key]) for day, key in zip(over["date"], keys, strict=True)] if heads.any() else keys


def mended(table: TextTable, patches: Mapping[str, list[str] | None], columns: Sequence[Column] = ()) -> tuple[TextTable, int]:
    """The table with mended rows in the place of those they mend, and how many rows a person said to leave out.

    columns: see `row_keys`. A mended row keeps all its cells, also those beyond the header.
    """
    if not patches or table.rows.empty:
        return table, 0
    keys = row_keys(table, columns)
    found = [at for at, key in enumerate(keys) if key in patches]
    if not found:
        return table, 0
    most = max([table.rows.shape[1], *(len(patches[keys[at]] or ()) for at in found)])
    beyond = np.full((len(table.rows), most - table.rows.shape[1]), "", dtype=object)
    rows, width = np.hstack([table.rows.to_numpy(dtype=object), beyond]), table.width.copy()
    gone = np.zeros(len(rows), dtype=bool)
    for at in found:
        cells = patches[keys[at]]
        gone[at] = cells is None
        if cells is not None:
            rows[at] = [*cells, *[""] * (most - len(cells))]
            width[at] = len(cells)
    kept = pd.DataFrame(rows[~gone], columns=[*table.rows.columns, *(f"c{i}" for i in range(table.rows.shape[1], most))], dtype="str")
    return replace(table, rows=kept, line_no=table.line_no[~gone], width=width[~gone]), int(gone.sum())


def merged(normal: Normal, spellings: Mapping[str, str]) -> Normal:
    """The rows under the athlete that each spelling was merged into."""
    if not spellings:
        return normal

    def name(athlete: str) -> str:
        return spellings.get(athlete.casefold(), athlete)

    return replace(normal, sets=normal.sets.assign(athlete=normal.sets["athlete"].map(name).astype("str")),
                   days=normal.days.assign(athlete=normal.days["athlete"].map(name).astype("str")))
