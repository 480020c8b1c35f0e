"""A block of whole lines -> codes of cells, each distinct cell once. Rows of another width, or quoted oddly, are kept as text."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import pyarrow as pa
import pyarrow.csv as pa_csv

NEWLINE, RETURN, QUOTE = 10, 13, 34
DENSE = 2**21  # [D] combinations of codes up to which a table of all of them is quicker than sorting
MOST_TEXTS = 150_000  # [D] distinct cells of a column that has to be understood; more are no cells of a log


class Unfit(Exception):
    """The file is not of the kind that the fast path reads; the careful path decides on it."""


@dataclass(frozen=True)
class Layout:
    """What stands where. width: cells of a row. groups: positions of columns that are understood together; others: the rest."""

    delimiter: str
    width: int
    groups: tuple[tuple[int, ...], ...]
    others: tuple[int, ...]


@dataclass(frozen=True)
class Block:
    """The rows of one block. codes: for each group of the layout, an index into its `texts` per row; texts: one tuple of cells each.

    others: position -> the cells of a column that is passed through. lines: physical line of each row.
    odd: (physical line, cells) of rows that stand apart.
    """

    lines: np.ndarray
    codes: list[np.ndarray]
    texts: list[list[tuple[str, ...]]]
    others: dict[int, pa.DictionaryArray]
    odd: list[tuple[int, list[str]]] = field(default_factory=list)

    @property
    def rows(self) -> int:
        return len(self.lines)


def parse(first_line: int, text: bytes, layout: Layout) -> Block:
    """The rows of a block. Raises Unfit for what the careful path has to look at."""
    returns = text.count(b"\r")
    if b"\0" in text or (returns and returns != text.count(b"\r\n")):
        raise Unfit("NUL bytes, or lines that end in a carriage return alone")
    quotes = text.count(b'"')
    apart, ends = _oddly_quoted(text, layout.delimiter) if quotes else (np.empty(0, dtype="int64"), None)
    odd = [(first_line + int(at), _cells_of(_line(text, ends, at), layout.delimiter)) for at in apart]
    plain = _without(text, ends, apart) if len(apart) else text
    wrong: list[tuple[int, str]] = []
    table = _read(plain, layout, wrong)
    numbers, rest = _line_numbers(first_line, text, ends, apart, table.num_rows, wrong)
    odd += [(int(line), _cells_of(line_text.encode(), layout.delimiter)) for line, (_, line_text) in zip(rest, wrong, strict=True)]
    columns = [column.combine_chunks() for column in table.columns]
    codes, texts = zip(*(_group([columns[p] for p in group]) for group in layout.groups), strict=True) if layout.groups else ((), ())
    return Block(numbers, list(codes), list(texts), {p: columns[p] for p in layout.others}, sorted(odd))


def _read(text: bytes, layout: Layout, wrong: list[tuple[int, str]]) -> pa.Table:
    """Every cell as text, coded by its distinct texts. wrong: gets (number among the lines that are not blank, text) of rows of another width."""
    def apart(row: pa_csv.InvalidRow) -> str:
        wrong.append((row.number - 1, row.text))
        return "skip"

    names = [f"c{i}" for i in range(layout.width)]
    try:
        return pa_csv.read_csv(
            pa.BufferReader(text),
            read_options=pa_csv.ReadOptions(column_names=names, use_threads=False, block_size=len(text) + 1),
            parse_options=pa_csv.ParseOptions(delimiter=layout.delimiter, newlines_in_values=False, invalid_row_handler=apart),
            convert_options=pa_csv.ConvertOptions(column_types={n: pa.dictionary(pa.int32(), pa.string()) for n in names}, strings_can_be_null=False))
    except pa.ArrowInvalid as error:
        if "Empty CSV file" in str(error):
            return pa.table({n: pa.array([], pa.string()).dictionary_encode() for n in names})
        raise Unfit(str(error)) from error


def _oddly_quoted(text: bytes, delimiter: str) -> tuple[np.ndarray, np.ndarray]:
    """Lines (from 0) whose marks are not pairs around whole cells, and where lines end. Readers of CSV differ on such lines."""
    data = np.frombuffer(text, dtype=np.uint8)
    marks, ends = np.flatnonzero(data == QUOTE), np.flatnonzero(data == NEWLINE)
    line = np.searchsorted(ends, marks)
    order = np.arange(len(marks))
    begins = np.r_[True, line[1:] != line[:-1]]
    nth = order - np.maximum.accumulate(np.where(begins, order, 0))
    before = np.where(marks > 0, data[marks - 1], NEWLINE)
    after = data[np.minimum(marks + 1, len(data) - 1)]
    cut = ord(delimiter)
    opens = (before == cut) | (before == NEWLINE) | ((before == QUOTE) & (nth > 0))
    closes = (after == cut) | (after == NEWLINE) | (after == RETURN) | (after == QUOTE)
    wrong = line[~np.where(nth % 2 == 0, opens, closes)]
    ends_open = line[(nth % 2 == 0) & np.r_[begins[1:], True]]
    return np.union1d(wrong, ends_open), ends


def _line(text: bytes, ends: np.ndarray, at: int) -> bytes:
    return text[ends[at - 1] + 1 if at else 0:ends[at] + 1]


def _without(text: bytes, ends: np.ndarray, apart: np.ndarray) -> bytes:
    pieces, start = [], 0
    for at in apart:
        pieces.append(text[start:ends[at - 1] + 1 if at else 0])
        start = ends[at] + 1
    return b"".join([*pieces, text[start:]])


def _cells_of(line: bytes, delimiter: str) -> list[str]:
    """One line as Python reads it, as the careful path does."""
    try:
        cells = next(csv.reader([line.decode("utf-8").rstrip("\r\n") + "\n"], delimiter=delimiter))
    except UnicodeDecodeError as error:
        raise Unfit("not UTF-8") from error
    if cells and "\n" in cells[-1]:
        raise Unfit("a cell that runs on over a line end")
    return cells


def _line_numbers(
    first: int, text: bytes, ends: np.ndarray | None, apart: np.ndarray, rows: int, wrong: list[tuple[int, str]],
) -> tuple[np.ndarray, np.ndarray]:
    """The physical lines of the rows, and of the rows of another width."""
    if not len(apart) and rows + len(wrong) == text.count(b"\n"):
        lines = np.arange(first, first + rows + len(wrong), dtype="int32")  # no line is blank
    else:
        data = np.frombuffer(text, dtype=np.uint8)
        ends = np.flatnonzero(data == NEWLINE) if ends is None else ends
        length = np.diff(ends, prepend=-1) - 1
        filled = length - ((data[np.maximum(ends - 1, 0)] == RETURN) & (length > 0)) > 0
        filled[apart] = False
        lines = (np.flatnonzero(filled) + first).astype("int32")
    if len(lines) != rows + len(wrong):
        raise Unfit("rows and lines do not agree")
    places = [number for number, _ in wrong]
    return (np.delete(lines, places) if places else lines), lines[places]


def _group(columns: Sequence[pa.DictionaryArray]) -> tuple[np.ndarray, list[tuple[str, ...]]]:
    """Codes of the combinations of cells that stand in the columns, and the combinations."""
    if any(len(column.dictionary) > MOST_TEXTS for column in columns):
        raise Unfit("a column with too many different cells")
    texts = [[cell if cell.strip() else "" for cell in column.dictionary.to_pylist()] for column in columns]
    codes = [column.indices.to_numpy(zero_copy_only=False) for column in columns]
    if len(columns) == 1:
        return small(codes[0], len(texts[0])), [(cell,) for cell in texts[0]]
    size, joint = 1, np.zeros(len(codes[0]), dtype="int64")
    for code, own in zip(codes, texts, strict=True):
        joint, size = joint * len(own) + code, size * len(own)
    if size <= DENSE:
        there = np.zeros(size, dtype=bool)
        there[joint] = True
        found = np.flatnonzero(there)
        place = np.zeros(size, dtype="int32")
        place[found] = np.arange(len(found))
        codes_of = place[joint]
    else:
        found, codes_of = np.unique(joint, return_inverse=True)
    split = []
    for own in reversed(texts):
        found, at = np.divmod(found, len(own))
        split.append([own[i] for i in at])
    return small(codes_of, len(split[0]) if split else 0), list(zip(*reversed(split), strict=True))


def small(codes: np.ndarray, size: int) -> np.ndarray:
    """Codes from 0 to size - 1 in as few bytes as hold them."""
    return codes.astype("uint8" if size <= 2**8 else "uint16" if size <= 2**16 else "int32")
