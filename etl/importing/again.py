"""Taking an import back, reading kept files once more, and mending the rows that were set aside."""

from __future__ import annotations

import csv
import json
import re
import tempfile
from collections import Counter
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pyarrow as pa
import pyarrow.compute as pc

from etl.columns import Column
from etl.fast import blocks
from etl.importing.kept import holding
from etl.importing.memory import Known, known_by, remember, row_key
from etl.importing.patches import row_keys
from etl.importing.plan import Answers, Preview, Progress, silent
from etl.importing.preview import recognised, understand, with_remembered
from etl.importing.write import add, report, warm_ups_assumed, whole
from etl.names import Matcher
from etl.read import TextTable, read_table
from etl.refusal import Refusal
from etl.shapes import second_header
from etl.store import erase, mended, reading, sources, warm_ups, writing
from etl.store import imports as writer

PIECE = 2**20  # [D] bytes read at a time where the limit of a large file is set lower
# $1: an import, $2: a file; null for all.
WAITING = """
select s.import_id, s.file, s.row, s.reason, s.text from set_aside s join imports i on i.import_id = s.import_id
where not i.undone and ($1::integer is null or s.import_id = $1) and ($2::text is null or s.file = $2)
-- a row that several imports set aside is listed once, with the last of them
qualify row_number() over (partition by s.file, s.row, s.text, s.reason order by s.import_id desc) = 1
order by s.import_id desc, s.file, s.row
"""

TAKEN = ("import_id", "file", "row", "reason", "text", "leave out")  # columns of the tables in which rows that wait are shown


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
        people = _people(con, number)
        removed = writer.take_back(con, number)
        return removed - sum(settle_others(con, path, number, people).values())


def read_again(path: str | Path, number: int, answers: Answers, progress: Progress = silent) -> dict[str, Any]:
    """Read an import again from its kept bytes, with other answers, under the same number; in one transaction.

    answers: what is said now; what it leaves open stays as it was said at first. Returns the report of `keep`, and `later`: import ->
    sets that a later import of the same rows has now, since it was read as before. Raises Refusal for an unknown or undone import, for
    kept bytes that are gone, and as `keep` does: then the store stays as it was.
    """
    with writing(path) as con:
        was = _import(con, number)
        people = _people(con, number)
        said = Answers(answers.athlete or was.answers.athlete, answers.unit or was.answers.unit,
                       was.answers.day_first if answers.day_first is None else answers.day_first, answers.columns or was.answers.columns)
        preview, counts, assumed = _anew(con, path, replace(was, answers=said), progress)
        # Only what is said now: what was said at first may have been said otherwise of a later file.
        remember(con, replace(preview, answers=answers, files=tuple(replace(f, answers=None) for f in preview.files)), again=number)
        later = settle_others(con, path, number, people | _people(con, number))
        return report(con, number, preview, counts, assumed) | {"later": {n: sets for n, sets in later.items() if sets}}


def _anew(con: Any, path: str | Path, was: _Import, progress: Progress) -> tuple[Preview, writer.Counts, list[str]]:
    """Take back what an import brought, and store its files as they are read now, under its number."""
    writer.take_back(con, was.number)
    con.execute("update imports set undone = false, answers = ? where import_id = ?",
                [json.dumps(asdict(was.answers) | {"names_give_athlete": was.by_name}), was.number])
    preview = _understood(con, path, was, progress)
    counts = _add(con, was.number, preview)
    assumed = [*preview.assumed, *warm_ups_assumed(con, was.number)]
    writer.end_import(con, was.number, counts, list(was.files), assumed)
    return preview, counts, assumed


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
        held = [n for n in standing if (not word or _names_any(con, path, n, {word})) and any(
            key in _keyed(con, path, _import(con, n), f["name"])[1] for f in _import(con, n).files)]
        people = {name for number in held for name in _people(con, number)}
        for number in held:
            _anew(con, path, _import(con, number), silent)
        if held:
            settle_others(con, path, held[0], people)
        return con.execute("select count(*) from set_aside where text = ? and import_id in (select unnest(?::integer[]))",
                           [text, held]).fetchall()[0][0]


def give_own(con: Any, path: str | Path, key: str) -> None:
    """Sets of a name that nothing is known for any more get the exercise that their file gives by an id of its own."""
    lacking = con.execute("select distinct import_id, source from sets where name_key = ? and exercise is null", [key]).fetchall()
    for number in sorted({n for n, _ in lacking}):
        was = _import(con, number)
        if not any(_gives_ids(con, path, was, file["name"]) for file in was.files):
            continue
        for file in _understood(con, path, was, silent).files:
            rows = _own_ids(file.normal.sets, key)
            if rows.empty:
                continue
            con.register("own_ids", rows)
            con.execute("update sets set exercise = o.exercise, modifiers = o.modifiers from own_ids o "
                        "where sets.name_key = $key and sets.exercise is null and sets.import_id = $n and sets.source = o.source and sets.source_row = o.source_row", {"key": key, "n": number})
            con.unregister("own_ids")
    warm_ups.assume(con, "select distinct athlete, date, exercise from sets where name_key = $key and exercise is not null", {"key": key})


def _gives_ids(con: Any, path: str | Path, was: _Import, file: str) -> bool:
    """Whether a kept file has a column of exercise ids."""
    return any(column.field == "exercise_id" for column in _columns(con, _head(path, was.files, file), was))


def _own_ids(sets: pd.DataFrame | pa.Table, key: str) -> pd.DataFrame:
    """Of the sets of a name, those with an exercise: exercise, modifiers, source, source_row."""
    names = ["name_key", "exercise", "modifiers", "source", "source_row"]
    if isinstance(sets, pa.Table):
        sets = sets.select([name for name in names if name in sets.column_names]).to_pandas()
    sets = sets.reindex(columns=names)
    found = sets[(sets["name_key"] == key) & sets["exercise"].notna()].drop_duplicates(["source", "source_row"])
    return found.astype({"exercise": "str", "modifiers": "str"})


def waiting(path: str | Path, import_id: int | None = None, file: str | None = None) -> pd.DataFrame:
    """The rows that are set aside and not mended yet: import_id, file, row (its line), reason, and the row.

    import_id, file: only those; None for all. With both the row stands as one text column per header (c0, c1, ... beyond the header
    and where a header is blank or stands twice), else as the one column text. Raises Refusal where that import has no such file.
    """
    with reading(path) as con:
        found = con.execute(WAITING, [import_id, file]).df()
        listed = _import(con, import_id).files if import_id is not None and file is not None else ()
    if not listed:
        return found
    table = _head(path, listed, file)
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


def _remembered(con: Any, path: str | Path, was: _Import, file: str, lines: dict[int, list[str] | None], keys: dict[str, mended.Mended]) -> set[str]:
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


def _keyed(con: Any, path: str | Path, was: _Import, file: str) -> tuple[TextTable, list[str]]:
    """A kept file as it was read, before anything in it was mended, and the key of each row."""
    table = second_header(read_table(_bytes(path, was.files, file), file))
    return table, row_keys(table, _columns(con, table, was))


def _columns(con: Any, table: TextTable, was: _Import) -> tuple[Column, ...]:
    """The columns of a kept file, as they were recognised when it was imported."""
    knows = known_by(con, until=was.number)
    return recognised(table, with_remembered(table, was.answers, knows)[0], Matcher.from_catalogue(knows.decisions))


def _head(path: str | Path, files: Iterable[dict[str, str]], name: str) -> TextTable:
    """The header and the first rows of a kept file."""
    with sources.opened(path, _digest(files, name)) as stream:
        begin = _piece(stream, name)
    if len(begin) < blocks.FAST_BYTES:
        return second_header(read_table(begin, name))
    try:
        return second_header(read_table(begin[:begin.rfind(b"\n") + 1], name))
    except Refusal:
        return second_header(read_table(_bytes(path, files, name), name))  # cut within a cell


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


def _people(con: Any, number: int) -> set[str]:
    """Whose sets and days an import brought, or filled cells of."""
    return {name for (name,) in con.execute(
        "select athlete from sets where import_id = $n union select athlete from days where import_id = $n "
        "union select s.athlete from fills f join sets s on s.set_id = f.set_id where f.import_id = $n", {"n": number}).fetchall()}


def settle_others(con: Any, path: str | Path, number: int, people: set[str]) -> dict[int, int]:
    """Other imports that found sets already stored are read once more; import -> how many sets they have now that they had not.

    people: whose sets were taken back; an import of files that name none of them is left alone.
    """
    later = con.execute("select import_id from imports where import_id <> ? and not undone and (already_stored > 0 or rows_set_aside > 0) "
                        "order by import_id", [number]).fetchall()
    names = {spelling for athlete in people for spelling in erase.spellings_of(con, athlete)}
    found = {}
    for (again,) in later:
        if not _names_any(con, path, again, names):
            continue
        try:
            found[again] = _read_once_more(con, path, again)
        except Refusal as refusal:
            raise Refusal(f"Import {again} holds rows of the same log and cannot be read as it was: {refusal.what}", refusal.where,
                          f"Nothing was changed. Read it again with an answer (evenset again {again} --help), or undo it first.") from refusal
    return found


def _names_any(con: Any, path: str | Path, number: int, names: set[str]) -> bool:
    """Whether an import may hold rows of one of these athletes: by its answers, the names of its files, or their text."""
    was = _import(con, number)
    said = {(was.answers.athlete or "").casefold(), *(Path(f["name"]).stem.casefold() for f in was.files if was.by_name)}
    return bool(said & {name.casefold() for name in names}) or any(holding(path, f["sha256"], names) for f in was.files)


def _understood(con: Any, path: str | Path, was: _Import, progress: Progress) -> Preview:
    """The files of an import as they are read with its answers, without the rows of an athlete who was erased."""
    known = known_by(con, until=was.number)
    with _unpacked(path, was) as files:
        preview = understand(files, was.answers, known=known, names_give_athlete=was.by_name, progress=progress)
        if preview.refusals:
            # The rest of the log has changed since: what it says of this file is no reason to refuse what was stored before.
            preview = understand(files, was.answers, known=replace(known, history=Known().history), names_give_athlete=was.by_name, progress=progress)
    preview = whole(preview)
    hashes = erase.hashes(con, was.number)
    return _without(preview, hashes) if hashes else preview


@contextmanager
def _unpacked(path: str | Path, was: _Import) -> Iterator[list[tuple[str, bytes | Path]]]:
    """The kept files of an import; a large one by its path, so that it is read as it was at first. It is deleted on leaving."""
    with tempfile.TemporaryDirectory(prefix=".again-", dir=Path(path).parent) as folder:
        files: list[tuple[str, bytes | Path]] = []
        for position, file in enumerate(was.files):
            with sources.opened(path, file["sha256"]) as stream:
                begin = _piece(stream, file["sha256"])
                if len(begin) < blocks.FAST_BYTES:
                    files.append((file["name"], begin))
                    continue
                whole_file = Path(folder) / str(position)
                with whole_file.open("wb") as out:
                    while begin:
                        out.write(begin)
                        begin = _piece(stream, file["sha256"])
                files.append((file["name"], whole_file))
        yield files


def _piece(stream: Any, sha256: str) -> bytes:
    """The next bytes of a kept file: as many as make a file large (at least PIECE), fewer only at its end."""
    wanted = max(blocks.FAST_BYTES, PIECE)
    try:
        found = stream.read(wanted)
        while found and len(found) < wanted and (more := stream.read(wanted - len(found))):
            found += more
        return found
    except (OSError, EOFError) as error:
        raise Refusal("The kept copy of a file is damaged", sha256[:12], "Import the file again.") from error


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


def _import(con: Any, number: int) -> _Import:
    found = con.execute("select answers, files, undone from imports where import_id = ?", [number]).fetchall()
    if not found or found[0][2]:
        what = "was undone" if found else "is not in the store"
        raise Refusal(f"Import {number} {what}", "", "The page Data lists the imports.")
    said = json.loads(found[0][0])
    by_name = said.pop("names_give_athlete", False)
    return _Import(number, Answers(**said), by_name, tuple(json.loads(found[0][1])))


def _digest(files: Iterable[dict[str, str]], name: str) -> str:
    digests = [f["sha256"] for f in files if f["name"] == name]
    if not digests:
        raise Refusal(f"The import has no file {name}", "", "The page Data lists the files of each import.")
    return digests[0]


def _bytes(path: str | Path, files: Iterable[dict[str, str]], name: str) -> bytes:
    return sources.read(path, _digest(files, name))


def _listed(con: Any, number: int) -> list[dict[str, Any]]:
    rows = con.execute("select file, row, text, reason from set_aside where import_id = ? order by file, row", [number]).fetchall()
    return [dict(zip(("file", "row", "text", "reason"), row, strict=True)) for row in rows]


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


def file_table(path: str | Path, import_id: int, file: str) -> TextTable:
    """A kept file as its table of text: what the mapping of its columns is corrected on. Refusal where the import or the file is unknown."""
    with reading(path) as con:
        listed = _import(con, import_id).files
    return second_header(read_table(_bytes(path, listed, file), file))
