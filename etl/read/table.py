"""The table of text that every later stage starts from."""

from __future__ import annotations

import hashlib
from collections import Counter
from dataclasses import dataclass, field, replace

import numpy as np
import pandas as pd

from etl.read.decoding import decode
from etl.read.records import TITLE_LINES, Record, delimiter_of, lines_of, records
from etl.refusal import Refusal


@dataclass(frozen=True)
class TextTable:
    """A file as text. Grain of `rows`: one row per record below the header that is not blank.

    header: names as written, without the blanks around them; "" where a column has none.
    rows: columns c0, c1, ... of dtype str, at least as many as the header; a blank cell is "".
    line_no: physical line on which each row starts, from 1. width: cells that each row really had.
    notes: what was taken for granted in reading, in words. titles: the lines above the header.
    """

    name: str
    sha256: str
    header: list[str]
    rows: pd.DataFrame
    line_no: np.ndarray
    width: np.ndarray
    encoding: str
    delimiter: str
    notes: list[str] = field(default_factory=list)
    titles: list[str] = field(default_factory=list)

    @property
    def overlong(self) -> np.ndarray:
        """True for rows with text beyond the last header: which of their cells has moved is unknown."""
        beyond = self.rows.iloc[:, len(self.header):]
        if beyond.shape[1] == 0:
            return np.zeros(len(self.rows), dtype=bool)
        return (beyond != "").to_numpy().any(axis=1)

    def head(self, rows: int) -> TextTable:
        """The first rows alone."""
        return self if len(self.rows) <= rows else replace(
            self, rows=self.rows.iloc[:rows], line_no=self.line_no[:rows], width=self.width[:rows])


def read_table(data: bytes, name: str) -> TextTable:
    """The table of text in a file's bytes.

    data: the whole file. name: its name, for messages and for tracing a row.
    Rows that are longer or shorter than the header are kept with all their text.
    Raises Refusal for what is no table of text: a picture, an archive, an empty file, an unclosed quotation mark.
    """
    text, encoding, notes = decode(data, name)
    lines = lines_of(text)
    delimiter = delimiter_of(lines, name)
    found = records(lines, delimiter, name)
    if not found:
        raise Refusal("The file holds no cell with anything in it", name, "Export it again and look at it in a text editor first.")
    head = _header_position(found)
    titles = [" ".join(record.cells).strip() for record in found[:head]]
    notes += [f"line {record.line} above the header is no row: {title}" for record, title in zip(found[:head], titles, strict=True)]
    header = [cell.strip() for cell in found[head].cells]
    body = found[head + 1:]
    if not body:
        notes.append("the file has a header and no rows")
    width = np.array([len(record.cells) for record in body], dtype="int64")
    return TextTable(name, hashlib.sha256(data).hexdigest(), header, _frame(body, width, len(header)),
                     np.array([record.line for record in body], dtype="int64"), width, encoding, delimiter, notes, titles)


def _header_position(found: list[Record]) -> int:
    """The first record that is at least half as wide as most; what stands above it is a title."""
    filled = [sum(cell.strip() != "" for cell in record.cells) for record in found]
    usual = Counter(len(record.cells) for record in found).most_common(1)[0][0]
    for position, cells in enumerate(filled[:TITLE_LINES]):
        if cells * 2 >= usual and (cells > 1 or usual == 1):
            return position
    return 0


def _frame(body: list[Record], width: np.ndarray, header_width: int) -> pd.DataFrame:
    columns = max(header_width, int(width.max()) if len(width) else 0)
    cells = [[cell if cell.strip() else "" for cell in record.cells] + [""] * (columns - len(record.cells))
             for record in body]
    names = [f"c{i}" for i in range(columns)]
    return pd.DataFrame(cells, columns=names, dtype="str")
