"""What a person puts right: `evenset mend`, `again`, `sets`, `correct`, `merge` and `name`."""

from __future__ import annotations

import argparse
import csv
import re
from collections import defaultdict
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pandas as pd

from dashboard.command.logs import columns_said, in_words
from dashboard.command.output import json_text, new_file
from dashboard.command.people import find_stored, monday_of
from dashboard.command.progress import Progress, refreshed
from dashboard.queries.kept import store_at
from dashboard.queries.presented import shown_unit
from dashboard.queries.words import called
from dashboard.sentences.numbers import counted
from dashboard.sentences.units import LB, as_written, to_kg
from dashboard.standing.refresh import refresh
from etl.importing import (
    Answers, changes, correct, decide, decisions, file_table, mend_all, mended_rows, merge_athletes, read_again, remove, stored_sets,
    take_back_change, undecide, unmend, waiting,
)
from etl.importing.corrections import CORRECTABLE
from etl.names import normalise_name
from etl.own import find
from etl.read import read_table
from etl.refusal import Refusal
from etl.store import reading, store_path

KEY_SHOWN = 8  # [D] hexadecimal digits of a row's key that tell it from others
IN_POUNDS = re.compile(r"\s*([-+]?\d+(?:\.\d+)?)\s*lbs?\.?\s*", re.IGNORECASE)
LOAD = "load"  # of a set, which has a unit of its own
SHEET = ("import", "file", "row", "reason", "text")
OPTIONS = {"written": "exercise_as_written"}  # option -> column, where they differ
CORRECTIONS = {column: option for option, column in OPTIONS.items()}  # column -> option, where they differ


def mend(options: argparse.Namespace) -> None:
    """Write the rows that are set aside to a table, or take a mended table back in."""
    store = store_path(options.store)
    number = int(options.what) if options.what and options.what.isdecimal() else None
    back = options.list or options.take_back is not None
    if (options.list and options.take_back is not None) or (back and (options.what or options.out)):
        raise Refusal("It is not said what to do", "evenset mend", "Give an import or a table, or --list, or --take-back KEY.")
    if options.list:
        _show_mended(mended_rows(store), options.json)
    elif options.take_back is not None:
        _take_back(store, options.take_back, options.json)
    elif options.out:
        if options.what and number is None:
            raise Refusal(f"'{options.what}' is no number of an import", "", "With --out, name an import, or none for all.")
        _write_sheet(waiting(store, number), Path(options.out))
    elif number is None and options.what:
        _take_in(store, Path(options.what), options.json)
    else:
        _show_waiting(waiting(store, number), options.json)


def _show_waiting(found: pd.DataFrame, as_json: bool) -> None:
    if as_json:
        print(json_text({"waiting": [dict(zip(SHEET, row, strict=True)) for row in _sheet(found)]}))
    elif found.empty:
        print("No row is set aside.")
    else:
        for r in found.itertuples():
            print(f"import {r.import_id}, {r.file} row {r.row}: {r.reason}\n  {r.text}")
        print(f"{counted(len(found), 'row waits', 'rows wait')}. evenset mend --out FILE.csv writes them to a table to mend.")


def _show_mended(found: pd.DataFrame, as_json: bool) -> None:
    if as_json:
        print(json_text({"mended": found.astype({"made_at": str}).astype(object).to_dict("records")}))
        return
    for r in found.itertuples():
        print(f"{r.key[:KEY_SHOWN]}  {r.file} row {r.row}: {r.text}\n  " + ("left out" if r.cells is None else f"is {' | '.join(r.cells)}"))
    print(f"{counted(len(found), 'row', 'rows')} mended or left out. evenset mend --take-back KEY lets one be what its file says again.")


def _take_back(store: Path, said: str, as_json: bool) -> None:
    keys = [key for key in mended_rows(store)["key"] if said and key.startswith(said.casefold())]
    if len(keys) != 1:
        raise Refusal(f"'{said}' is {'no key' if not keys else 'the beginning of several keys'} of a mended row", "--take-back",
                      "evenset mend --list lists the rows with their keys.")
    report = {"key": keys[0], "waiting": unmend(store, keys[0])}
    refreshed(store)
    print(json_text(report) if as_json else f"The row is what its file says again; {counted(report['waiting'], 'row waits', 'rows wait')} for it.")


def _sheet(found: pd.DataFrame) -> list[tuple]:
    return list(zip(found["import_id"].tolist(), found["file"], found["row"].tolist(), found["reason"], found["text"], strict=True))


def _write_sheet(found: pd.DataFrame, path: Path) -> None:
    with new_file(path) as out:
        csv.writer(out).writerows([SHEET, *_sheet(found)])
    print(f"{counted(len(found), 'row', 'rows')} written to {path}. Mend the column text (empty it to leave a row out), "
          f"then: evenset mend {path}")


def _take_in(store: Path, path: Path, as_json: bool) -> None:
    sheet = _read_sheet(path)
    listed = {(n, file, row): text for n, file, row, _, text in _sheet(waiting(store))}
    changed = [(key, text) for key, text in sheet if key in listed and text != listed[key]]
    rows: dict[tuple[int, str], dict[int, list[str] | None]] = defaultdict(dict)
    marks: dict[tuple[int, str], str] = {}
    for (number, file, row), text in changed:
        mark = marks.setdefault((number, file), file_table(store, number, file).delimiter)
        rows[number, file][row] = next(csv.reader([text], delimiter=mark)) if text.strip() else None
    report = mend_all(store, dict(rows)) if rows else {"taken_in": 0, "left_out": 0, "sets_stored": 0, "still_set_aside": []}
    report |= {"unchanged": sum(key in listed and text == listed[key] for key, text in sheet),
               "not_waiting": sum(key not in listed for key, _ in sheet)}
    refreshed(store)
    if as_json:
        print(json_text(report))
        return
    print(f"{counted(report['taken_in'], 'row', 'rows')} taken in ({counted(report['sets_stored'], 'set', 'sets')} stored), "
          f"{report['left_out']} left out.")
    for a in report["still_set_aside"]:
        print(f"  still set aside: {a['file']} row {a['row']}: {a['reason']}")
    for what, text in (("unchanged", "as before, and still waiting"), ("not_waiting", "not waiting any more")):
        if report[what]:
            print(f"  {counted(report[what], 'row', 'rows')} {text}")


def _read_sheet(path: Path) -> list[tuple[tuple[int, str, int], str]]:
    """((import, file, row), text) of each line."""
    try:
        table = read_table(path.read_bytes(), path.name)
    except OSError as error:
        raise Refusal(f"The table cannot be read: {error.strerror}", str(path), "evenset mend --out FILE.csv writes one.") from error
    place = {name.casefold(): position for position, name in enumerate(table.header)}
    missing = [name for name in ("import", "file", "row", "text") if name not in place]
    if missing:
        raise Refusal(f"The table has no column {missing[0]}", path.name,
                      "evenset mend --out FILE.csv writes one that has it; mend only the column text.")
    found = []
    for line, cells in zip(table.line_no, table.rows.to_numpy(dtype=object).tolist(), strict=True):
        number, file, row = (str(cells[place[name]]).strip() for name in ("import", "file", "row"))
        text = str(cells[place["text"]])  # as it stands: a blank at its edge may be a cell of a file that is parted by tabs
        if not (number.isdecimal() and row.isdecimal()):
            raise Refusal("The columns import and row have to stay as they were", f"{path.name} row {line}", "Mend only the column text.")
        found.append(((int(number), file, int(row)), text))
    return found


def again(options: argparse.Namespace) -> None:
    """Read an import again from its kept bytes, with other answers."""
    store, progress = store_path(options.store), Progress()
    answers = Answers(options.athlete, options.unit, options.day_first, columns_said(options.columns), year=options.year)
    report = read_again(store, options.number, answers, progress, options.files or ())
    refresh(store, progress=progress)
    progress.done()
    if options.json:
        print(json_text(report))
        return
    print(in_words(report, False))
    for number, sets in report["later"].items():
        print(f"  Import {number} holds rows of the same log and was read as before: {counted(sets, 'set', 'sets')} came in from it. "
              f"If it needs the same correction: evenset again {number}")


def sets(options: argparse.Namespace) -> None:
    """List stored sets with their numbers."""
    store = store_path(options.store)
    name = find_stored(store, options.athlete)
    first, last = _days(options)
    found = stored_sets(store, name, first, last)
    if options.json:
        rows = found.assign(date=found["date"].astype(str)).astype(object)
        print(json_text({"athlete": name, "sets": rows.where(rows.notna(), None).to_dict("records")}))
        return
    unit = shown_unit(store_at(store), name)
    for row in found.itertuples():
        print(f"{row.set_id:>8}  {str(row.date)[:10]}  {row.exercise_as_written}: {_set_in_words(row, unit)}")
    print(f"{counted(len(found), 'set', 'sets')}. evenset correct NUMBER --reps N (or --remove) puts one right.")


def _days(options: argparse.Namespace) -> tuple[date | None, date | None]:
    if options.week:
        first = monday_of(options.week)
        return first, first + timedelta(days=6)
    if not options.date:
        return None, None
    try:
        day = date.fromisoformat(options.date)
    except ValueError:
        raise Refusal(f"'{options.date}' is no date", "--date", "Write it as 2026-03-02.") from None
    return day, day


def _set_in_words(row: Any, unit: str) -> str:
    """One set, its load as it was written; in `unit` where that does not show."""
    said = [("set {}", row.set_no), ("{} repetitions", row.reps), ("{} s", row.hold_s), (LOAD, row.load_kg), ("{} in reserve", row.rir),
            ("RPE {}", row.rpe)]
    words = [as_written(value, unit) if text is LOAD else text.format(f"{value:g}") for text, value in said if pd.notna(value)]
    words += [row.kind.replace("_", "-")] if row.kind != "work" else []
    words += [row.side] if row.side != "both" else []
    return ", ".join(words + (["planned"] if row.planned else []))


def correct_set(options: argparse.Namespace) -> None:
    """Correct or remove a stored set, take such a change back, or list the changes."""
    store = store_path(options.store)
    said = {column: getattr(options, CORRECTIONS.get(column, column)) for column in CORRECTABLE}
    values = {column: value for column, value in said.items() if value is not None}
    if pounds := IN_POUNDS.fullmatch(values.get("load_kg", "")):
        values["load_kg"] = to_kg(float(pounds[1]), LB)
    if "planned" in values:
        values["planned"] = values["planned"] == "yes"
    asked = [bool(values), options.remove, options.take_back is not None, options.list]
    if sum(asked) != 1 or (options.number is None) == (bool(values) or options.remove):
        raise Refusal("It is not said what to do", "evenset correct",
                      "Give a set and its new values, a set and --remove, --take-back CHANGE, or --list. evenset sets lists the sets with their numbers.")
    if options.list:
        _list_changes(store, options.json)
        return
    if options.take_back is not None:
        done = {"change": options.take_back, "brought_back": take_back_change(store, options.take_back)}
    else:
        change = remove(store, options.number) if options.remove else correct(store, options.number, **values)
        done = {"set": options.number, "change": change}
    refreshed(store)
    if options.json:
        print(json_text(done))
    elif options.take_back is not None:
        print(f"Change {done['change']} is taken back"
              + ("." if done["brought_back"] else "; its set is in no import that holds, so that nothing came back."))
    else:
        print(f"Set {options.number} is {'removed' if options.remove else 'corrected'}, also in later files "
              f"(evenset correct --take-back {done['change']} takes it back).")


def _list_changes(store: Path, as_json: bool) -> None:
    found = changes(store)
    if as_json:
        rows = [dict(zip(found.columns, row, strict=True)) for row in found.astype({"made_at": str}).itertuples(index=False, name=None)]
        print(json_text({"changes": rows}))
        return
    for row in found.itertuples():
        what = "removed" if row.removed else ", ".join(f"{name} {row.was[name]} -> {value}" for name, value in row.now.items())
        print(f"{row.change_id:>6}  {row.athlete}, {row.date}, {row.exercise}: {what}")
    print(counted(len(found), "change", "changes"))


def merge(options: argparse.Namespace) -> None:
    """Give everything of one spelling of an athlete to another."""
    store = store_path(options.store)
    report = merge_athletes(store, options.spelling, options.into)
    refreshed(store)
    if options.json:
        print(json_text(report))
        return
    print(f"'{options.spelling}' is '{options.into}' from now on, also in later files: {counted(report['sets_moved'], 'set', 'sets')} moved, "
          f"{report['sets_already_there']} that both had stay once.")


def name(options: argparse.Namespace) -> None:
    """Settle what a written exercise name means, take that back, or show it."""
    store = store_path(options.store)
    if sum((options.exercise is not None, options.none, options.forget)) > 1:
        raise Refusal("Only one of an exercise, --none and --forget can be said", "evenset name", "Leave the others out.")
    if options.forget:
        done = undecide(store, options.written)
    elif options.exercise or options.none:
        done = decide(store, options.written, "" if options.none else _exercise(store, options.exercise), find.modifiers(options.modifiers or "", "--modifiers"))
    else:
        print(_meaning(store, options.written))
        return
    refreshed(store)
    print(f"{counted(done, 'set', 'sets')} settled. {_meaning(store, options.written)}")


def _exercise(store: Path, said: str) -> str:
    """An exercise's id from its id or its name in the catalogue."""
    with reading(store):
        return find.exercise(said, "EXERCISE")


def _meaning(store: Path, written: str) -> str:
    found = decisions(store)
    found = found[found["name_key"] == normalise_name(written)]
    if found.empty:
        return f"Nothing is decided on '{written}': it is read as the catalogue says."
    exercise = found["exercise"].iloc[0]
    return f"'{written}' is {called(exercise) if exercise else 'in no catalogue: its sets stay unmatched'} from now on."
