"""Rows that were set aside: listed, mended or left out, and let be what their file says again."""

from __future__ import annotations

import csv
import re
from collections import Counter
from pathlib import Path
from typing import Any

import pandas as pd

from etl.importing.again import anew, columns_of, names_any, people_of, read_once_more, settle_others
from etl.importing.kept import KeptImport, bytes_of, head_of, import_of
from etl.importing.memory import row_key
from etl.importing.patches import row_keys
from etl.importing.plan import silent
from etl.importing.write import set_aside_of
from etl.read import TextTable, read_table
from etl.refusal import Refusal
from etl.shapes import second_header
from etl.store import mended, reading, writing

# $1: an import, $2: a file; null for all.
WAITING = """
select s.import_id, s.file, s.row, s.reason, s.text from set_aside s join imports i on i.import_id = s.import_id
where not i.undone and ($1::integer is null or s.import_id = $1) and ($2::text is null or s.file = $2)
-- a row that several imports set aside is listed once, with the last of them
qualify row_number() over (partition by s.file, s.row, s.text, s.reason order by s.import_id desc) = 1
order by s.import_id desc, s.file, s.row
"""

TAKEN = ("import_id", "file", "row", "reason", "text", "leave out")  # columns of the tables in which rows that wait are shown


def waiting(path: str | Path, import_id: int | None = None, file: str | None = None) -> pd.DataFrame:
    """The rows that are set aside and not mended yet: import_id, file, row (its line), reason, and the row.

    import_id, file: only those; None for all. With both the row stands as one text column per header (c0, c1, ... beyond the header
    and where a header is blank or stands twice), else as the one column text. Raises Refusal where that import has no such file.
    """
    with reading(path) as con:
        found = con.execute(WAITING, [import_id, file]).df()
        listed = import_of(con, import_id).files if import_id is not None and file is not None else ()
    if not listed:
        return found
    table = head_of(path, listed, file)
    cells = [_cells(text, table.delimiter) for text in found["text"]]
    names = _column_names(table.header, max(map(len, cells), default=0))
    filled = [row + [""] * (len(names) - len(row)) for row in cells]
    return found.drop(columns="text").join(pd.DataFrame(filled, columns=names, dtype="str"))


def mend(path: str | Path, import_id: int, file: str, rows: dict[int, list[str] | None]) -> dict[str, Any]:
    """Take rows that were set aside back in: remember what they are, and read their import again.

    rows: the row's line in the file -> its cells in the order of the header, or None to leave it out (from then on it counts as already
    stored). Returns taken_in and left_out (rows of `rows`), sets_stored (how many sets came in), still_set_aside (those of `rows` that
    are set aside again: file, row, text, reason). Raises Refusal for a row that is not waiting, and for equal rows mended differently.
    """
    return mend_all(path, {(import_id, file): rows})


def mend_all(path: str | Path, rows: dict[tuple[int, str], dict[int, list[str] | None]]) -> dict[str, Any]:
    """As `mend`, for rows of several files in one transaction. rows: (import, file) -> line -> cells or None."""
    rows = {(int(number), file): {int(line): cells for line, cells in lines.items()} for (number, file), lines in rows.items()}
    with writing(path) as con:
        texts: set[str] = set()
        keys: dict[str, mended.Mended] = {}
        for (number, file), lines in rows.items():
            texts |= _remembered(con, path, import_of(con, number), file, lines, keys)
        mended.remember(con, keys)
        again = [n for (n,) in con.execute(
            "select distinct s.import_id from set_aside s join imports i on i.import_id = s.import_id "
            "where not i.undone and s.text in (select unnest(?)) order by 1", [list(texts)]).fetchall()]
        stored = sum(read_once_more(con, path, number) for number in again)
        left = {(number, file, a["row"]): a for number, file in rows for a in set_aside_of(con, number) if a["file"] == file}
    asked = [(number, file, line, cells) for (number, file), lines in rows.items() for line, cells in lines.items()]
    still = [left[number, file, line] for number, file, line, _ in asked if (number, file, line) in left]
    out = sum(cells is None for *_, cells in asked)
    return {"taken_in": len(asked) - out - len(still), "left_out": out, "sets_stored": stored, "still_set_aside": still}


def _remembered(con: Any, path: str | Path, was: KeptImport, file: str, lines: dict[int, list[str] | None], keys: dict[str, mended.Mended]) -> set[str]:
    """Put the keys of the rows into `keys`; returns their texts as they are listed among those set aside.

    A row whose cells are as they wait is not mended, and nothing is remembered of it.
    """
    table, all_keys = _keyed(con, path, was, file)
    place = {int(line): position for position, line in enumerate(table.line_no)}
    listed = dict(con.execute("select row, text from set_aside where import_id = ? and file = ?", [was.number, file]).fetchall())
    before = mended.all_of(con)
    for line, cells in lines.items():
        if line not in listed or line not in place:
            raise Refusal(f"Row {line} is not waiting to be mended", file, "evenset mend --out FILE.csv writes the rows that wait.")
        key, waits = all_keys[place[line]], row_key(_cells(listed[line], table.delimiter))
        own = table.rows.iloc[place[line]].tolist()[:table.width[place[line]]]
        if waits not in {row_key(own), row_key(before.get(key) or own)}:
            raise Refusal(f"Row {line} of the kept file is not the row that waits", file, "Read the import again, and mend it then.")
        if cells is not None and row_key([str(cell) for cell in cells]) == waits:
            continue
        row = mended.Mended(None if cells is None else [str(cell) for cell in cells], file, line, listed[line])
        if key in keys and keys[key].cells != row.cells:
            raise Refusal(f"Row {line} has the same cells as another row and was mended differently", file, "Mend equal rows in the same way.")
        keys[key] = row
    _check_alike(file, Counter(all_keys), Counter(all_keys[place[line]] for line in lines if all_keys[place[line]] in keys))
    return {listed[line] for line in lines}


def _check_alike(file: str, there: Counter[str], asked: Counter[str]) -> None:
    """A row is known by its cells alone: what is said of one is said of all that have them."""
    for key, count in asked.items():
        if there[key] > count:
            raise Refusal(f"{there[key]} rows have the same cells as one that was mended, under the same date and exercise", file,
                          "Mend all of them alike, or none.")


def _keyed(con: Any, path: str | Path, was: KeptImport, file: str) -> tuple[TextTable, list[str]]:
    """A kept file as it was read, before anything in it was mended, and the key of each row."""
    table = second_header(read_table(bytes_of(path, was.files, file), file))
    return table, row_keys(table, columns_of(con, table, was))


def mended_rows(path: str | Path) -> pd.DataFrame:
    """What was mended and left out so far, newest first: key, made_at, file, row, text (as it was), cells (None where it was left out)."""
    with reading(path) as con:
        return mended.listed(con)


def unmend(path: str | Path, key: str) -> int:
    """A row that was mended or left out is what its file says again, in every import that holds it; returns how many such rows wait now.

    Raises Refusal for a key that `mended_rows` does not list.
    """
    with writing(path) as con:
        text = mended.forget(con, key)
        word = max(re.findall(r"\w+", text), key=len, default="")
        standing = [n for (n,) in con.execute("select import_id from imports where not undone order by 1").fetchall()]
        held = [n for n in standing if (not word or names_any(con, path, n, {word})) and any(
            key in _keyed(con, path, import_of(con, n), f["name"])[1] for f in import_of(con, n).files)]
        people = {name for number in held for name in people_of(con, number)}
        for number in held:
            anew(con, path, import_of(con, number), silent)
        if held:
            settle_others(con, path, held[0], people)
        return con.execute("select count(*) from set_aside where text = ? and import_id in (select unnest(?::integer[]))",
                           [text, held]).fetchall()[0][0]


def file_table(path: str | Path, import_id: int, file: str) -> TextTable:
    """A kept file as its table of text: what the mapping of its columns is corrected on. Refusal where the import or the file is unknown."""
    with reading(path) as con:
        listed = import_of(con, import_id).files
    return second_header(read_table(bytes_of(path, listed, file), file))


def _cells(text: str, delimiter: str) -> list[str]:
    return next(csv.reader([text], delimiter=delimiter), [])


def _column_names(header: list[str], width: int) -> list[str]:
    """One name for each cell: its header, or c and its place where that is blank, stands twice, or is a name of the list of rows itself."""
    own = [name if name and header.count(name) == 1 and name not in TAKEN else "" for name in header]
    own += [""] * (width - len(header))
    found: list[str] = []
    for place, name in enumerate(own):
        while not name or (not own[place] and name in (*own, *found)):
            name = name + "_" if name else f"c{place}"
        found.append(name)
    return found
