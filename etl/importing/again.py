"""Taking an import back, and reading its kept files once more."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

from etl.columns import Column
from etl.importing.kept import KeptImport, holding, import_of, unpacked
from etl.importing.memory import Known, known_by, names_said, remember, shape_of
from etl.importing.plan import Answers, Preview, Progress, Understood, silent
from etl.importing.preview import recognised, understand, with_remembered
from etl.importing.write import add, report, warm_ups_assumed, whole
from etl.names import Matcher
from etl.read import TextTable
from etl.refusal import Refusal
from etl.store import erase, writing
from etl.store import imports as writer


class Undone(NamedTuple):
    """sets: how many went. held: import -> how many of the import's sets stay, because that one holds them too."""

    sets: int
    held: dict[int, int]


def undo(path: str | Path, number: int) -> Undone:
    """Take an import back whole. Refusal for an unknown import, or one that was undone.

    A later import that brought the same sets again found them "already stored". It is read once more from its kept
    bytes, in the same transaction, so that what it held stays in the store.
    """
    with writing(path) as con:
        people = people_of(con, number)
        removed = writer.take_back(con, number)
        held = {other: sets for other, sets in settle_others(con, path, number, people).items() if sets}
        return Undone(removed - sum(held.values()), held)


def read_again(path: str | Path, number: int, answers: Answers, progress: Progress = silent, files: Sequence[str] = ()) -> dict[str, Any]:
    """Read an import again from its kept bytes, with other answers, under the same number; in one transaction.

    answers: what is said now; what it leaves open stays as it was said before. files: the names of those that the answers are for (the others
    are read as before); () for all. Returns the report of `keep`, and `later`: import -> sets that a later import of the same rows has now,
    since it was read as before. Raises Refusal for an unknown or undone import, for a file that it does not have, for kept bytes that are
    gone, and as `keep` does: then the store stays as it was.
    """
    with writing(path) as con:
        was = import_of(con, number)
        people = people_of(con, number)
        preview, counts, assumed = anew(con, path, _said_again(was, answers, files), progress)
        meant = _meant_by(preview, was.named(files))
        # Only what is said now: what was said at first may have been said otherwise of a later file.
        remember(con, replace(preview, answers=answers, files=tuple(replace(f, answers=None) for f in meant)), again=number)
        later = settle_others(con, path, number, people | people_of(con, number))
        return report(con, number, preview, counts, assumed) | {"later": {n: sets for n, sets in later.items() if sets}}


def _said_again(was: KeptImport, answers: Answers, files: Sequence[str]) -> KeptImport:
    """The import with other answers for some files, or for all of them: what was said of one file before holds for it where nothing else is said."""
    if not files:
        return replace(was, answers=answers.over(was.answers), of_files={name: answers.over(own) for name, own in was.of_files.items()})
    if answers.say_nothing:
        raise Refusal("Nothing is said of the file that would be read otherwise", "--file", "Say it too, such as --columns \"load=Weight\" or --unit lb.")
    return replace(was, of_files=dict(was.of_files) | {name: answers.over(was.answers_for(name)) for name in was.named(files)})


def _meant_by(preview: Preview, names: Sequence[str]) -> list[Understood]:
    """The files that answers were given for: all, or those of some names. Of these not one whose header another file has that is read otherwise:
    what was said of the one is not to be read into the next file like the other.
    """
    if not names:
        return list(preview.files)
    others = [file for file in preview.files if file.name not in names]
    return [file for file in preview.files if file.name in names and not any(
        shape_of(other.table.header) == shape_of(file.table.header) and other.answers != file.answers for other in others)]


def anew(con: Any, path: str | Path, was: KeptImport, progress: Progress) -> tuple[Preview, writer.Counts, list[str]]:
    """Take back what an import brought, and store its files as they are read now, under its number."""
    writer.take_back(con, was.number)
    con.execute("update imports set undone = false, answers = ? where import_id = ?", [was.said(), was.number])
    preview = understood(con, path, was, progress)
    counts = _add(con, was.number, preview)
    assumed = [*preview.assumed, *warm_ups_assumed(con, was.number)]
    writer.end_import(con, was.number, counts, list(was.files), assumed)
    return preview, counts, assumed


def read_once_more(con: Any, path: str | Path, number: int) -> int:
    """Store what an import lacks, and list anew what it sets aside; returns how many sets came in."""
    was = import_of(con, number)
    preview = understood(con, path, was, silent)
    con.execute("delete from set_aside where import_id = ?", [number])
    con.execute("delete from differences where import_id = ?", [number])
    counts = _add(con, number, preview)
    con.execute(
        "update imports set rows_with_sets = $rows, rows_set_aside = $aside, sets_stored = sets_stored + $sets, days_stored = days_stored + $days, "
        "already_stored = greatest(0, $all - sets_stored - days_stored - $sets - $days) where import_id = $n",
        {"rows": counts.rows_with_sets, "aside": counts.rows_set_aside, "sets": counts.sets_stored, "days": counts.days_stored,
         "all": counts.sets_stored + counts.days_stored + counts.already_stored, "n": number})
    return counts.sets_stored


def settle_others(con: Any, path: str | Path, number: int, people: set[str]) -> dict[int, int]:
    """Other imports that found sets already stored are read once more; import -> how many sets they have now that they had not.

    people: whose sets were taken back; an import of files that name none of them is left alone.
    """
    later = con.execute("select import_id from imports where import_id <> ? and not undone and (already_stored > 0 or rows_set_aside > 0) "
                        "order by import_id", [number]).fetchall()
    names = {spelling for athlete in people for spelling in erase.spellings_of(con, athlete)}
    found = {}
    for (again,) in later:
        if not names_any(con, path, again, names):
            continue
        try:
            found[again] = read_once_more(con, path, again)
        except Refusal as refusal:
            raise Refusal(f"Import {again} holds rows of the same log and cannot be read as it was: {refusal.what}", refusal.where,
                          f"Nothing was changed. Read it again with an answer (evenset again {again} --help), or undo it first.") from refusal
    return found


def people_of(con: Any, number: int) -> set[str]:
    """Whose sets and days an import brought, or filled cells of."""
    return {name for (name,) in con.execute(
        "select athlete from sets where import_id = $n union select athlete from days where import_id = $n "
        "union select s.athlete from fills f join sets s on s.set_id = f.set_id where f.import_id = $n", {"n": number}).fetchall()}


def names_any(con: Any, path: str | Path, number: int, names: set[str]) -> bool:
    """Whether an import may hold rows of one of these athletes: by its answers, the names of its files, or their text."""
    was = import_of(con, number)
    said = {*((one.athlete or "").casefold() for one in (was.answers, *was.of_files.values())), *(name for f in was.files if was.by_name for name in names_said(f["name"]))}
    return bool(said & {name.casefold() for name in names}) or any(holding(path, f["sha256"], names) for f in was.files)


def columns_of(con: Any, table: TextTable, was: KeptImport) -> tuple[Column, ...]:
    """The columns of a kept file, as they were recognised when it was imported."""
    knows = known_by(con, until=was.number)
    return recognised(table, with_remembered(table, was.answers_for(table.name), knows)[0], Matcher.from_catalogue(knows.decisions))


def understood(con: Any, path: str | Path, was: KeptImport, progress: Progress) -> Preview:
    """The files of an import as they are read with its answers, without the rows of an athlete who was erased."""
    known = known_by(con, until=was.number)
    with unpacked(path, was) as files:
        preview = understand(files, was.answers, known=known, names_give_athlete=was.by_name, progress=progress, of_files=was.of_files)
        if preview.refusals:
            # The rest of the log has changed since: what it says of this file is no reason to refuse what was stored before.
            preview = understand(files, was.answers, known=replace(known, history=Known().history), names_give_athlete=was.by_name, progress=progress,
                                 of_files=was.of_files)
    preview = whole(preview)
    hashes = erase.hashes(con, was.number)
    return _without(preview, hashes) if hashes else preview


def _without(preview: Preview, hashes: frozenset[str]) -> Preview:
    """The preview without the rows of the athletes whose names have these hashes."""
    def kept(rows: Any) -> Any:
        if isinstance(rows, pa.Table):
            return _table_without(rows, hashes)
        return rows[~rows["athlete"].map(lambda name: erase.name_hash(name) in hashes).astype(bool)].reset_index(drop=True)

    return replace(preview, files=tuple(
        replace(f, normal=replace(f.normal, sets=kept(f.normal.sets), days=kept(f.normal.days))) for f in preview.files))


def _table_without(table: pa.Table, hashes: frozenset[str]) -> pa.Table:
    """As `_without`, for the sets of a large file; `place` counts those that are left, in the order of the file."""
    athletes = table["athlete"].cast(pa.string())
    gone = [name for name in pc.unique(athletes).to_pylist() if erase.name_hash(name) in hashes]
    left = table.filter(pc.invert(pc.is_in(athletes, pa.array(gone, pa.string()))))
    order = np.argsort(np.argsort(left["place"].to_numpy(), kind="stable"), kind="stable")
    return left.set_column(left.column_names.index("place"), "place", pa.array(order, table["place"].type))


def _add(con: Any, number: int, preview: Preview) -> writer.Counts:
    return sum((add(con, number, file) for file in preview.files), writer.Counts())
