"""Taking an import back, and reading kept files once more."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from etl.importing.write import rows_of, whole
from etl.importing.memory import Known, known_by
from etl.importing.plan import Answers
from etl.importing.preview import understand
from etl.store import imports as writer
from etl.store import sources, writing


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
        known = known_by(con)
        for again, answers, listed in later:
            removed -= _read_again(con, path, again, answers, listed, known)
    return removed


def _read_again(con: Any, path: str | Path, number: int, answers: str, listed: str, known: Known) -> int:
    """Store what a kept import lacks since an earlier one was undone; returns how many sets came back."""
    said = json.loads(answers)
    by_name = said.pop("names_give_athlete", False)
    files = [(f["name"], sources.read(path, f["sha256"])) for f in json.loads(listed)]
    preview = understand(files, Answers(**said), known=known, names_give_athlete=by_name)
    back = 0
    for file in whole(preview).files:
        back += writer.add_file(con, number, rows_of(file)).sets_stored
    con.execute("update imports set sets_stored = sets_stored + ?, already_stored = already_stored - ? where import_id = ?",
                [back, back, number])
    return back
