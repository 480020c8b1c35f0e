"""Erasing an athlete: out of the store, out of its bytes, and the kept files that hold nobody else's rows."""

from __future__ import annotations

import json
from collections import defaultdict
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pandas as pd

from etl.importing.kept import answers_in
from etl.importing.memory import Known, known, names_said
from etl.importing.patches import row_keys
from etl.importing.plan import Answers, Understood
from etl.importing.preview import understand
from etl.read.decoding import decode
from etl.refusal import Refusal
from etl.store import erase as store_erase
from etl.store import reading, sources, writing
from etl.store.known import athletes as everybody
from etl.store.known import nobody


@dataclass
class _Found:
    """What the kept files hold. own, shared: sha256 -> the file's names; mended: keys of the rows of own files.

    entries: import and name of each own file -> its sha256. Its copy is shared all the same where another import that stands holds the
    same bytes as somebody else's: two athletes may have files alike, told apart by their names.
    """

    own: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))
    shared: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))
    mended: set[str] = field(default_factory=set)
    entries: dict[tuple[int, str], str] = field(default_factory=dict)


def erase_athlete(path: str | Path, athlete: str) -> dict[str, Any]:
    """Erase an athlete: every row of every table, the text in the store file, and the kept files that hold only their rows.

    Returns athlete (as the store wrote it), sets, days, files_deleted and files_kept: names of kept files that hold other athletes' rows too, or
    that could not be read: they still hold the athlete's text, and their rows of the athlete are not read again.
    Raises Refusal for an athlete that the store does not have.
    """
    with reading(path) as con:
        name = _athlete(con, athlete)
        gone = name is None
        names = [] if gone else store_erase.spellings_of(con, name)
        imports = con.execute("select import_id, answers, files, undone from imports order by import_id").fetchall()
    if gone:
        # Erased earlier, but perhaps stopped before the copies were gone and the store file was written anew.
        used = {file["sha256"] for _, _, files, _ in imports for file in json.loads(files)}
        for sha256 in set(sources.names(path)) - used:
            sources.drop(path, sha256)
        store_erase.rewrite(path)
        return {"athlete": athlete, "sets": 0, "days": 0, "files_deleted": [], "files_kept": []}
    found = _files(path, imports, name, {n.casefold() for n in names}, known(path))
    with writing(path) as con:
        counted = store_erase.forget(con, name, set(found.own), set(found.entries))
        store_erase.forget_mended(con, names, found.mended)
    for sha256 in found.own:
        sources.drop(path, sha256)
    store_erase.rewrite(path)
    listed = {kind: sorted({n for names in files.values() for n in names}) for kind, files in (("deleted", found.own), ("kept", found.shared))}
    return {"athlete": name, **counted, "files_deleted": listed["deleted"], "files_kept": listed["kept"]}


def _athlete(con: Any, name: str) -> str | None:
    """The name as the store writes it; None for one that was erased already."""
    known = everybody(con)
    same = [n for n in known if n.casefold() == name.casefold()]
    if name not in known and len(same) != 1:
        if store_erase.was_erased(con, name):
            return None
        raise nobody(name, known)
    return name if name in known else same[0]


def _files(path: str | Path, imports: list[tuple[int, str, str, bool]], name: str, names: set[str], knows: Known) -> _Found:
    found = _Found()
    others: set[str] = set()
    for number, answers, files, undone in imports:
        of_all, by_name, of_files = answers_in(answers)
        for file in json.loads(files):
            whose = _whose(path, file, of_files.get(file["name"], of_all), by_name, name, names, knows, found)
            if whose == "own" and file["sha256"] not in found.shared:
                found.own[file["sha256"]].append(file["name"])
                found.entries[number, file["name"]] = file["sha256"]
            elif whose:
                found.shared[file["sha256"]] += [file["name"], *found.own.pop(file["sha256"], [])]
            elif not undone:
                others.add(file["sha256"])
    found.entries = {entry: sha256 for entry, sha256 in found.entries.items() if sha256 in found.own}
    for sha256 in others & found.own.keys():
        found.shared[sha256] += found.own.pop(sha256)
    return found


def _whose(path: str | Path, file: dict[str, str], answers: Answers, by_name: bool, name: str, names: set[str], knows: Known, found: _Found) -> str:
    """own, shared, or "" for a kept file that holds nothing of the athlete. A copy that is gone holds nothing; its text in the store goes."""
    told = (answers.athlete or "").casefold() in names or (by_name and bool(names_said(file["name"]) & names))
    try:
        data = sources.read(path, file["sha256"])
    except Refusal:
        return "own" if told else ""
    if not told and not _names_in(data, file["name"], names):
        return ""
    (understood,) = understand([(file["name"], data)], answers, known=knows, names_give_athlete=by_name).files
    people = _people(understood, knows)
    if people is None:
        return "shared"
    if people <= {name}:
        found.mended |= set(row_keys(understood.table, understood.columns)) if knows.mended else set()
        return "own" if told or people else ""
    return "shared" if told or name in people else ""


def _names_in(data: bytes, name: str, names: set[str]) -> bool:
    try:
        text = decode(data, name)[0].casefold()
    except Refusal:
        return True
    return store_erase.as_words(names).search(text) is not None


def _people(file: Understood, knows: Known) -> set[str] | None:
    """Whose rows a file holds, also those of the rows that were set aside; None where it cannot be told."""
    if file.normal is None:
        return None
    people = {name for rows in (file.normal.sets, file.normal.days) for name in pd.unique(pd.Series(rows["athlete"])) if isinstance(name, str)}
    for column in file.columns:
        if column.field == "athlete":
            cells = file.table.rows.iloc[:, column.position].str.strip()
            people |= {knows.athletes.get(cell.casefold(), cell) for cell in cells.unique() if cell and cell != column.header}
    return people
