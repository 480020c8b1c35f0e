"""Rows of files that a person mended, or said to leave out. Runs inside the caller's transaction."""

from __future__ import annotations

import json

import duckdb


def remember(con: duckdb.DuckDBPyConnection, rows: dict[str, list[str] | None]) -> None:
    """Keep what each row is from now on. rows: the key of a row's cells -> its mended cells, None to leave it out."""
    for key, cells in rows.items():
        con.execute("insert or replace into mended_rows values (?, ?, now()::timestamp)",
                    [key, None if cells is None else json.dumps(cells, ensure_ascii=False)])


def all_of(con: duckdb.DuckDBPyConnection) -> dict[str, list[str] | None]:
    """Every mended row: key -> cells, None for one to leave out."""
    return {key: None if cells is None else json.loads(cells) for key, cells in con.execute("select key, cells from mended_rows").fetchall()}
