"""Cells that say whether a set was done, or what was done: yes, x, no - shoulder, skipped, 2, 8/8/4."""

from __future__ import annotations

import re
from typing import NamedTuple

import pandas as pd

from etl import notation
from etl.notation.blanks import by_distinct

BLANK, YES, NO, NUMBER, WORK, UNKNOWN = "blank", "yes", "no", "number", "work", "unknown"
_REMARK = re.compile(r"\s+[-–—]\s+|\s*[,;:(]\s*(?=[^\W\d_])|\s*[.!]\s+")


class Done(NamedTuple):
    """kind: one of the constants above. text: the number or the work as written. remark: what stands behind it."""

    kind: str
    text: str = ""
    remark: str = ""


def done_cells(cells: pd.Series) -> pd.Series:
    """A `Done` of each cell. 0 is a number here."""
    return by_distinct(cells, _done, "object")


def _done(cell: str) -> Done:
    whole = _plain(cell)
    if whole.kind != UNKNOWN:
        return whole
    parts = _REMARK.split(cell.strip(), maxsplit=1)
    head = _plain(parts[0]) if len(parts) == 2 and parts[0].strip() else whole
    return whole if head.kind in (UNKNOWN, BLANK) else head._replace(remark=cell.strip())


def _plain(cell: str) -> Done:
    text = pd.Series([cell], dtype="str")
    if notation.is_blank(text).iloc[0]:
        return Done(BLANK)
    if notation.read_numbers(text, ".").notna().iloc[0]:
        return Done(NUMBER, cell.strip())
    said, state = notation.booleans(text).iloc[0], notation.states(text).iloc[0]
    if said or state:
        return Done(YES if said == "yes" or state == "done" else NO)
    return Done(WORK, cell.strip()) if isinstance(notation.shorthand(cell), list) or _list(cell) else Done(UNKNOWN, cell.strip())


def _list(cell: str) -> bool:
    """10/9/8 and one number with its unit ("8 reps", "45 s")."""
    found = notation.read_repetitions(pd.Series([cell], dtype="str")).iloc[0]
    return bool(found["read"]) and bool(found["reps"] == found["reps"] or found["hold_s"] == found["hold_s"])
