"""Erasing an athlete: out of every table, and out of the bytes of the store file."""

from __future__ import annotations

import hashlib
import json
import os
import re
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import duckdb

from etl.refusal import Refusal
from etl.store import connection, own, said
from etl.store.instance import literal, named
from etl.store.spellings import tables_of_athletes

ERASED = "(erased)"  # in place of a name in the answers of an import that others' rows keep


def as_words(names: Iterable[str]) -> re.Pattern[str]:
    """Any of the names as whole words, in text that is casefolded: "Al" does not stand in "calf raise". The blanks in a name may be any."""
    listed = sorted((r"\s+".join(map(re.escape, name.casefold().split())) for name in names if name.strip()), key=len, reverse=True)
    return re.compile(rf"(?<!\w)(?:{'|'.join(listed)})(?!\w)") if listed else re.compile(r"(?!)")


def name_hash(name: str) -> str:
    """What is kept of an erased name, so that its rows in kept files are not read again."""
    return hashlib.sha256(name.casefold().encode()).hexdigest()


def hashes(con: duckdb.DuckDBPyConnection, number: int) -> frozenset[str]:
    """The hashes of the athletes who were erased after an import; with that of the placeholder, if there are any."""
    found = con.execute("select name_hash from erased where until_import >= ?", [number]).fetchall()
    return frozenset(h for (h,) in found) | (frozenset({name_hash(ERASED)}) if found else frozenset())


def was_erased(con: duckdb.DuckDBPyConnection, name: str) -> bool:
    """True where an athlete of that name was erased."""
    return con.execute("select count(*) from erased where name_hash = ?", [name_hash(name)]).fetchall()[0][0] > 0


def spellings_of(con: duckdb.DuckDBPyConnection, athlete: str) -> list[str]:
    """The athlete's name and every spelling that was merged into it, as written."""
    return [athlete, *(w for (w,) in con.execute("select written from athlete_spellings where athlete = ? order by 1", [athlete]).fetchall())]


def forget(con: duckdb.DuckDBPyConnection, athlete: str, own_files: set[str], entries: set[tuple[int, str]]) -> dict[str, int]:
    """Delete everything of an athlete, in the caller's transaction; returns sets and days deleted.

    own_files: the sha256 of files that hold nobody else's rows: what the store knows of them goes with them. entries: import and name of files
    that are the athlete's alone in that import.
    """
    names = spellings_of(con, athlete)
    last = con.execute("select coalesce(max(import_id), 0) from imports").fetchall()[0][0]
    counted = {table: con.execute(f"select count(*) from {table} where athlete = ?", [athlete]).fetchall()[0][0] for table in ("sets", "days")}
    for table in ("fills", "differences"):
        con.execute(f"delete from {table} where set_id in (select set_id from sets where athlete = ?)", [athlete])
    for table in tables_of_athletes(con):
        con.execute(f"delete from {table} where athlete = ?", [athlete])
    for name in names:
        con.execute("insert into erased values (?, ?)", [name_hash(name), last])
    for row in con.execute("select import_id, answers, files, assumed from imports").fetchall():
        _forget_import(con, row, {n.casefold() for n in names}, own_files, entries)
    own.forget_notes(con, as_words(names))
    said.forget_name(con, as_words(names), ERASED)
    return counted


def _forget_import(con: duckdb.DuckDBPyConnection, row: tuple[Any, ...], names: set[str], own_files: set[str], entries: set[tuple[int, str]]) -> None:
    number, answers, files, assumed = row[0], json.loads(row[1]), json.loads(row[2]), json.loads(row[3])
    left = [f for f in files if f["sha256"] not in own_files and (number, f["name"]) not in entries]
    gone = {f["name"] for f in files} - {f["name"] for f in left}
    if files and not left:
        for table in ("imports", "set_aside", "fills", "differences"):
            con.execute(f"delete from {table} where import_id = ?", [number])
        con.execute("delete from shapes_seen where given_for = ?", [number])
        return
    of_files = answers.get("files", {})  # those given for single files, see `importing.kept`
    for name in gone & of_files.keys():
        del of_files[name]
    for one in (answers, *of_files.values()):
        if str(one.get("athlete") or "").casefold() in names:
            one["athlete"] = ERASED
    names_them, names_files = as_words(names), as_words(gone)
    kept = [text for text in assumed if not names_them.search(text.casefold()) and not names_files.search(text.casefold())]
    con.execute("update imports set answers = ?, files = ?, assumed = ? where import_id = ?",
                [json.dumps(answers), json.dumps(left), json.dumps(kept), number])
    con.execute("delete from set_aside where import_id = ? and file in (select unnest(?::text[]))", [number, list(gone)])
    aside = con.execute("select rowid, text from set_aside where import_id = ?", [number]).fetchall()
    hers = [place for place, text in aside if names_them.search(text.casefold())]
    con.execute("delete from set_aside where rowid in (select unnest(?::bigint[]))", [hers])
    con.execute("update imports set rows_set_aside = (select count(*) from set_aside where import_id = $n) where import_id = $n", {"n": number})


def forget_mended(con: duckdb.DuckDBPyConnection, names: list[str], keys: set[str]) -> None:
    """Delete mended rows that name the athlete, before or after, or whose key is among `keys`."""
    said = as_words(names)
    for key, cells, text in con.execute("select key, cells, text from mended_rows").fetchall():
        if key in keys or said.search(text.casefold()) or any(said.search(str(cell).casefold()) for cell in json.loads(cells or "[]")):
            con.execute("delete from mended_rows where key = ?", [key])


def rewrite(path: str | Path) -> None:
    """Write the store anew, so that what was deleted is not in its bytes either. Whole, or the store stays as it was."""
    path = Path(path)
    part = path.with_name(f"{path.stem}.{os.getpid()}.part.duckdb")
    try:
        with connection.alone(path) as con:
            con.execute("checkpoint")
            name = con.execute("select current_database()").fetchall()[0][0]
            fresh = f"{name}_anew"  # a name that the store cannot have
            con.execute(f"attach {literal(str(part))} as {named(fresh)}")
            os.chmod(part, 0o600)
            con.execute(f"copy from database {named(name)} to {named(fresh)}")
            con.execute(f"detach {named(fresh)}")
            os.replace(part, path)
    except (OSError, duckdb.Error) as error:
        raise Refusal("The athlete is erased, but the store file cannot be written anew", str(path),
                      f"Its bytes may still hold deleted text. Make room, and erase again. ({str(error).splitlines()[0]})") from error
    finally:
        part.unlink(missing_ok=True)
