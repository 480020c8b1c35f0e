"""What was taken for granted in the plain rows, in the careful path's own words, with the right counts."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

import numpy as np
import pandas as pd

from etl import notation
from etl.fast.groups import Group
from etl.fast.plain import Careful, Values, of_rows, put
from etl.read import TextTable

COUNTED = re.compile(r"\b(\d+) (rows?|cells?|blank cells?|loads?|numbers?)\b( is\b| are\b)?")


def sayings(
    base: list[str], head: TextTable, groups: Sequence[Group], texts: Sequence[list[tuple[str, ...]]], values: Sequence[Values],
    counts: Sequence[np.ndarray], filled: list[str], careful: Careful,
) -> tuple[list[list[str]], bool]:
    """Lists of sentences: one of the file as a whole, and one for each kind of plain row that is counted; and whether a unit was unsaid.

    counts: how many plain rows hold each combination of `texts`. filled: a row in which every column says something.
    The careful path is asked of one row of each kind, and its count of one is put right.
    """
    whole = careful(of_rows([filled], head))[1]
    found, unsaid = [[text for text in whole.assumed if not COUNTED.search(text)]], False
    # What the bare row says by itself (that it names no athlete) is said of those who name none, and not once more for each load.
    of_base = set(careful(of_rows([base], head))[1].assumed)
    for group, own, value, count in zip(groups, texts, values, counts, strict=True):
        for chosen in _counted_kinds(group, own, value):
            if total := int(count[chosen].sum()):
                example = own[int(np.argmax(np.where(chosen, count, -1)))]
                one = careful(of_rows([put(base, group, example)], head))[1]
                own_words = [text for text in one.assumed if "athlete" in group.fields or text not in of_base]
                found.append([_with_count(text, total) for text in own_words if COUNTED.search(text)])
                unsaid |= one.unit_unsaid
    return found, unsaid


def _counted_kinds(group: Group, texts: list[tuple[str, ...]], values: Values) -> Iterator[np.ndarray]:
    """For each kind of sentence that counts rows by this group, which combinations it is about."""
    def cells(field: str) -> pd.Series:
        return pd.Series([one[group.fields.index(field)] if field in group.fields else "" for one in texts], dtype="str")

    if "athlete" in group.fields:
        yield notation.is_blank(cells("athlete")).to_numpy() & values.plain
    amount = next((field for field in ("load", "body_mass") if field in group.fields), None)
    if amount:
        found = notation.read_loads(cells(amount))
        matters = found["value"].notna() & ((found["value"] != 0) | (amount == "body_mass"))
        yield (matters & (found["unit"] == "") & (notation.units(cells("unit")) == "")).to_numpy() & values.plain


def _with_count(text: str, total: int) -> str:
    return COUNTED.sub(lambda m: f"{total} {m[2].removesuffix('s')}{'' if total == 1 else 's'}{m[3] and (' is' if total == 1 else ' are') or ''}", text, count=1)


def merged(lists: Sequence[list[str]]) -> list[str]:
    """All sentences once; of those that differ only in their count, one with the sum."""
    sums: dict[str, int] = {}
    first: dict[str, str] = {}
    for text in (text for one in lists for text in one):
        m = COUNTED.search(text)
        key = text if m is None else COUNTED.sub(lambda m: "# " + m[2].removesuffix("s") + (" is" if m[3] else ""), text, count=1)
        sums[key] = sums.get(key, 0) + (int(m[1]) if m else 0)
        first.setdefault(key, text)
    return [_with_count(text, sums[key]) if sums[key] else text for key, text in first.items()]
