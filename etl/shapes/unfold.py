"""From the rows of a file, whatever one row stands for, to one row for each set."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import pandas as pd

from etl import notation
from etl.columns import Column
from etl.columns.by_content import HEADING, name_and_work
from etl.notation.blanks import by_distinct
from etl.read import TextTable
from etl.shapes.efforts import ONE_SET, expanded
from etl.shapes.headings import dates_as_headings, headings, lone_name, names_as_headings
from etl.shapes.plan_beside import with_planned
from etl.shapes.plan_done import settled
from etl.shapes.rows import SetRows

WORK = ("reps", "work", "hold")
MOST_REPS = 30  # [D] a plain number above this beside another one is a load
DONE = (*WORK, "load")  # what makes a part of a row a set that may have been done


def unfold(table: TextTable, columns: Sequence[Column], marks: Mapping[str, str] | None = None) -> SetRows:
    """One row per set of the table, in the order of the file; a file of one row per set comes out as it is.

    marks: field -> decimal mark of the whole file, where the table is only some of its rows.
    """
    columns = tuple(columns)
    cells = pd.DataFrame({c.field: _written(table, c) for c in columns if c.field and not c.part})
    cells, dated = dates_as_headings(table, columns, cells)
    cells, named = names_as_headings(table, columns, cells)
    alone = headings(table, columns, cells) & ~dated & ~named
    heads = alone | dated | named
    notes = [f"{int(heads.sum())} rows that hold only a date or a name read as headings of the rows below"] if heads.sum() > 1 else (
        ["1 row that holds only a date or a name read as a heading of the rows below"] if heads.any() else [])
    cells = _carried_into(cells, alone)
    cells["origin"] = np.arange(len(table.rows))
    cells = cells[~heads]
    parts = [c for c in columns if c.field and c.part and c.part != HEADING]
    if parts:
        cells = _side_by_side(table, parts, cells)
    cells, split = _split_exercise(cells, columns)
    cells, open_rows, said = settled(cells.reset_index(drop=True), columns)
    said += _uncounted(cells, columns)
    unsure = _minutes_or_seconds(cells, columns)
    cells, trouble = expanded(cells, _load_first(table, columns), marks or {})
    cells, trouble, beside = with_planned(cells, trouble, columns)
    said += beside
    origin = cells.pop("origin").to_numpy()
    open_rows = unsure | open_rows
    if open_rows:
        left_open = pd.Series(origin, index=cells.index).map(open_rows)
        trouble = left_open.where(left_open.notna(), trouble).astype("str")
    return SetRows(table, columns, cells, origin, trouble, heads, notes + split + said + lone_name(table, columns))


def _written(table: TextTable, column: Column) -> pd.Series:
    return table.rows.iloc[:, column.position].set_axis(pd.RangeIndex(len(table.rows)))


def _carried_into(cells: pd.DataFrame, heads: np.ndarray) -> pd.DataFrame:
    """What a heading says, put into the rows below it that leave it blank, up to the next row that says it."""
    if not heads.any():
        return cells
    carried = {}
    for field in ("date", "time", "session", "exercise"):
        if field in cells and (cells[field].str.strip() != "")[heads].any():
            said = cells[field].str.strip() != ""
            carried[field] = cells[field].where(said).ffill().fillna("")
    return cells.assign(**carried)


def _side_by_side(table: TextTable, parts: Sequence[Column], cells: pd.DataFrame) -> pd.DataFrame:
    """Each part of a row as a row of its own. Parts that say nothing are no sets; a row without any part stays as it is."""
    frames = []
    for place, part in enumerate(dict.fromkeys(c.part for c in parts)):
        own = [c for c in parts if c.part == part]
        block = cells.copy()
        done = pd.Series(False, index=cells.index)
        for column in own:
            said = _with_unit(_written(table, column).loc[cells.index], column)
            done |= (column.field in DONE) & ~notation.is_blank(said)
            base = block[column.field] if column.field in block else pd.Series("", index=block.index, dtype="str")
            block[column.field] = said.mask(notation.is_blank(said), base)
        if "set_no" in dict(own[0].gives):
            block[ONE_SET] = "1"
        for field, text in own[0].gives:
            base = block[field] if field in block else pd.Series("", index=block.index, dtype="str")
            block[field] = base.mask(base.str.strip() == "", text) if field == "load" else text
        frames.append(block[done].assign(place=place))
    bare = cells[~cells["origin"].isin(pd.concat(frames)["origin"])] if frames else cells
    stacked = pd.concat([*frames, bare.assign(place=-1)])
    text = stacked.columns.difference(["origin", "place"])
    stacked[text] = stacked[text].fillna("").astype("str")
    return stacked.sort_values(["origin", "place"], kind="stable").drop(columns="place")


def _with_unit(cells: pd.Series, column: Column) -> pd.Series:
    """A bare number with the unit that its header says, since the rows of other columns may say another."""
    if not column.unit or column.field not in ("load", "hold"):
        return cells
    return cells.mask(cells.str.fullmatch(r"\s*[\d.,]+\s*"), cells.str.strip() + f" {column.unit}")


def _split_exercise(cells: pd.DataFrame, columns: Sequence[Column]) -> tuple[pd.DataFrame, list[str]]:
    """ "Goblet squat 3x10 @ 20 kg" in the column of exercises, where no column holds repetitions: the name, and the work."""
    if "exercise" not in cells or any(field in cells for field in WORK):
        return cells, []
    pieces = by_distinct(cells["exercise"], name_and_work, "object")
    split = pieces.map(lambda pair: pair[1] != "")
    if not split.any():
        return cells, []
    cells = cells.assign(exercise=pieces.map(lambda pair: pair[0]).astype("str"), work=pieces.map(lambda pair: pair[1]).astype("str"))
    return cells, ["sets and repetitions read from the cells that also name the exercise"]


def _uncounted(cells: pd.DataFrame, columns: Sequence[Column]) -> list[str]:
    """A sentence where some rows name no number of sets beside others that do: each of them is one set."""
    found = []
    for field, number, what in (("set_count", "set_no", "set"), ("round_count", "round_no", "round")):
        if field not in cells or notation.is_blank(cells[field]).all():
            continue
        blank = notation.is_blank(cells[field])
        for other in {"set_count", "round_count", number} & set(cells):
            blank &= notation.is_blank(cells[other])
        single = pd.Series(False, index=cells.index)
        for name in [f for f in WORK if f in cells]:
            single |= ~notation.is_blank(cells[name]) & by_distinct(cells[name], lambda cell: notation.shorthand(cell, load_given=True) is None, "bool")
        if rows := int(cells.loc[blank & single, "origin"].nunique()):
            header = next(c.header for c in columns if c.field == field)
            found.append(f'{rows} {"row names" if rows == 1 else "rows name"} no count of {what}s in "{header}": one {what} each')
    return found


def _minutes_or_seconds(cells: pd.DataFrame, columns: Sequence[Column]) -> dict[int, str]:
    """Rows whose hold is written 1.30 under a header without a unit: a minute and a half, or a good second."""
    if "hold" not in cells or any(c.unit for c in columns if c.field == "hold"):
        return {}
    unsure = cells["hold"].str.fullmatch(r"\s*\d[.,][0-5]\d\s*")
    return {int(at): f'whether "{cell.strip()}" means minutes and seconds or a part of a second is not said: write 1:30 or 90'
            for at, cell in zip(cells.loc[unsure, "origin"], cells.loc[unsure, "hold"], strict=True)}


def _load_first(table: TextTable, columns: Sequence[Column]) -> bool | None:
    """In columns of one set each, whether "60x8" is load and repetitions (True) or the other way; None where both fit.

    Decided over all such cells: only a load is ever above 30 or broken. None where no cell or cells on both sides say so.
    """
    cells = [_written(table, c) for c in columns if c.part and c.part != HEADING and c.field in ("work", "reps")]
    if not cells:
        return None
    pairs = pd.concat(cells).drop_duplicates().str.extract(r"^\s*(\d+(?:[.,]\d+)?)\s*[x×*@]\s*(\d+(?:[.,]\d+)?)\s*$").dropna()
    numbers = pairs.map(lambda text: float(text.replace(",", ".")))
    loads = ((numbers > MOST_REPS) | (numbers % 1 != 0)).any() if len(numbers) else pd.Series([False, False])
    first, second = bool(loads.iloc[0]), bool(loads.iloc[1])
    return first if first != second else None
