"""A preview -> the store, in one transaction, with a report of what became of each row."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import Any

from etl.importing.memory import remember
from etl.importing.plan import Preview, Progress, Understood, silent
from etl.refusal import Refusal
from etl.store import imports as writer
from etl.store import own, reading, sources, writing
from etl.tables import in_use


def keep(path: str | Path, preview: Preview, progress: Progress = silent) -> dict[str, Any]:
    """Store a preview in one transaction and report it. Raises the first Refusal where a file was not understood."""
    preview = whole(preview)
    new = [file.sha256 for file in preview.files if not sources.has(path, file.sha256)]
    try:
        for file in preview.files:
            sources.keep(path, file.data)
        with writing(path) as con:
            return _write(con, preview, progress)
    except BaseException:
        _drop_unused(path, new)
        raise


def _drop_unused(path: str | Path, new: list[str]) -> None:
    """Copies made for an import that came to nothing go, unless another program has imported the same file meanwhile."""
    if not any(sources.has(path, sha256) for sha256 in new):
        return
    try:
        with reading(path) as con:
            used = con.execute("select coalesce(string_agg(files, ' '), '') from imports").fetchall()[0][0]
    except Refusal:
        return  # the store cannot be asked, so that what it refers to is not known
    for sha256 in new:
        if sha256 not in used:
            sources.drop(path, sha256)


def rehearse(path: str | Path, preview: Preview) -> dict[str, Any]:
    """What `keep` would report, without keeping it."""
    report: dict[str, Any] = {}
    try:
        with writing(path) as con:
            report = _write(con, whole(preview), silent)
            raise _Rehearsed
    except _Rehearsed:
        return {**report, "import": None}


class _Rehearsed(Exception):
    """Leaves the transaction so that it is rolled back."""


def whole(preview: Preview) -> Preview:
    """The preview, if every file was understood: an import is stored whole or not at all."""
    refused = preview.refusals
    if not refused:
        return preview
    if len(preview.files) == 1:
        raise refused[0]
    listed = "\n".join(f"- {r}" for r in refused)
    it, this = ("it", "this one") if len(refused) == 1 else ("them", "these")
    out = f", or leave {it} out (name the other files alone, or move {this} out of the folder)" if len(refused) < len(preview.files) else ""
    raise Refusal(f"{len(refused)} of {len(preview.files)} files cannot be read as {'it is' if len(refused) == 1 else 'they are'}, so nothing was stored", "",
                  f"Answer what is asked{out}:\n{listed}")


def _write(con: Any, preview: Preview, progress: Progress) -> dict[str, Any]:
    number = writer.begin_import(con, asdict(preview.answers) | {"names_give_athlete": preview.names_give_athlete})
    counts = writer.Counts()
    for position, file in enumerate(preview.files):
        progress(position / len(preview.files), f"Storing {file.name}")
        counts += add(con, number, file)
    if preview.catalogue != in_use().key:
        own.let_go(con)
    listed = [{"name": f.name, "sha256": f.sha256} for f in preview.files]
    assumed = [*preview.assumed, *warm_ups_assumed(con, number), *_doubts_said(counts)]
    writer.end_import(con, number, counts, listed, assumed)
    remember(con, preview)
    return report(con, number, preview, counts, assumed)


def add(con: Any, number: int, file: Understood) -> writer.Counts:
    """One understood file -> the store, in the caller's transaction."""
    return writer.add_file(con, number, rows_of(file))


def set_aside_of(con: Any, number: int) -> list[dict[str, Any]]:
    """The rows that an import set aside: file, row, text, reason."""
    rows = con.execute("select file, row, text, reason from set_aside where import_id = ? order by file, row", [number]).fetchall()
    return [dict(zip(("file", "row", "text", "reason"), row, strict=True)) for row in rows]


def report(con: Any, number: int, preview: Preview, counts: writer.Counts, assumed: list[str]) -> dict[str, Any]:
    """What an import did, from what was written."""
    return {
        "import": number, **counts.numbers(), "set_aside": set_aside_of(con, number),
        "unmatched": unmatched(preview, counts), "assumed": assumed,
        "differs": con.execute("select count(*) from differences where import_id = ?", [number]).fetchall()[0][0],
    }


def warm_ups_assumed(con: Any, number: int) -> list[str]:
    """A sentence on the sets of an import that are taken for warm-ups, if there are any."""
    count = con.execute("select count(*) from sets where import_id = ? and kind = 'warm_up' and kind_source = 'assumed'", [number]).fetchall()[0][0]
    if not count:
        return []
    sets = "1 light set before the day's top set, with no effort logged, is taken as a warm-up" if count == 1 else (
        f"{count} light sets before the day's top set, with no effort logged, are taken as warm-ups")
    return [f"{sets} and not counted "
            "(evenset athlete NAME --warm-ups logged counts only tagged ones as warm-ups)"]


def _doubts_said(counts: writer.Counts) -> list[str]:
    """New sets that may be stored ones, put right or written otherwise."""
    found = []
    if counts.look_like_corrections:
        found.append(f"{counts.look_like_corrections} of the new sets {_have(counts.look_like_corrections)} the date, exercise and set number of a stored set with another load or "
                     "other repetitions. Both are kept now; if this file corrects an earlier one, take the earlier import back (evenset undo)")
    if counts.look_alike:
        found.append(f"{counts.look_alike} of the new sets {_have(counts.look_alike)} the day, exercise, repetitions and load of a stored set, but another set number or "
                     "spelling. Both are kept now; if the same session was written down twice, take this import back (evenset undo)")
    return found


def _have(count: int) -> str:
    return "has" if count == 1 else "have"


def rows_of(file: Understood) -> writer.FileRows:
    """A file's rows as the store takes them. Rows that a person said to leave out count as already stored."""
    normal = file.normal
    return writer.FileRows(
        file.name, file.sha256, normal.sets, normal.days, normal.set_aside, normal.rows_read + file.left_out, normal.rows_with_sets, file.left_out)


def unmatched(preview: Preview, counts: writer.Counts) -> list[dict[str, Any]]:
    """Names that the catalogue does not have and on which nobody has decided: name, sets, suggestions (exercise ids); most sets first."""
    waiting = {m.name: m for f in preview.files for m in f.matches if m.exercise is None and not m.settled}
    found = [{"name": name, "sets": counts.unmatched[name], "suggestions": list(m.suggestions)}
             for name, m in waiting.items() if counts.unmatched[name]]
    return sorted(found, key=lambda u: (-u["sets"], u["name"]))
