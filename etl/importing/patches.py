"""What a person mended, left out or merged earlier, applied to a file before it is stored."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pandas as pd

from etl.importing.memory import row_key
from etl.normalise import Normal
from etl.read import TextTable


def mended(table: TextTable, patches: Mapping[str, list[str] | None]) -> tuple[TextTable, int]:
    """The table with mended rows in the place of those they mend, and how many rows a person said to leave out."""
    if not patches or table.rows.empty:
        return table, 0
    keys = [row_key(row[:width]) for row, width in zip(table.rows.to_numpy(dtype=object).tolist(), table.width, strict=True)]
    found = [at for at, key in enumerate(keys) if key in patches]
    if not found:
        return table, 0
    rows, width = table.rows.to_numpy(dtype=object).copy(), table.width.copy()
    gone = np.zeros(len(rows), dtype=bool)
    for at in found:
        cells = patches[keys[at]]
        gone[at] = cells is None
        if cells is not None:
            rows[at] = (cells + [""] * rows.shape[1])[:rows.shape[1]]
            width[at] = min(len(cells), rows.shape[1])
    kept = pd.DataFrame(rows[~gone], columns=table.rows.columns, dtype="str")
    return replace(table, rows=kept, line_no=table.line_no[~gone], width=width[~gone]), int(gone.sum())


def merged(normal: Normal, spellings: Mapping[str, str]) -> Normal:
    """The rows under the athlete that each spelling was merged into."""
    if not spellings:
        return normal

    def name(athlete: str) -> str:
        return spellings.get(athlete.casefold(), athlete)

    return replace(normal, sets=normal.sets.assign(athlete=normal.sets["athlete"].map(name).astype("str")),
                   days=normal.days.assign(athlete=normal.days["athlete"].map(name).astype("str")))
