"""Files -> a preview: read, recognised, normalised and matched, without touching the store."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pandas as pd

from etl.columns import recognise
from etl.importing.memory import Known
from etl.importing.plan import Answers, Preview, Progress, Understood, silent
from etl.names import Match, Matcher, normalise_name
from etl.normalise import Normal, normalise
from etl.read import read_table
from etl.refusal import Refusal
from etl.tables import same_exercise


def understand(
    files: Iterable[tuple[str, bytes]], answers: Answers, *, known: Known = Known(),
    names_give_athlete: bool = False, today: date | None = None, progress: Progress = silent,
) -> Preview:
    """Read each (name, bytes). known: what the store knows.

    names_give_athlete: a file without an athlete column belongs to the athlete that its name says.
    """
    files = list(files)
    matcher = Matcher.from_catalogue(known.decisions)
    done = []
    for position, (name, data) in enumerate(files):
        progress(position / len(files), f"Reading {name}")
        done.append(_understand_one(name, data, answers, matcher, names_give_athlete, today or date.today()))
    return Preview(tuple(done), answers, names_give_athlete)


def _understand_one(name: str, data: bytes, answers: Answers, matcher: Matcher, by_name: bool, today: date) -> Understood:
    file = Understood(name, data, hashlib.sha256(data).hexdigest())
    try:
        table = read_table(data, name)
        file = replace(file, table=table)
        fields = recognise(table, answers.columns or None)
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
