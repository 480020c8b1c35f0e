"""The pipeline: files -> what they say (a preview) -> the store, in one transaction.

`understand` reads, recognises, normalises and matches names without touching the store. `keep` writes a preview;
`rehearse` does the same and takes it back, to tell what would happen. `undo` takes an import back whole.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable
from dataclasses import asdict, dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import Any

import pandas as pd

from etl import columns as columns_room
from etl.names import Match, Matcher, normalise_name
from etl.normalise import Normal, normalise
from etl.read import TextTable, read_table
from etl.refusal import Refusal
from etl.store import reading, sources, warm_ups, writing
from etl.store import imports as writer
from etl.tables import same_exercise

Progress = Callable[[float, str], None]


@dataclass(frozen=True)
class Answers:
    """What the user said beforehand. None: the file decides, or a question is asked."""

    athlete: str | None = None
    unit: str | None = None
    day_first: bool | None = None
    columns: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Understood:
    """One file as it was understood. `refusal` is set, and the rest empty, where it cannot be read as it is."""

    name: str
    data: bytes
    sha256: str
    table: TextTable | None = None
    columns: tuple[columns_room.Column, ...] = ()
    normal: Normal | None = None
    matches: tuple[Match, ...] = ()
    refusal: Refusal | None = None


@dataclass(frozen=True)
class Preview:
    """All files of one import, understood but not stored."""

    files: tuple[Understood, ...]
    answers: Answers
    names_give_athlete: bool = False

    @property
    def refusals(self) -> list[Refusal]:
        return [f.refusal for f in self.files if f.refusal]

    @property
    def assumed(self) -> list[str]:
        """What was taken for granted, each sentence once, with its file where there are several."""
        said = [(f.name, text) for f in self.files if f.normal for text in (*f.normal.assumed, *_names_assumed(f.matches))]
        many = len(self.files) > 1
        return list(dict.fromkeys(f"{name}: {text}" if many else text for name, text in said))


def understand(
    files: Iterable[tuple[str, bytes]], answers: Answers, *, decisions: dict[str, tuple[str, str]] | None = None,
    names_give_athlete: bool = False, today: date | None = None, progress: Progress = lambda share, text: None,
) -> Preview:
    """Read each (name, bytes). decisions: name key -> (exercise, modifiers) that a person decided earlier.

    names_give_athlete: a file without an athlete column belongs to the athlete that its name says.
    """
    files = list(files)
    matcher = Matcher.from_catalogue(decisions or {})
    done = []
    for position, (name, data) in enumerate(files):
        progress(position / len(files), f"Reading {name}")
        done.append(_understand_one(name, data, answers, matcher, names_give_athlete, today or date.today()))
    return Preview(tuple(done), answers, names_give_athlete)


def keep(path: str | Path, preview: Preview, progress: Progress = lambda share, text: None) -> dict[str, Any]:
    """Store a preview in one transaction and report it. Raises the first Refusal where a file was not understood."""
    for file in preview.files:
        if file.refusal is None:
            sources.keep(path, file.sha256, file.data)
    with writing(path) as con:
        return _write(con, _whole(preview), progress)


def rehearse(path: str | Path, preview: Preview) -> dict[str, Any]:
    """What `keep` would report, without keeping it."""
    report: dict[str, Any] = {}
    try:
        with writing(path) as con:
            report = _write(con, _whole(preview), lambda share, text: None)
            raise _Rehearsed
    except _Rehearsed:
        return {**report, "import": None}


def decisions(path: str | Path) -> dict[str, tuple[str, str]]:
    """The names that a person has decided on: name key -> (exercise, modifiers)."""
    with reading(path) as con:
        return _decisions(con)


def decide(path: str | Path, name: str, exercise: str, modifiers: str = "") -> int:
    """Settle what a name means, for the sets in the store and every later file. Returns how many sets it settled."""
    key = normalise_name(name)
    with writing(path) as con:
        con.execute("insert or replace into name_decisions values (?, ?, ?, now()::timestamp)", [key, exercise, modifiers])
        touched = con.execute("select athlete, min(date), count(*) from sets where name_key = ? group by athlete", [key]).fetchall()
        con.execute("update sets set exercise = ?, modifiers = coalesce(modifiers, nullif(?, '')) where name_key = ?", [exercise, modifiers, key])
        writer.mark_stale(con, {athlete: day for athlete, day, _ in touched})
        warm_ups.assume(con, "select distinct athlete, date, exercise from sets where name_key = $key", {"key": key})
    return sum(count for *_, count in touched)


def undo(path: str | Path, number: int) -> int:
    """Take an import back whole; returns how many sets went.

    A later import that brought the same sets again found them "already stored". It is read once more from its kept
    bytes, in the same transaction, so that what it held stays in the store.
    """
    with writing(path) as con:
        removed = writer.take_back(con, number)
        later = con.execute(
            "select import_id, answers, files from imports where import_id > ? and not undone "
            "and (already_stored > 0 or rows_set_aside > 0) order by import_id", [number]).fetchall()
        known = _decisions(con)
        for again, answers, listed in later:
            removed -= _read_again(con, path, again, answers, listed, known)
    return removed


def _decisions(con: Any) -> dict[str, tuple[str, str]]:
    found = con.execute("select name_key, exercise, modifiers from name_decisions").fetchall()
    return {key: (exercise, modifiers) for key, exercise, modifiers in found}


class _Rehearsed(Exception):
    """Leaves the transaction so that it is rolled back."""


def _understand_one(name: str, data: bytes, answers: Answers, matcher: Matcher, by_name: bool, today: date) -> Understood:
    file = Understood(name, data, hashlib.sha256(data).hexdigest())
    try:
        table = read_table(data, name)
        file = replace(file, table=table)
        fields = columns_room.recognise(table, answers.columns or None)
        file = replace(file, columns=fields)
        normal = normalise(
            table, fields, athlete=answers.athlete, unit=answers.unit, day_first=answers.day_first,
            file_athlete=Path(name).stem if by_name else None, today=today)
        matches = tuple(matcher.match(normal.sets["exercise_as_written"].drop_duplicates()))
        return replace(file, normal=_with_exercises(normal, matches), matches=matches)
    except Refusal as refusal:
        if name not in refusal.where:
            refusal.where = f"{name}, {refusal.where}" if refusal.where else name
        return replace(file, refusal=refusal)


def _with_exercises(normal: Normal, matches: tuple[Match, ...]) -> Normal:
    """Put the matched exercise, and the grip, stance or side that stood in its name, into the rows."""
    by_name = {m.name: m for m in matches}
    sets = normal.sets
    found = sets["exercise_as_written"].map(by_name)
    modifiers = [_joined(own, m.modifiers) for own, m in zip(sets["modifiers"], found, strict=True)]
    side = [m.side if m.side and own == "both" else own for own, m in zip(sets["side"], found, strict=True)]
    # A dumbbell curl with a neutral grip is a hammer curl, however it was written.
    same = [same_exercise(m.exercise, own) if m.exercise else (None, own) for own, m in zip(modifiers, found, strict=True)]
    return replace(normal, sets=sets.assign(
        exercise=pd.array([exercise for exercise, _ in same], dtype="str"),
        modifiers=pd.array([own or None for _, own in same], dtype="str"),
        side=pd.array(side, dtype="str"),
        name_key=pd.array([normalise_name(m.name) for m in found], dtype="str"),
    ))


def _joined(own: Any, from_name: str) -> str | None:
    parts = [p for text in (own, from_name) if isinstance(text, str) for p in text.split(";") if p]
    return ";".join(dict.fromkeys(parts)) or None


def _names_assumed(matches: tuple[Match, ...]) -> list[str]:
    return [m.assumed for m in matches if m.assumed]


def _whole(preview: Preview) -> Preview:
    """The preview, if every file was understood: an import is stored whole or not at all."""
    refused = preview.refusals
    if not refused:
        return preview
    if len(preview.files) == 1:
        raise refused[0]
    listed = "\n".join(f"- {r}" for r in refused)
    raise Refusal(f"{len(refused)} of {len(preview.files)} files cannot be read as they are, so nothing was stored", "",
                  f"Answer or leave out:\n{listed}")


def _write(con: Any, preview: Preview, progress: Progress) -> dict[str, Any]:
    number = writer.begin_import(con, asdict(preview.answers) | {"names_give_athlete": preview.names_give_athlete})
    counts = writer.Counts()
    for position, file in enumerate(preview.files):
        progress(position / len(preview.files), f"Storing {file.name}")
        counts += writer.add_file(con, number, _rows(file))
    listed = [{"name": f.name, "sha256": f.sha256} for f in preview.files]
    assumed = [*preview.assumed, *_warm_ups_assumed(con, number), *_corrections_said(counts)]
    writer.end_import(con, number, counts, listed, assumed)
    return {
        "import": number, **asdict(counts), "set_aside": _set_aside(preview), "unmatched": unmatched(preview),
        "assumed": assumed, "differs": con.execute(
            "select count(*) from differences where import_id = ?", [number]).fetchall()[0][0],
    }


def _warm_ups_assumed(con: Any, number: int) -> list[str]:
    count = con.execute("select count(*) from sets where import_id = ? and kind = 'warm_up' and kind_source = 'assumed'", [number]).fetchall()[0][0]
    if not count:
        return []
    return [f"{count} light sets before the day's top set, with no effort logged, are taken as warm-ups and not counted "
            "(evenset athlete NAME --warm-ups logged counts only tagged ones as warm-ups)"]


def _corrections_said(counts: writer.Counts) -> list[str]:
    if not counts.look_like_corrections:
        return []
    return [f"{counts.look_like_corrections} of the new sets have the date, exercise and set number of a stored set with another load or other "
            "repetitions. Both are kept now; if this file corrects an earlier one, take the earlier import back (evenset undo)"]


def _rows(file: Understood) -> writer.FileRows:
    normal = file.normal
    return writer.FileRows(
        file.name, file.sha256, normal.sets, normal.days, normal.set_aside, normal.rows_read, normal.rows_with_sets)


def _set_aside(preview: Preview) -> list[dict[str, Any]]:
    return [{"file": f.name, "row": int(r.row), "text": r.text, "reason": r.reason}
            for f in preview.files for r in f.normal.set_aside.itertuples()]


def unmatched(preview: Preview) -> list[dict[str, Any]]:
    """Names that the catalogue does not have: name, sets, suggestions (exercise ids); most sets first."""
    sets = pd.concat([f.normal.sets["exercise_as_written"] for f in preview.files])
    counts = sets.value_counts()
    waiting = {m.name: m for f in preview.files for m in f.matches if m.exercise is None}
    found = [{"name": name, "sets": int(counts[name]), "suggestions": list(m.suggestions)} for name, m in waiting.items()]
    return sorted(found, key=lambda u: (-u["sets"], u["name"]))


def _read_again(con: Any, path: str | Path, number: int, answers: str, listed: str, known: dict) -> int:
    """Store what a kept import lacks since an earlier one was undone; returns how many sets came back."""


    said = json.loads(answers)
    by_name = said.pop("names_give_athlete", False)
    files = [(f["name"], sources.read(path, f["sha256"])) for f in json.loads(listed)]
    preview = understand(files, Answers(**said), decisions=known, names_give_athlete=by_name)
    back = 0
    for file in _whole(preview).files:
        back += writer.add_file(con, number, _rows(file)).sets_stored
    con.execute("update imports set sets_stored = sets_stored + ?, already_stored = already_stored - ? where import_id = ?",
                [back, back, number])
    return back
