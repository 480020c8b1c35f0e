"""The store's schema: numbered SQL files, each applied once and in order."""

from __future__ import annotations

import re
from functools import cache
from importlib.resources import files

import duckdb

from etl.refusal import Refusal


@cache
def _steps() -> tuple[tuple[int, str, str], ...]:
    folder = files("etl") / "sql" / "migrations"
    found = [(int(re.match(r"\d+", f.name)[0]), f.name, f.read_text("utf-8")) for f in folder.iterdir() if f.name.endswith(".sql")]
    return tuple(sorted(found))


def needs_migration(version: int) -> bool:
    """True where a store of this version lacks a step. Raises Refusal where it is newer than the program."""
    newest = _steps()[-1][0]
    if version > newest:
        raise Refusal(
            f"The store was written by a newer version (schema {version}, this program knows {newest})",
            "", "Update the program, or name another store with --store.",
        )
    return version < newest


def version_of(con: duckdb.DuckDBPyConnection) -> int:
    """The newest step that an open store has; 0 before the first, also where a program died just before it."""
    try:
        return con.execute("select coalesce(max(version), 0) from migrations").fetchall()[0][0]
    except duckdb.CatalogException:
        return 0


def migrate(con: duckdb.DuckDBPyConnection) -> None:
    """Bring an open store to the newest schema, each step in a transaction of its own."""
    version = version_of(con)
    if not needs_migration(version):
        return
    con.execute("create table if not exists migrations (version integer primary key, name text, made_at timestamp)")
    for number, name, text in _steps():
        if number > version:
            con.execute("begin")
            con.execute(text)
            con.execute("insert into migrations values (?, ?, now()::timestamp)", [number, name])
            con.execute("commit")
