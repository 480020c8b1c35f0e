"""Rows of files that a person mended, or said to leave out. Runs inside the caller's transaction."""

from __future__ import annotations

import json
from dataclasses import dataclass

import duckdb
import pandas as pd

from etl.refusal import Refusal


@dataclass(frozen=True)
class Mended:
    """What a row is from now on: its cells, or None to leave it out. file, row, text: where it stood, and what it was."""

    cells: list[str] | None
    file: str
    row: int
    text: str


def remember(con: duckdb.DuckDBPyConnection, rows: dict[str, Mended]) -> None:
    """Keep what each row is from now on, by the key of its cells; a row that was mended badly keeps the text that it had at first."""
    for key, row in rows.items():
        first = con.execute("select text from mended_rows where key = ?", [key]).fetchall()
        cells = None if row.cells is None else json.dumps(row.cells, ensure_ascii=False)
        con.execute("insert or replace into mended_rows values (?, ?, now()::timestamp, ?, ?, ?)",
                    [key, cells, row.file, row.row, first[0][0] if first else row.text])


def forget(con: duckdb.DuckDBPyConnection, key: str) -> str:
    """A row is what its file says again; returns its text. Refusal where nothing was said of it."""
    found = con.execute("delete from mended_rows where key = ? returning text", [key]).fetchall()
    if not found:
        raise Refusal("That row was neither mended nor left out", "", "evenset mend --list lists those that were.")
    return found[0][0]


def listed(con: duckdb.DuckDBPyConnection) -> pd.DataFrame:
    """What was mended and left out, newest first: key, made_at, file, row, text (as it was), cells (a list; None where it was left out)."""
    found = con.execute("select key, made_at, file, row, text, cells from mended_rows order by made_at desc, file, row").df()
    return found.assign(cells=[json.loads(text) if isinstance(text, str) else None for text in found["cells"]])


def all_of(con: duckdb.DuckDBPyConnection) -> dict[str, list[str] | None]:
    """Every mended row: key -> cells, None for one to leave out."""
    return {key: None if cells is None else json.loads(cells) for key, cells in con.execute("select key, cells from mended_rows").fetchall()}


def texts(con: duckdb.DuckDBPyConnection) -> tuple[str, ...]:
    """Every mended row as its file wrote it."""
    return tuple(text for (text,) in con.execute("select text from mended_rows order by key").fetchall())
