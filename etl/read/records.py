"""Text -> records of cells, each with the physical line on which it starts; and the delimiter of a text."""

from __future__ import annotations

import csv
import io
import sys
from collections import Counter
from typing import NamedTuple

from etl.refusal import Refusal

DELIMITERS = (",", ";", "\t", "|")
SAMPLE_RECORDS = 500  # [D] enough to outvote a few odd lines, quick on a file of a million
TITLE_LINES = 20  # [D] lines above a header (a title, a name, a date of export) that are looked through
BELOW_A_TITLE = 0.8  # [D] a delimiter that is missing from the first line counts this much of one that is there

csv.field_size_limit(sys.maxsize if sys.maxsize < 2**31 else 2**31 - 1)  # an unclosed quote is named as such


class Record(NamedTuple):
    line: int  # physical line on which the record starts, from 1
    cells: list[str]


def lines_of(text: str) -> list[str]:
    """Physical lines with their ends: line feed, carriage return or both, and nothing else ends a line."""
    return list(io.StringIO(text, newline=""))


def records(lines: list[str], delimiter: str, name: str, limit: int | None = None) -> list[Record]:
    """Every record of the lines but the blank ones, or the first `limit` of them.

    A cell in quotation marks may hold delimiters and line ends.
    Raises Refusal, with the line, where a quotation mark is never closed.
    """
    found: list[Record] = []
    reader = csv.reader(lines, delimiter=delimiter)
    start = 1
    for cells in reader:
        if reader.line_num > start or reader.line_num == len(lines):
            _refuse_unclosed(lines[start - 1:reader.line_num], delimiter, f"{name}, line {start}")
        if any(cell.strip() for cell in cells):
            found.append(Record(start, cells))
        start = reader.line_num + 1
        if limit and len(found) >= limit:
            break
    return found


def _refuse_unclosed(lines: list[str], delimiter: str, where: str) -> None:
    """A record over several lines, or at the end of the file, has to be well formed.

    A stray mark in one line costs that mark alone and is let through; one that runs on would swallow rows.
    """
    if len(lines) == 1 and lines[0].count('"') % 2 == 0:
        return
    try:
        for _ in csv.reader(lines, delimiter=delimiter, strict=True):
            pass
    except csv.Error:
        raise Refusal("A quotation mark that opens in this row is never closed, so where its cell ends is unknown",
                      where, 'Close it, or write a mark inside a cell twice (""), and import the file again.') from None


def delimiter_of(lines: list[str], name: str) -> str:
    """The delimiter that cuts most lines into the header's number of cells, quoting heeded.

    Comma, semicolon, tab or pipe; a comma for a table of one column. A first line `sep=;` decides.
    """
    first = lines[0].strip("\r\n")
    if first.lower().startswith("sep=") and first[4:] in DELIMITERS:
        return first[4:]
    scores = {}
    for delimiter in DELIMITERS:
        try:
            scores[delimiter] = _score(records(lines, delimiter, name, SAMPLE_RECORDS))
        except Refusal:
            scores[delimiter] = (0.0, 0.0)
    return max(DELIMITERS, key=scores.__getitem__)


def _score(found: list[Record]) -> tuple[float, float]:
    """How well the records fit the width of their header, and how many fit it exactly.

    Short records count as fitting, since programs leave out empty cells at the end of a line.
    """
    widths = [len(record.cells) for record in found]
    head = next((i for i, width in enumerate(widths[:TITLE_LINES]) if width > 1), None)
    if head is None:
        return 0.0, 0.0
    width = widths[head]
    fitting = sum(1 < w <= width for w in widths) / len(widths)
    exact = Counter(widths)[width] / len(widths)
    return fitting * (1 if head == 0 else BELOW_A_TITLE) * (1 - 1 / (width + 1)), exact
