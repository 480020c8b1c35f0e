"""Cells that hold several sets - a shorthand, a list, a count - as one row for each."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

import numpy as np
import pandas as pd

from etl import notation
from etl.columns.parts import counted, is_range
from etl.notation import Doubt, Piece
from etl.notation.blanks import by_distinct
from etl.notation.clock import duration_s
from etl.notation.loads import load
from etl.shapes.two_ways import in_words, settled

WORK = ("reps", "hold")
PIECE_FIELDS = ("load", "rpe", "rir", "side", "range", "kind")
LISTED = ("load", "rpe", "rir", "hold")  # fields whose cells may list one value for each set
KEPT = 20_000  # [D] cells whose reading is kept
MOST_SETS = 30  # [D] more sets in one row is a slip
ONE_SET = "one_set"  # helper column: "1" where the cell stands in a column of one numbered set
JOINED = ("drop", "rest_pause")
COUNTS = ("set_count", "round_count")
HELPERS = [*COUNTS, ONE_SET]  # columns that are none of the set log
_BETWEEN = re.compile(r"\s*[/;|]\s*|,\s+|,(?=[^,]*,)|(?<=,[^,]{2}),|(?<=,[^,]),")
_VALUE = r"\d[\d.,:]*\s*(?:[^\W\d_x][^\W\d_]*)?['\"]*"
_PLAIN_LIST = re.compile(rf"{_VALUE}(?:(?:\s*[/;|,-]\s*|\s+){_VALUE})+", re.IGNORECASE)  # 10/9/8, 45 s/40 s; no 3x10
_MULTIPLIED = re.compile(r"[x×*]", re.IGNORECASE)
_COMMA = re.compile(r"\s*([1-9]\d*),(\d+)\s*[^\W\d_]*\s*", re.ASCII)
_BARE_LIST = re.compile(r"\d[\d.]*(\s*[/;|,-]\s*|\s+)\d[\d.]*(?:\1\d[\d.]*)+", re.ASCII)
_PRODUCT = re.compile(r"(\d+)\s*[x×*]\s*\d+", re.ASCII | re.IGNORECASE)
FEW = 5  # [D] up to so many sets of one exercise are usual, and are read as sets also where a load may stand in their place
_APART = 3  # [D] two loads or ratings of one row differ by less than this: "62,5" is one number
_LAST_UNIT = re.compile(r"(?<=\d)\s*([a-z]+)\.?$", re.IGNORECASE)
Row = dict[str, str]


def expanded(cells: pd.DataFrame, load_first: bool | None, marks: Mapping[str, str]) -> tuple[pd.DataFrame, pd.Series]:
    """The cells with one row per set, and a Series that says "" or why a row cannot be read as sets.

    marks: field -> decimal mark, where the cells are not the whole file's. load_first: in a cell of one set, whether the load stands before the repetitions; None where that is not known.
    A row whose sets cannot be told stays one row, with its trouble. Set numbers are given where a row holds several.
    """
    cells = _effort_behind_load(_work_as_repetitions(cells))
    written = {field: cells[field] for field in WORK if field in cells}
    habit = _Habit(load_first, {f: notation.lists_sets(text) for f, text in written.items()}, {f: marks.get(f) or notation.decimal_mark(text) for f, text in written.items()})
    several = _rows_of_several(cells, habit)
    if not several.any():
        return cells.drop(columns=HELPERS, errors="ignore"), pd.Series("", index=cells.index, dtype="str")
    plain = cells[~several].assign(trouble="", turn=0, order=0)
    rows = cells[several].to_dict("records")
    habit = habit._replace(waiting=_in_doubt(rows, habit))
    blocks = [_sets_of(row, habit) for row in rows]
    more = pd.DataFrame([line for block in blocks for line in block])
    keys = np.repeat(cells.index[several].to_numpy(), [len(block) for block in blocks])
    both = pd.concat([plain.assign(key=plain.index), more.assign(key=keys)]) if blocks else plain.assign(key=plain.index)
    # The rounds of a row follow each other, each with all of the row's exercises.
    both = both.sort_values(["origin", "turn", "key", "order"], kind="stable").reset_index(drop=True)
    both = both.drop(columns=["turn", "key", "order", *HELPERS], errors="ignore")
    text = both.columns.difference(["origin"])
    both[text] = both[text].fillna("").astype("str")
    return both.drop(columns="trouble"), both["trouble"]


def _work_as_repetitions(cells: pd.DataFrame) -> pd.DataFrame:
    """A cell of work takes the place of the repetitions; where it is blank, they stay."""
    if "work" not in cells:
        return cells
    said = cells["work"]
    reps = cells["reps"] if "reps" in cells else pd.Series("", index=cells.index, dtype="str")
    return cells.drop(columns="work").assign(reps=said.mask(notation.is_blank(said), reps))


def _effort_behind_load(cells: pd.DataFrame) -> pd.DataFrame:
    """ "55 kg @9" in the column of loads: the load, and the effort where no cell of its own says it."""
    if "load" not in cells or not cells["load"].str.contains("@|r", case=False).any():
        return cells
    mark = notation.decimal_mark(cells["load"])
    found = by_distinct(cells["load"], lambda cell: notation.load_and_ratings(cell, mark=mark), "object")
    there = found.notna()
    if not there.any():
        return cells
    columns = {"load": cells["load"].mask(there, found[there].map(lambda piece: piece.load).reindex(cells.index, fill_value=""))}
    for field in ("rpe", "rir"):
        said = found[there].map(lambda piece, field=field: getattr(piece, field)).reindex(cells.index, fill_value="").astype("str")
        own = cells[field] if field in cells else pd.Series("", index=cells.index, dtype="str")
        columns[field] = own.mask(notation.is_blank(own) & (said != ""), said)
    return cells.assign(**columns)


class _Habit(NamedTuple):
    """How a file writes its shorthand. waiting: see `_in_doubt`. load_first: of one set. listed: field -> whether a slash stands between sets; marks: its decimal mark."""

    load_first: bool | None
    listed: dict[str, bool]
    marks: dict[str, str]
    waiting: dict[tuple, str] = {}  # how a cell in doubt is built -> that cell


def _rows_of_several(cells: pd.DataFrame, habit: _Habit) -> pd.Series:
    """Rows that hold more than one set, or a set written as a shorthand."""
    found = pd.Series(False, index=cells.index)
    single = cells[ONE_SET] == "1" if ONE_SET in cells else found
    for field in set(WORK) & set(cells):
        for one in (True, False):
            here = single == one
            found |= here & by_distinct(
                cells[field].where(here, ""),
                lambda cell, one=one, field=field: notation.shorthand(cell, mark=habit.marks[field], single=one, load_first=habit.load_first) is not None,
                "bool")
    for field in set(COUNTS) & set(cells):
        found |= ~notation.is_blank(cells[field]) & ~single
    return found


def _sets_of(row: Row, habit: _Habit) -> list[Row]:
    """The sets of one row, each as a row; or the row alone with its trouble."""
    field = "reps" if row.get("reps", "").strip() else "hold"
    try:
        count, what = _counted(row)
        written = _written(row, field, count, habit)
        if what == "round":
            _check_rounds(row[field], written, count)
        sets = _as_counted(written, count, what)
        listed = bool(written) and len(written) == 2 and not _MULTIPLIED.search(row[field])
        lists, by_segment = _lists(row, len(sets)), _by_segment(row, sets)
        if listed:
            _check_commas(row, "," in row[field])
    except ValueError as wrong:
        return [row | {"trouble": str(wrong), "turn": 0, "order": 0}]
    # A row of one plain set that says no number stays without one; a count or a shorthand numbers its sets.
    numbered = what == "round" or len(sets) > 1 or not row.get("set_no", "").strip()
    lines: list[Row] = []
    for number, pieces in enumerate(sets, 1):
        for place, piece in enumerate(pieces):
            said = {f: values[place] for f, values in by_segment.items()}
            said |= {f: values[number - 1] for f, values in lists.items()}
            said |= {f"{what}_no": str(number)} if numbered else {}
            lines.append(row | said | _said(piece, row) | {"trouble": "", "turn": number * (what == "round"), "order": len(lines)})
    return lines


def _counted(row: Row) -> tuple[int | None, str]:
    """How many sets or rounds a row stands for, None where it does not say; and which of the two is counted.

    Where each set or round has a column or a row of its own, that says how many there are. Raises ValueError.
    """
    if row.get(ONE_SET) == "1":
        return None, "set"
    rounds = None if row.get("round_no", "").strip() else _count(row.get("round_count", ""), "rounds")
    sets = _count(row.get("set_count", ""), "sets")
    if rounds and sets and sets > 1 and rounds > 1:
        raise ValueError(f"whether the {sets} sets were done in each of the {rounds} rounds, or in all of them, is not said: leave one of the two empty")
    return (rounds, "round") if rounds and (sets or 1) == 1 else (sets, "set")


def _check_rounds(cell: str, written: list[list[Piece]] | None, rounds: int | None) -> None:
    """ValueError for "3x10" beside three rounds: three sets in each, or in all. A list (10/9/8) is one of each round."""
    alike = len(written or ()) > 1 and len(set(map(tuple, written or ()))) == 1
    if alike and not _PLAIN_LIST.fullmatch(cell.split("@")[0].strip()):
        raise ValueError(f'whether "{cell.strip()[:40]}" was done in each of the {rounds} rounds, or in all of them, is not said: '
                         "write one round (10), or one number for each (10, 9, 8)")


def _written(row: Row, field: str, count: int | None, habit: _Habit) -> list[list[Piece]] | None:
    """What the row's cell says, None where it is no shorthand. Raises ValueError where it has two readings or none."""
    cell, single = row.get(field, ""), row.get(ONE_SET) == "1"
    if count is None and not single and (two := settled(cell, row.get("plan", ""))):
        cell = two
    found = _read(cell, habit.marks.get(field, "."), single, bool(row.get("load", "").strip()), habit.load_first, count, row.get("kind", ""), habit.listed.get(field, False))
    if isinstance(found, Doubt):
        raise ValueError(found.text if count or single else in_words(found, cell))
    if found and habit.waiting and (alike := habit.waiting.get(_build(row, field))) and not _falls(row[field]):
        raise ValueError(f'"{row[field].strip()[:40]}" is written as "{alike[:40]}" in the same column, whose first number may be a load: '
                         'write the load before its repetitions (60 x 8), or what each number is (8 sets of 12 reps)')
    return found


def _in_doubt(rows: list[Row], habit: _Habit) -> dict[tuple, str]:
    """How the cells are built of which the first number may be a load: beside them no cell that is built so can be told either."""
    waiting: dict[tuple, str] = {}
    for row in rows:
        field = "reps" if row.get("reps", "").strip() else "hold"
        key = _build(row, field)
        if key:
            found = _read(row[field], habit.marks.get(field, "."), row.get(ONE_SET) == "1", False, habit.load_first, None, "", habit.listed.get(field, False))
            if isinstance(found, Doubt) and found.build:
                waiting.setdefault(key, row[field].strip())
    return waiting


def _falls(cell: str) -> bool:
    """Whether a list never rises, as repetitions do from set to set: "12 10 8 8" is one, also beside "60 8 8 8"."""
    values = [float(text) for text in re.findall(r"\d+(?:\.\d+)?", cell)]
    return _BARE_LIST.fullmatch(cell.strip()) is not None and all(a >= b for a, b in pairwise(values))


def _build(row: Row, field: str) -> tuple:
    """A list of bare numbers by its sign and length, a product of two by its exercise; () for anything else, and beside a load.

    A few sets of anything ("3x10") are sets, also beside "10x12".
    """
    cell = row.get(field, "").strip()
    if row.get("load", "").strip() or any(row.get(name, "").strip() for name in COUNTS):
        return ()
    if m := _BARE_LIST.fullmatch(cell):
        return field, m[1].strip() or " ", len(re.findall(r"\d[\d.]*", cell))
    m = _PRODUCT.fullmatch(cell)
    return (field, "x", row.get("exercise", "").strip().casefold()) if m and int(m[1]) > FEW else ()


@lru_cache(maxsize=KEPT)
def _read(cell: str, mark: str, single: bool, load_given: bool, load_first: bool | None, count: int | None, kind: str, listed: bool):
    """`shorthand` of a cell as its row stands: a log repeats its cells, and each is read once."""
    named = notation.kinds(pd.Series([kind], dtype="str")).iloc[0]
    return notation.shorthand(cell, mark=mark, single=single, load_given=load_given, load_first=load_first, sets=count, kind=named, listed=listed)


def _as_counted(found: list[list[Piece]] | None, count: int | None, what: str) -> list[list[Piece | None]]:
    """The sets as often as the row counts them, or its rounds. None in the place of a piece: the row's own cells say it.

    Raises ValueError where the count and the list differ.
    """
    if found is None:
        return [[None]] * (count or 1)
    sets = found * count if count and len(found) == 1 else found
    if count and len(sets) != count:
        raise ValueError(f"the row says {count} {what}s and lists {len(sets)}")
    return sets


def _said(piece: Piece | None, row: Row) -> Row:
    """What a piece says, as cells: its work always, the rest where it says it.

    A kind that is only inferred from how a set is joined ("8+3+2") gives way to one that the row names.
    """
    if piece is None:
        return {}
    said = {"reps": piece.reps, "hold": piece.hold} | {f: text for f in PIECE_FIELDS if (text := getattr(piece, f))}
    if said.get("kind") in JOINED and row.get("kind", "").strip():
        del said["kind"]
    return said | ({"segment_no": str(piece.segment)} if piece.segment else {})


@lru_cache(maxsize=KEPT)
def _count(cell: str, what: str) -> int | None:
    """How many sets or rounds a cell says, None where it is blank. Raises ValueError for what is no such number."""
    text = pd.Series([cell], dtype="str")
    if notation.is_blank(text).iloc[0]:
        return None
    value = notation.read_numbers(text, ".").iloc[0]
    if value != value and (number := counted(cell, what.removesuffix("s"))) is not None:
        value = number
    if is_range(cell):
        raise ValueError(f'the number of {what} "{cell.strip()[:40]}" gives a range, as a plan does, and not how many were done')
    if not (value % 1 == 0 and 1 <= value <= MOST_SETS):
        raise ValueError(f'the number of {what} "{cell.strip()[:40]}" cannot be read')
    return int(value)


def _lists(row: Row, sets: int) -> dict[str, list[str]]:
    """Cells such as "60/65/70" beside several sets: one value for each. Raises ValueError where there are more or fewer."""
    found = {}
    for field in LISTED:
        values = _listed(row.get(field, "")) if sets > 1 else []
        if values and len(values) != sets:
            raise ValueError(f'the row holds {sets} sets, and "{row[field].strip()[:40]}" lists {len(values)}')
        if values:
            found[field] = values
    return found


def _check_commas(row: Row, commas: bool) -> None:
    """ValueError for "60,65" beside a list of two sets: one number with a decimal comma, or one for each set.

    commas: the sets themselves are listed with a comma; then "7,5" may be two numbers as well, else it is the half that it looks like.
    """
    for field in LISTED:
        m = _COMMA.fullmatch(row.get(field, ""))
        if m is None or m[2] == "5" and not commas:
            continue
        one, other = sorted((int(m[1]), int(m[2])))
        if field == "rir" or one and other <= _APART * one and not m[2].startswith("0"):
            raise ValueError(f'"{row[field].strip()}" beside the two sets "{row["reps" if row.get("reps", "").strip() else "hold"].strip()[:40]}" may be one number '
                             f'with a decimal comma or two: write {m[1]}/{m[2]} or {m[1]}.{m[2]}')


def _by_segment(row: Row, sets: list[list[Piece | None]]) -> dict[str, list[str]]:
    """Cells such as "8+6+4" beside one set of as many segments: one value for each of them."""
    found = {f: row.get(f, "").split("+") for f in LISTED if "+" in row.get(f, "").strip("+ ") and not _is_one(row[f])}
    return {f: values for f, values in found.items() if all(len(pieces) == len(values) for pieces in sets)}


def _listed(cell: str) -> list[str]:
    """The values of a list, each with the unit that stands behind the last; [] for a single value."""
    values = _BETWEEN.split(cell.strip())
    if len(values) < 2 or _is_one(cell) or not all(_is_one(value) or _LAST_UNIT.search(value) for value in values):
        return []
    units = [_LAST_UNIT.search(value) for value in values]
    if units[-1] and not any(units[:-1]):
        return [f"{value} {units[-1][1]}" for value in values[:-1]] + [values[-1]]
    return values


def _is_one(cell: str) -> bool:
    """Whether a cell reads as one load or one length of time as it stands: "1/2 gallon jug", "20 kg/44 lb", "BW+10"."""
    return load(cell).value == load(cell).value or duration_s(cell.strip()) == duration_s(cell.strip())
