"""`evenset mark`: marking a week as a planned increase, a deload, a holiday or an illness, and taking that back."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from dashboard.command.output import json_text
from dashboard.command.people import find, monday_of
from dashboard.queries.kept import store_at
from dashboard.sentences import marks as say
from dashboard.standing.refresh import refresh
from etl.refusal import Refusal
from etl.store import store_path
from etl.store.marked_weeks import mark_week, marked_weeks, take_back_mark


def mark(options: argparse.Namespace) -> None:
    """Mark a week, take its mark back, or list the weeks that are marked."""
    path = store_path(options.store)
    refresh(path)
    athlete = find(store_at(path), options.athlete)
    if options.week is None and (options.as_ or options.take_back):
        raise Refusal("Which week it is, is not said", "--week", "Give its Monday, such as 2025-11-17, or 2025-W47.")
    if options.week and not (options.as_ or options.take_back):
        raise Refusal("What the week is, is not said", "--as", "Give --as planned-increase, deload, holiday or illness, or --take-back.")
    said = _changed(path, athlete, options) if options.week else ""
    if options.json:
        print(json_text({"athlete": athlete, "weeks": _listed(path, athlete)}))
    else:
        print(said or _lines(athlete, _listed(path, athlete)))


def _changed(path: Path, athlete: str, options: argparse.Namespace) -> str:
    week = monday_of(options.week)
    if options.take_back:
        said = say.taken_back(week, take_back_mark(path, athlete, week))
    else:
        said = say.marked(mark_week(path, athlete, week, options.as_.replace("-", "_")), options.as_.replace("-", "_"))
    refresh(path)
    return said


def _listed(path: Path, athlete: str) -> list[dict[str, Any]]:
    return [{"week": row.week.date().isoformat(), "mark": row.mark} for row in marked_weeks(path, athlete).itertuples()]


def _lines(athlete: str, weeks: list[dict[str, Any]]) -> str:
    return "\n".join(f"{athlete}  week of {w['week']}  {say.WORDS[w['mark']]}" for w in weeks) or f"{athlete} has no marked week."
