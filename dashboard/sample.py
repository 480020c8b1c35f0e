"""The sample store: invented athletes with months of training, made from the logs in sample_data."""

from __future__ import annotations

import csv
import hashlib
import os
import shutil
import threading
from collections.abc import Callable
from datetime import date
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any

import platformdirs

from dashboard.standing.refresh import refresh
from etl.importing import Answers, keep, understand
from etl.store import said, sources
from etl.store.athletes import say
from etl.store.said import BLOCKS, DECISIONS, GOALS, NOTES, Table

Progress = Callable[[float, str], None]
READING, STORING = 0.15, 0.4  # where the share of reading and of storing end: working out the weeks takes longest

_ONE_AT_A_TIME = threading.Lock()


def build(path: Path, progress: Progress = lambda share, text: None) -> None:
    """Import the sample logs into a new store, with each athlete's level and what was said of them; whole, or not at all."""
    part = path.with_name(f"{path.stem}.{os.getpid()}.part.duckdb")
    try:
        preview = understand([(log.name, log.read_bytes()) for log in _logs()], Answers(), names_give_athlete=True,
                             progress=_between(progress, 0, READING))
        keep(part, preview, _between(progress, READING, STORING))
        for row in csv.DictReader(_sample("athletes.csv").read_text("utf-8").splitlines()):
            say(part, row["athlete"], level=row["level"], equipment=row["equipment"].split("|"))
        for row in csv.DictReader(_sample("said.csv").read_text("utf-8").splitlines()):
            table, values = _said(row)
            said.say(part, table, row["athlete"], values)
        refresh(part, progress=_between(progress, STORING, 1))
        for sha256 in sources.names(part):
            sources.keep(path, sources.read(part, sha256))
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)
        shutil.rmtree(sources.folder(part), ignore_errors=True)


def ready(progress: Progress = lambda share, text: None) -> Path:
    """The path of the sample store, built if it is not there; two who ask at once get the one store."""
    path = sample_path()
    with _ONE_AT_A_TIME:
        if not path.exists():
            build(path, progress)
        else:
            refresh(path, progress=progress)
    return path


def sample_path() -> Path:
    """The sample store in the user's data folder, named by what it is made from, so that a new sample makes a new one."""
    mark = hashlib.sha256()
    for name in ("athletes.csv", "said.csv", "truths.csv"):
        mark.update(_sample(name).read_bytes())
    for log in sorted(_sample("logs").iterdir(), key=lambda f: f.name):
        mark.update(log.read_bytes())
    for sql in sorted((files("etl") / "sql" / "migrations").iterdir(), key=lambda f: f.name):
        mark.update(sql.read_bytes())
    return Path(platformdirs.user_data_dir("evenset")) / f"demo-{mark.hexdigest()[:12]}.duckdb"


def _said(row: dict[str, str]) -> tuple[Table, dict[str, Any]]:
    """A row of said.csv as a record: the table that it belongs to, and its values."""
    day, until = date.fromisoformat(row["date"]), date.fromisoformat(row["until"]) if row["until"] else None
    about, text = row["subject"], row["text"]
    if row["what"] == "goal":
        return GOALS, {"text": text, "due": day, "subject": about, "measure": row["measure"], "target": float(row["target"])}
    if row["what"] == "block":
        return BLOCKS, {"aim": text, "starts": day, "ends": until}
    if row["what"] == "decision":
        return DECISIONS, {"date": day, "text": text, "subject": about}
    return NOTES, {"date": day, "kind": row["what"], "subject": about, "text": text, "place": row["place"],
                   "score": float(row["score"]) if row["score"] else None, "private": row["private"] == "yes"}


def _sample(name: str) -> Traversable:
    return files("sample_data") / name


def _logs() -> list[Traversable]:
    return sorted((f for f in _sample("logs").iterdir() if f.name.endswith(".csv")), key=lambda f: f.name)


def _between(progress: Progress, start: float, end: float) -> Progress:
    """`progress`, for a step that is a part of the whole."""
    return lambda share, text: progress(start + (end - start) * share, text)
