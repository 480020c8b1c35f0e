"""The plain rows as one Arrow table of codes, and behind them the rows that were read by themselves, each with its place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np
import pandas as pd
import pyarrow as pa
import pyarrow.compute as pc

from etl.fast.groups import Group
from etl.fast.parse import Block, small
from etl.fast.plain import Values, arrow_values
from etl.normalise import SET_COLUMNS
from etl.notation.blanks import BLANK_WORDS

BATCH = 122_880  # rows of a row group of the database: batches of another size are written twice, the second time at its checkpoint
MOST_CODED = 2**20  # [D] distinct texts of a column that is passed through, above which it is kept as text
SPACES = "".join(chr(c) for c in range(0x3001) if chr(c).isspace())  # what Python strips; no character above is a space
MINUS = "\u2212"
OWN_TIME, OWN_SESSION = "own_time", "own_session"  # what columns of their own say; where they are blank, the date's cell says it


class Decided(NamedTuple):
    """groups with their values; constant: values that are the same in every plain row; passed: field -> position."""

    groups: Sequence[Group]
    values: Sequence[Values]
    constant: dict
    passed: dict[str, int]


def set_table(
    blocks: Sequence[Block], plain: Sequence[np.ndarray], places: Sequence[list[np.ndarray]], decided: Decided, rest: pd.DataFrame,
) -> pa.Table:
    """All sets of the file: its plain rows in order, then `rest`, the sets of the rows that were read by themselves, in theirs.

    Column `place` counts both in the file's order. Values are coded by their distinct ones. Columns without any are left out.
    """
    lines = np.concatenate([block.lines[good] for block, good in zip(blocks, plain, strict=True)])
    theirs = rest["source_row"].to_numpy(dtype="int64")
    columns = dict([*_coded(blocks, plain, places, decided, rest), *_passed(blocks, plain, decided.passed, rest), *_same(len(lines), decided, rest)])
    columns["source_row"] = pa.array(lines), pa.array(theirs.astype("int32"))
    before = np.searchsorted(lines, theirs)
    shift = np.cumsum(np.bincount(before, minlength=len(lines) + 1)[:len(lines)], dtype="int32")
    columns["place"] = pa.array(np.arange(len(lines), dtype="int32") + shift), pa.array((np.arange(len(theirs)) + before).astype("int32"))
    parts = [pa.table({name: pair[n] for name, pair in columns.items()}) for n in (0, 1)]
    return pa.Table.from_batches([b for part in parts for b in part.to_batches(max_chunksize=BATCH)], parts[0].schema)


def decoded(table: pa.Table) -> pa.Table:
    """The table with its values in the place of their codes."""
    return pa.table({name: column.cast(column.type.value_type) if pa.types.is_dictionary(column.type) else column
                     for name, column in zip(table.column_names, table.columns, strict=True)})


def framed(table: pa.Table) -> pd.DataFrame:
    """The table as the careful path gives it: in the order of the file, with every column of the set log."""
    frame = decoded(table).to_pandas().sort_values("place")
    for own, name in ((OWN_TIME, "time"), (OWN_SESSION, "session")):
        if own in frame:
            frame[name] = frame[own].fillna(frame[name]) if name in frame else frame[own]
    return frame.reindex(columns=list(dict.fromkeys([*SET_COLUMNS, *frame.columns.drop([OWN_TIME, OWN_SESSION, "place"], errors="ignore")])))


Pair = tuple[str, tuple[pa.Array, pa.Array]]  # a column's name, and its values in the plain rows and in the rest


def _coded(blocks, plain, places, decided: Decided, rest: pd.DataFrame) -> Iterator[Pair]:
    """The columns that groups decide."""
    for number, (group, values) in enumerate(zip(decided.groups, decided.values, strict=True)):
        codes = np.concatenate([place[number].astype("int32")[block.codes[number][good]]
                                for block, good, place in zip(blocks, plain, places, strict=True)])
        size = max(len(values.plain), len(rest))
        coded = pa.array(small(codes, size))
        for name in group.decides:
            if values.columns[name].null_count < len(values.plain) or rest[name].notna().any():
                shown = OWN_TIME if group.fields == ("time",) else name
                yield shown, (pa.DictionaryArray.from_arrays(coded, values.columns[name]), _of_rest(rest[name], name, size))


def _same(rows: int, decided: Decided, rest: pd.DataFrame) -> Iterator[Pair]:
    """The columns that no group decides: one value, or none, in all plain rows."""
    done = {name for group in decided.groups for name in group.decides} | {"source_row"} | set(decided.passed) - {"session"}
    size = max(1, len(rest))
    coded = pa.array(small(np.zeros(rows, dtype="uint8"), size))
    for name in rest.columns.difference(sorted(done)):
        value = decided.constant.get(name)
        if value is not None or rest[name].notna().any():
            yield name, (pa.DictionaryArray.from_arrays(coded, arrow_values([value], name)), _of_rest(rest[name], name, size))


def _of_rest(values: pd.Series, name: str, size: int) -> pa.DictionaryArray:
    return pa.DictionaryArray.from_arrays(pa.array(small(np.arange(len(values)), size)), arrow_values(values, name))


def _passed(blocks: Sequence[Block], plain: Sequence[np.ndarray], passed: dict[str, int], rest: pd.DataFrame) -> Iterator[Pair]:
    """The columns that stand as they were written."""
    for name, position in passed.items():
        shown = OWN_SESSION if name == "session" else name
        columns = [block.others[position] for block in blocks]
        texts = [_trimmed(column.dictionary, blank_words=name != "note") for column in columns]
        kept = [column.indices if good.all() else column.indices.filter(pa.array(good)) for column, good in zip(columns, plain, strict=True)]
        if sum(map(len, texts)) > MOST_CODED:
            parts = [own.cast(pa.large_string()).take(indices) for own, indices in zip(texts, kept, strict=True)]
            yield shown, (pa.concat_arrays(parts), arrow_values(rest[name], name).cast(pa.large_string()))
            continue
        known: dict[str | None, int] = {}
        places = [np.array([known.setdefault(text, len(known)) for text in own.to_pylist()], dtype="int32") for own in texts]
        codes = np.concatenate([place[indices.to_numpy(zero_copy_only=False)] for place, indices in zip(places, kept, strict=True)])
        size = max(len(known), len(rest))
        coded = pa.DictionaryArray.from_arrays(pa.array(small(codes, size)), pa.array(list(known), pa.string()))
        yield shown, (coded, _of_rest(rest[name], name, size))


def _trimmed(texts: pa.Array, blank_words: bool) -> pa.Array:
    """Texts without the blanks around them; null for those that say nothing."""
    trimmed = pc.utf8_trim(texts, characters=SPACES)
    words = pa.array(sorted(BLANK_WORDS) if blank_words else [""], pa.string())
    plain = pc.replace_substring(pc.utf8_lower(trimmed), MINUS, "-")
    return pc.if_else(pc.is_in(plain, words), pa.scalar(None, pa.string()), trimmed)
