"""Which combinations of cells are plain, and what the careful path makes of each: every one is read once, in a row of its own."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
import pyarrow as pa

from etl.fast.groups import Group
from etl.fast.parse import Unfit
from etl.normalise import HELPERS, SET_COLUMNS, Normal
from etl.normalise.amounts import unit_in_brackets
from etl.read import TextTable

Careful = Callable[[TextTable], tuple[Normal, Normal]]  # rows of text -> what they say, without and with their exercises
CANDIDATES = 10  # [D] first rows of the file among which one is looked for that holds a plain set
NEEDED = ("athlete", "date", "exercise", "reps", "hold")
OF_THE_ROW = ("source", "source_row")
TYPES = {"date": pa.date32(), "set_no": pa.int32(), "round_no": pa.int32(), "load_estimated": pa.bool_(), "planned": pa.bool_()} | {
    name: pa.float64() for name, kind in SET_COLUMNS.items() if kind == "float64" and name not in ("set_no", "round_no", "segment_no")}


@dataclass(frozen=True)
class Values:
    """What the combinations of one group become. plain: False where a row with it has to be read by itself.

    columns: column of the set log -> its value for each combination (null where it is not plain).
    """

    plain: np.ndarray
    columns: dict[str, pa.Array]


def values_of(
    head: TextTable, groups: Sequence[Group], texts: Sequence[list[tuple[str, ...]]], careful: Careful,
) -> tuple[list[str], list[Values], dict]:
    """A plain row's cells; the values of every combination; and those of the set log's other columns, which no group decides.

    texts: for each group its combinations. Raises Unfit where no row of the file's beginning is a plain one.
    """
    candidates = list(_candidates(head, groups))
    at = 0
    while True:
        # Nearly always the first row is the one, and all is read in one go.
        rows, spans = list(candidates), []
        for group, combinations in zip(groups, texts, strict=True):
            spans.append((len(rows), len(rows) + len(combinations)))
            rows += [put(candidates[at], group, cells) for cells in combinations]
        sets = _by_row(rows, head, careful)
        if (best := _plainest(sets.iloc[:len(candidates)])) == at:
            break
        at = best
    base, first = candidates[at], sets.iloc[at]
    masses = set(sets["body_mass_kg"].dropna())
    found = [_values(sets.iloc[start:end], first, group, masses) for group, (start, end) in zip(groups, spans, strict=True)]
    decided = {name for group in groups for name in group.decides}
    return base, found, {name: first[name] for name in sets.columns if name not in decided and name not in OF_THE_ROW and pd.notna(first[name])}


def of_rows(rows: Sequence[Sequence[str]], head: TextTable, lines: np.ndarray | None = None) -> TextTable:
    """Rows of cells as a table like the file's. lines: physical lines; by default counted from 1."""
    columns = max([len(head.header), *map(len, rows)])
    cells = [[cell if cell.strip() else "" for cell in row] + [""] * (columns - len(row)) for row in rows]
    return replace(
        head, rows=pd.DataFrame(cells, columns=[f"c{i}" for i in range(columns)], dtype="str"),
        line_no=np.arange(1, len(rows) + 1) if lines is None else lines, width=np.array([len(row) for row in rows], dtype="int64"))


def _plainest(sets: pd.DataFrame) -> int:
    """The first of the candidates that holds a plain set, of repetitions if there is one: beside a hold most other rows would not be plain."""
    plain = (sets["side"] == "both") & (sets["kind"] == "work") & (sets["kind_source"] == "assumed") & sets["note"].isna() & ~sets["changed"].eq(True)
    for fitting in (plain & sets["hold_s"].isna(), plain):
        if fitting.any():
            return int(np.argmax(fitting.to_numpy()))
    raise Unfit("no plain set at the beginning of the file")


def _candidates(head: TextTable, groups: Sequence[Group]) -> Iterator[list[str]]:
    """The first rows of the file, each with nothing in it but what a set needs."""
    keep = {p for group in groups for p, field in zip(group.positions, group.fields, strict=True) if field in NEEDED}
    for row in head.rows.iloc[:CANDIDATES, :len(head.header)].to_numpy().tolist():
        yield [cell if p in keep else "" for p, cell in enumerate(row)]


def put(base: list[str], group: Group, cells: tuple[str, ...]) -> list[str]:
    """The row with the group's cells in their places."""
    row = base.copy()
    for position, cell in zip(group.positions, cells, strict=True):
        row[position] = cell
    return row


def _by_row(rows: list[list[str]], head: TextTable, careful: Careful) -> pd.DataFrame:
    """The one set of each row: columns of the set log, the helpers, and `changed`; all missing where a row gives none, or several.

    changed: its work is read otherwise because of its exercise.
    """
    raw, done = (_once(normal.sets) for normal in careful(of_rows(rows, head)))
    raw = raw.reindex(done.index)
    changed = ~(raw["reps"].eq(done["reps"]) | raw["reps"].isna() & done["reps"].isna())
    return done.assign(changed=changed, **{name: raw[name] for name in HELPERS}).reindex(np.arange(1, len(rows) + 1))


def _once(sets: pd.DataFrame) -> pd.DataFrame:
    return sets[~sets["source_row"].duplicated(keep=False)].set_index("source_row", drop=False)


def _values(sets: pd.DataFrame, base: pd.Series, group: Group, masses: set[float]) -> Values:
    """masses: body masses of the file. A load that is one of them, or below zero, is looked at beside its exercise."""
    plain = sets["source_row"].notna().to_numpy()
    if "load_kg" in group.decides:
        plain = plain & ~(sets["load_kg"].lt(0) | sets["load_kg"].isin(masses)).to_numpy(dtype=bool)
    if "exercise" in group.fields:  # a name such as "Bench press (lbs)" gives the load beside it its unit
        plain = plain & (unit_in_brackets(sets["exercise_as_written"].fillna("")) == "").to_numpy()
    for name in sets.columns.difference([*group.decides, *OF_THE_ROW]):
        same = sets[name].isna() if pd.isna(base[name]) else sets[name].eq(base[name]).fillna(False)
        plain = plain & same.to_numpy(dtype=bool)
    return Values(plain, {name: arrow_values(sets[name].where(pd.Series(plain, index=sets.index)), name) for name in group.decides})


def arrow_values(values: Sequence | pd.Series, name: str) -> pa.Array:
    """Values of a column of the set log in the type that it is stored in; missing ones as null."""
    kind = TYPES.get(name, pa.string())
    found = [None if pd.isna(v) else v for v in values]
    if kind == pa.date32():
        found = [None if v is None else pd.Timestamp(v).date() for v in found]
    elif kind in (pa.int32(), pa.bool_()):
        found = [None if v is None else (bool if kind == pa.bool_() else int)(v) for v in found]
    return pa.array(found, type=kind)
