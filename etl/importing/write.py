"""A preview -> the store, in one transaction, with a report of what became of each row."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import Any

import pandas as pd

from etl.importing.plan import Preview, Progress, Understood, silent
from etl.refusal import Refusal
from etl.store import imports as writer
from etl.store import sources, writing


def keep(path: str | Path, preview: Preview, progress: Progress = silent) -> dict[str, Any]:
    """Store a preview in one transaction and report it. Raises the first Refusal where a file was not understood."""
    for file in preview.files:
        if file.refusal is None:
            sources.keep(path, file.sha256, file.data)
    with writing(path) as con:
        return _write(con, whole(preview), progress)


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
    raise Refusal(f"{len(refused)} of {len(preview.files)} files cannot be read as they are, so nothing was stored", "",
                  f"Answer or leave out:\n{listed}")


def _write(con: Any, preview: Preview, progress: Progress) -> dict[str, Any]:
    number = writer.begin_import(con, asdict(preview.answers) | {"names_give_athlete": preview.names_give_athlete})
    counts = writer.Counts()
    for position, file in enumerate(preview.files):
        progress(position / len(preview.files), f"Storing {file.name}")
        counts += writer.add_file(con, number, rows_of(file))
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


def rows_of(file: Understood) -> writer.FileRows:
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
