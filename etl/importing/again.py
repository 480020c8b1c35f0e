"""Taking an import back, reading kept files once more, and mending the rows that were set aside."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterable
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

import pandas as pd

from etl.importing.memory import Known, known_by, remember, row_key
from etl.importing.plan import Answers, Preview, Progress, silent
from etl.importing.preview import understand
from etl.importing.write import add, report, whole
from etl.read import TextTable, read_table
from etl.refusal import Refusal
from etl.shapes import second_header
from etl.store import erase, mended, reading, sources, writing
from etl.store import imports as writer

WAITING = """
select s.import_id, s.file, s.row, s.reason, s.text from set_aside s join imports i on i.import_id = s.import_id
where not i.undone and ($n::integer is null or s.import_id = $n) and ($f::text is null or s.file = $f)
-- a row that several imports set aside is listed once, with the last of them
qualify row_number() over (partition by s.file, s.row, s.text, s.reason order by s.import_id desc) = 1
order by s.import_id desc, s.file, s.row
"""


@dataclass(frozen=True)
class _Import:
    """What an import was: its number, the answers given, and whether a file's name may say whose it is."""

    number: int
    answers: Answers
    by_name: bool
    files: tuple[dict[str, str], ...]


def undo(path: str | Path, number: int) -> int:
    """Take an import back whole; returns how many sets went. Refusal for an unknown import, or one that was undone.

    A later import that brought the same sets again found them "already stored". It is read once more from its kept
    bytes, in the same transaction, so that what it held stays in the store.
    """
    with writing(path) as con:
        removed = writer.take_back(con, number)
        return removed - sum(_settle_later(con, path, number).values())


def read_again(path: str | Path, number: int, answers: Answers, progress: Progress = silent) -> dict[str, Any]:
    """Read an import again from its kept bytes, with other answers, under the same number; in one transaction.

    answers: what is said now; what it leaves open stays as it was said at first. Returns the report of `keep`, and `later`: import ->
    sets that a later import of the same rows has now, since it was read as before. Raises Refusal for an unknown or undone import, for
    kept bytes that are gone, and as `keep` does: then the store stays as it was.
    """
    with writing(path) as con:
        was = _import(con, number)
        said = Answers(answers.athlete or was.answers.athlete, answers.unit or was.answers.unit,
                       was.answers.day_first if answers.day_first is None else answers.day_first, answers.columns or was.answers.columns)
        writer.take_back(con, number)
        con.execute("update imports set undone = false, answers = ? where import_id = ?",
                    [json.dumps(asdict(said) | {"names_give_athlete": was.by_name}), number])
        preview = _understood(con, path, replace(was, answers=said), progress)
        counts = _add(con, number, preview)
        writer.end_import(con, number, counts, list(was.files), preview.assumed)
        remember(con, replace(preview, answers=answers), later=True)
        later = _settle_later(con, path, number)
        return report(con, number, preview, counts, preview.assumed) | {"later": {n: sets for n, sets in later.items() if sets}}


def waiting(path: str | Path, import_id: int | None = None, file: str | None = None) -> pd.DataFrame:
    """The rows that are set aside and not mended yet: import_id, file, row (its line), reason, and the row.

    import_id, file: only those; None for all. With both the row stands as one text column per header (c0, c1, ... beyond the header
    and where a header is blank or stands twice), else as the one column text. Raises Refusal where that import has no such file.
    """
    with reading(path) as con:
        found = con.execute(WAITING, {"n": import_id, "f": file}).df()
        listed = _import(con, import_id).files if import_id is not None and file is not None else ()
    if not listed:
        return found
    table = second_header(read_table(_bytes(path, listed, file), file))
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
        keys: dict[str, list[str] | None] = {}
        for (number, file), lines in rows.items():
            texts |= _remembered(con, path, _import(con, number), file, lines, keys)
        mended.remember(con, keys)
        again = [n for (n,) in con.execute(
            "select distinct s.import_id from set_aside s join imports i on i.import_id = s.import_id "
            "where not i.undone and s.text in (select unnest(?)) order by 1", [list(texts)]).fetchall()]
        stored = sum(_read_once_more(con, path, number) for number in again)
        left = {(number, file, a["row"]): a for number, file in rows for a in _listed(con, number) if a["file"] == file}
    asked = [(number, file, line, cells) for (number, file), lines in rows.items() for line, cells in lines.items()]
    still = [left[number, file, line] for number, file, line, _ in asked if (number, file, line) in left]
    out = sum(cells is None for *_, cells in asked)
    return {"taken_in": len(asked) - out - len(still), "left_out": out, "sets_stored": stored, "still_set_aside": still}


def _remembered(con: Any, path: str | Path, was: _Import, file: str, lines: dict[int, list[str] | None], keys: dict) -> set[str]:
    """Put the keys of the rows into `keys`; returns their texts as they are listed among those set aside."""
    table = read_table(_bytes(path, was.files, file), file)
    place = {int(line): position for position, line in enumerate(table.line_no)}
    listed = dict(con.execute("select row, text from set_aside where import_id = ? and file = ?", [was.number, file]).fetchall())
    for line, cells in lines.items():
        if line not in listed or line not in place:
            raise Refusal(f"Row {line} is not waiting to be mended", file, "evenset mend --out FILE.csv writes the rows that wait.")
        key = row_key(table.rows.iloc[place[line]].tolist())
        if key in keys and keys[key] != cells:
            raise Refusal(f"Row {line} has the same cells as another row and was mended differently", file, "Mend equal rows in the same way.")
        keys[key] = None if cells is None else [str(cell) for cell in cells]
    return {listed[line] for line in lines}


def _read_once_more(con: Any, path: str | Path, number: int) -> int:
    """Store what an import lacks, and list anew what it sets aside; returns how many sets came in."""
    was = _import(con, number)
    preview = _understood(con, path, was, silent)
    con.execute("delete from set_aside where import_id = ?", [number])
    con.execute("delete from differences where import_id = ?", [number])
    counts = _add(con, number, preview)
    con.execute(
        "update imports set rows_with_sets = $rows, rows_set_aside = $aside, sets_stored = sets_stored + $sets, days_stored = days_stored + $days, "
        "already_stored = greatest(0, $all - sets_stored - days_stored - $sets - $days) where import_id = $n",
        {"rows": counts.rows_with_sets, "aside": counts.rows_set_aside, "sets": counts.sets_stored, "days": counts.days_stored,
         "all": counts.sets_stored + counts.days_stored + counts.already_stored, "n": number})
    return counts.sets_stored


def _settle_later(con: Any, path: str | Path, number: int) -> dict[int, int]:
    """Later imports that found sets already stored are read once more; import -> how many sets they have now that they had not."""
    later = con.execute("select import_id from imports where import_id > ? and not undone and (already_stored > 0 or rows_set_aside > 0) "
                        "order by import_id", [number]).fetchall()
    found = {}
    for (again,) in later:
        try:
            found[again] = _read_once_more(con, path, again)
        except Refusal as refusal:
            raise Refusal(f"Import {again} holds rows of the same log and cannot be read as it was: {refusal.what}", refusal.where,
                          f"Nothing was changed. Read it again with an answer (evenset again {again} --help), or undo it first.") from refusal
    return found


def _understood(con: Any, path: str | Path, was: _Import, progress: Progress) -> Preview:
    """The files of an import as they are read with its answers, without the rows of an athlete who was erased."""
    files = [(f["name"], sources.read(path, f["sha256"])) for f in was.files]
    known = known_by(con, until=was.number)
    preview = understand(files, was.answers, known=known, names_give_athlete=was.by_name, progress=progress)
    if preview.refusals:
        # The rest of the log has changed since: what it says of this file is no reason to refuse what was stored before.
        preview = understand(files, was.answers, known=replace(known, history=Known().history), names_give_athlete=was.by_name, progress=progress)
    preview = whole(preview)
    hashes = erase.hashes(con, was.number)
    return _without(preview, hashes) if hashes else preview


def _without(preview: Preview, hashes: frozenset[str]) -> Preview:
    """The preview without the rows of the athletes whose names have these hashes."""
    def kept(rows: Any) -> Any:
        frame = rows if isinstance(rows, pd.DataFrame) else rows.to_pandas()
        return frame[~frame["athlete"].map(lambda name: erase.name_hash(name) in hashes).astype(bool)].reset_index(drop=True)

    return replace(preview, files=tuple(
        replace(f, normal=replace(f.normal, sets=kept(f.normal.sets), days=kept(f.normal.days))) for f in preview.files))


def _add(con: Any, number: int, preview: Preview) -> writer.Counts:
    return sum((add(con, number, file) for file in preview.files), writer.Counts())


def _import(con: Any, number: int) -> _Import:
    found = con.execute("select answers, files, undone from imports where import_id = ?", [number]).fetchall()
    if not found or found[0][2]:
        what = "was undone" if found else "is not in the store"
        raise Refusal(f"Import {number} {what}", "", "The page Data lists the imports.")
    said = json.loads(found[0][0])
    by_name = said.pop("names_give_athlete", False)
    return _Import(number, Answers(**said), by_name, tuple(json.loads(found[0][1])))


def _bytes(path: str | Path, files: Iterable[dict[str, str]], name: str) -> bytes:
    digests = [f["sha256"] for f in files if f["name"] == name]
    if not digests:
        raise Refusal(f"The import has no file {name}", "", "The page Data lists the files of each import.")
    return sources.read(path, digests[0])


def _listed(con: Any, number: int) -> list[dict[str, Any]]:
    rows = con.execute("select file, row, text, reason from set_aside where import_id = ? order by file, row", [number]).fetchall()
    return [dict(zip(("file", "row", "text", "reason"), row, strict=True)) for row in rows]


def _cells(text: str, delimiter: str) -> list[str]:
    return next(csv.reader([text], delimiter=delimiter), [])


def _column_names(header: list[str], width: int) -> list[str]:
    return [name if name and header.count(name) == 1 else f"c{i}" for i, name in enumerate(header)] + [f"c{i}" for i in range(len(header), width)]


def file_table(path: str | Path, import_id: int, file: str) -> TextTable:
    """A kept file as its table of text: what the mapping of its columns is corrected on. Refusal where the import or the file is unknown."""
    with reading(path) as con:
        listed = _import(con, import_id).files
    return second_header(read_table(_bytes(path, listed, file), file))
