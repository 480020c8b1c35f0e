"""`evenset note`, `goal`, `block` and `decide`: what a person says of an athlete beside the log. Without words, each lists what was said."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path
from typing import Any

import pandas as pd

from dashboard.command.output import json_text
from dashboard.command.people import find_stored
from dashboard.queries.kept import store_at
from dashboard.queries.presented import shown_unit
from dashboard.queries.review import plain
from dashboard.queries.words import called
from dashboard.sentences import said as say
from dashboard.sentences.units import KG
from dashboard.standing.refresh import refresh
from etl.own import find
from etl.refusal import Refusal
from etl.store import reading, said, store_path
from etl.store.said import BLOCKS, DECISIONS, GOALS, NOTE, NOTES, PAIN, SORENESS, Table


def note(options: argparse.Namespace) -> None:
    """Keep a note, pain or soreness."""
    kind, place = (PAIN, options.pain) if options.pain else (SORENESS, options.sore) if options.sore else (NOTE, None)
    asked = bool(options.text or place)
    _run(options, NOTES, {"date": _day(options.date, "--date") or date.today(), "kind": kind, "subject": _subject(options),
                          "text": options.text or "", "place": place, "score": options.score, "private": not options.shared} if asked else None)


def goal(options: argparse.Namespace) -> None:
    """Keep a goal with its date, or say when it was reached."""
    path = store_path(options.store)
    if options.reached is not None:
        said.change(path, GOALS, options.reached, {"reached_on": _day(options.on, "--on") or date.today()})
    if options.text and not options.by:
        raise Refusal("By when, is not said", "--by", "Give the day on which the goal is to be reached, such as 2026-06-30.")
    _run(options, GOALS, {"text": options.text, "due": _day(options.by, "--by"), "subject": _subject(options), "measure": options.of,
                          "target": options.target} if options.text else None)


def block(options: argparse.Namespace) -> None:
    """Keep a block of training: its aim, when it starts and ends, and when a deload is due."""
    if options.text and not (options.starts and options.ends):
        raise Refusal("When the block starts and ends, is not said", "--from, --to", "Give both days, such as --from 2026-03-02 --to 2026-04-12.")
    _run(options, BLOCKS, {"aim": options.text, "starts": _day(options.starts, "--from"), "ends": _day(options.ends, "--to"),
                           "deload_due": _day(options.deload, "--deload")} if options.text else None)


def decide(options: argparse.Namespace) -> None:
    """Keep a decision, so that what followed can be told."""
    _run(options, DECISIONS, {"date": _day(options.date, "--date") or date.today(), "text": options.text, "subject": _subject(options)}
         if options.text else None)


def _run(options: argparse.Namespace, table: Table, values: dict[str, Any] | None) -> None:
    """Say it, take one back, or list what was said of an athlete."""
    path = store_path(options.store)
    if options.take_back is not None:
        gone = said.take_back(path, table, options.take_back)
        refresh(path)
        athlete = gone["athlete"]
        told = f"Taken back: {_told(path, athlete, table, gone)}"
    else:
        athlete, told = find_stored(path, options.athlete), ""
        if values is not None:
            number = said.say(path, table, athlete, values)
            refresh(path)
            told = f"Kept as number {number}: {_told(path, athlete, table, values)}"
    rows = _listed(path, table, athlete)
    if options.json:
        print(json_text({"athlete": athlete, table.name: rows}))
    else:
        print(told or "\n".join(f"{row[table.key]:>5}  {_told(path, athlete, table, row)}" for row in rows) or f"Nothing yet for {athlete}.")


def _listed(path: Path, table: Table, athlete: str) -> list[dict[str, Any]]:
    found: pd.DataFrame = said.said(path, table, athlete).drop(columns="said_at")
    return [{name: plain(value) for name, value in row.items()} for row in found.to_dict("records")]


def _told(path: Path, athlete: str, table: Table, record: dict[str, Any]) -> str:
    """The record in words, a goal's load in the unit of the athlete's pages."""
    unit = shown_unit(store_at(path), athlete) if table is GOALS else KG
    return say.told(table.name, record, called(record["subject"]) if record.get("subject") else "", unit)


def _day(text: str | None, option: str) -> date | None:
    if text is None:
        return None
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise Refusal(f"'{text}' is no day", option, "Write it as 2026-03-09.") from None


def _subject(options: argparse.Namespace) -> str:
    """The id of the part or exercise that was named, in the catalogue of the store; '' where none was."""
    if not options.about:
        return said.WHOLE_DAY
    with reading(store_path(options.store)):
        return find.part_or_exercise(options.about, "--about")
