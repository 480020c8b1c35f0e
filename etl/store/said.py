"""What a person says of an athlete beside the log: notes, pain and soreness, goals, blocks and decisions.

Each is a record of its own table. Whatever is said can be changed and taken back, and what was taken back can be said again.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import duckdb
import pandas as pd

from etl import tables
from etl.refusal import Refusal
from etl.store import known
from etl.store.connection import reading, writing
from etl.store.stale import mark_stale

NOTE, PAIN, SORENESS = "note", "pain", "soreness"
NOTE_KINDS = (NOTE, PAIN, SORENESS)
MEASURES = ("e1rm", "load", "reps", "hold")
LONGEST = 10_000  # characters of a text: more is a document, not a note
PLACE_LONGEST = 80
SCORE_LEAST, SCORE_MOST = 1.0, 10.0  # [D] of pain that is noted: where there is none, there is nothing to note
TARGET_MOST = {"e1rm": 1000.0, "load": 1000.0, "reps": 500.0, "hold": 7200.0}  # kg, repetitions, seconds: as in the bounds of a log's row
EARLIEST = date(1950, 1, 1)
YEARS_AHEAD = 5
WHOLE_DAY = ""


@dataclass(frozen=True)
class Table:
    """One kind of record. columns: those that a person says. due: the column that its order goes by. dates: its columns that hold days."""

    name: str
    key: str
    columns: tuple[str, ...]
    due: str
    dates: tuple[str, ...]


NOTES = Table("notes", "note_id", ("date", "kind", "subject", "text", "place", "score", "private"), "date", ("date",))
GOALS = Table("goals", "goal_id", ("text", "due", "subject", "measure", "target", "reached_on"), "due", ("due", "reached_on"))
BLOCKS = Table("blocks", "block_id", ("aim", "starts", "ends", "deload_due"), "starts", ("starts", "ends", "deload_due"))
DECISIONS = Table("decisions", "decision_id", ("date", "text", "subject"), "date", ("date",))
TABLES = (NOTES, GOALS, BLOCKS, DECISIONS)
_OTHERWISE = {"kind": NOTE, "subject": WHOLE_DAY, "text": "", "private": True}


def say(path: str | Path, table: Table, athlete: str, values: dict[str, Any], today: date | None = None) -> int:
    """Write a record; returns its number. values: column -> value, of `table.columns`; what is left out is empty (a note is private).

    Raises Refusal for an athlete that the store does not have and for values that cannot be (see `_checked`). Pain, and a deload that is
    due, mark the athlete's weeks to be worked out again: they are among what the next week is planned by.
    """
    values = _checked(table, values, today or date.today())
    with writing(path) as con:
        known.check(con, athlete)
        number = con.execute("select nextval('said_ids')").fetchall()[0][0]
        _insert(con, table, number, athlete, values)
        _touched(con, table, athlete, values)
    return number


def change(path: str | Path, table: Table, number: int, values: dict[str, Any], today: date | None = None) -> dict[str, Any]:
    """Put other values in place of some of a record's; returns the record as it was, for `say_again`. Raises Refusal as `say` does, and for a
    number that is not there."""
    with writing(path) as con:
        before = _record(con, table, number)
        after = _checked(table, {name: before[name] for name in table.columns} | values, today or date.today())
        con.execute(f"delete from {table.name} where {table.key} = ?", [number])
        _insert(con, table, number, before["athlete"], after)
        for one in (before, after):
            _touched(con, table, before["athlete"], one)
    return before


def take_back(path: str | Path, table: Table, number: int) -> dict[str, Any]:
    """Delete a record; returns it, for `say_again`. Raises Refusal for a number that is not there."""
    with writing(path) as con:
        gone = _record(con, table, number)
        con.execute(f"delete from {table.name} where {table.key} = ?", [number])
        _touched(con, table, gone["athlete"], gone)
    return gone


def say_again(path: str | Path, table: Table, record: dict[str, Any]) -> None:
    """Put a record back as it was: what `take_back` or `change` returned."""
    with writing(path) as con:
        known.check(con, record["athlete"])
        con.execute(f"delete from {table.name} where {table.key} = ?", [record[table.key]])
        _insert(con, table, record[table.key], record["athlete"], record)
        _touched(con, table, record["athlete"], record)


def said(path: str | Path, table: Table, athlete: str) -> pd.DataFrame:
    """All records of an athlete, oldest first: the key, the table's columns, said_at."""
    with reading(path) as con:
        return con.execute(f"select * exclude (athlete) from {table.name} where athlete = ? order by {table.due}, {table.key}", [athlete]).df()


def move(con: duckdb.DuckDBPyConnection, old: str, new: str) -> None:
    """Give what was said of one spelling to an athlete, in the caller's transaction."""
    for table in TABLES:
        moved = con.execute(f"update {table.name} set athlete = ? where athlete = ? returning {table.key}", [new, old]).fetchall()
        for (number,) in moved:
            _touched(con, table, new, _record(con, table, number))


def forget_name(con: duckdb.DuckDBPyConnection, names: re.Pattern[str], instead: str) -> None:
    """Write `instead` where a text about somebody else names an erased athlete. names: matches casefolded text."""
    for table in TABLES:
        for column in ("text", "aim", "place"):
            if column in table.columns:
                for number, text in con.execute(f"select {table.key}, {column} from {table.name} where {column} is not null").fetchall():
                    if names.search(text.casefold()):
                        plain = re.sub(names.pattern, instead, text, flags=re.IGNORECASE)
                        # Letters whose small form is longer are found in small letters alone: then nothing of the text is kept.
                        kept = instead if names.search(plain.casefold()) else plain
                        con.execute(f"update {table.name} set {column} = ? where {table.key} = ?", [kept, number])
                        about = _record(con, table, number)
                        _touched(con, table, about["athlete"], about)  # what was worked out says it too


def _insert(con: duckdb.DuckDBPyConnection, table: Table, number: int, athlete: str, values: dict[str, Any]) -> None:
    columns = (table.key, "athlete", *table.columns, "said_at")
    row = [number, athlete, *(values[name] for name in table.columns), values.get("said_at") or datetime.now().replace(microsecond=0)]
    con.execute(f"insert into {table.name} ({', '.join(columns)}) values ({', '.join('?' * len(columns))})", row)


def _record(con: duckdb.DuckDBPyConnection, table: Table, number: int) -> dict[str, Any]:
    columns = (table.key, "athlete", *table.columns, "said_at")
    found = con.execute(f"select {', '.join(columns)} from {table.name} where {table.key} = ?", [number]).fetchall()
    if not found:
        raise Refusal(f"There is no {table.name[:-1]} with the number {number}", "", "It may have been taken back already; the list shows those that are there.")
    return dict(zip(columns, found[0], strict=True))


def _touched(con: duckdb.DuckDBPyConnection, table: Table, athlete: str, values: dict[str, Any]) -> None:
    """What was worked out with it: pain from its day on, a deload that is due from the week before, which plans it."""
    if table is NOTES and values["kind"] == PAIN:
        since = values["date"]
    elif table is BLOCKS and values["deload_due"]:
        since = values["deload_due"] - timedelta(weeks=1)
    else:
        return
    if con.execute("select count(*) from sets where athlete = ? and date >= ?::date - 6 and not planned", [athlete, since]).fetchall()[0][0]:
        mark_stale(con, {athlete: since})


def _checked(table: Table, values: dict[str, Any], today: date) -> dict[str, Any]:
    """The values of every column, tidied: text without blanks around it, an empty text of an optional column as None."""
    if strange := set(values) - set(table.columns):
        raise ValueError(f"{table.name} has no {sorted(strange)}")
    found = {name: values.get(name, _OTHERWISE.get(name)) for name in table.columns}
    for name in ("text", "aim", "place"):
        if isinstance(found.get(name), str):
            found[name] = found[name].strip()
    for name in table.dates:
        found[name] = _day(found[name], name, today, name in ("deload_due", "reached_on"))
    {NOTES: _note, GOALS: _goal, BLOCKS: _block, DECISIONS: _decision}[table](found, today)
    for name in ("text", "aim"):
        if len(found.get(name) or "") > LONGEST:
            raise Refusal(f"The text is longer than {LONGEST} characters", "", "Shorten it, or keep it as several.", field=name)
    return found


def _day(value: Any, name: str, today: date, may_lack: bool) -> date | None:
    if value is None or pd.isna(value):
        if may_lack:
            return None
        raise Refusal(f"The day is not said ({name})", "", "Write it as 2026-03-09.", field=name)
    day = value.date() if isinstance(value, datetime) else value
    if not EARLIEST <= day <= today + timedelta(days=366 * YEARS_AHEAD):
        raise Refusal(f"The day {day.isoformat()} cannot be ({name})", "", f"It lies between {EARLIEST.year} and {YEARS_AHEAD} years from now.", field=name)
    return day


def _subject(found: dict[str, Any]) -> None:
    about = found["subject"] or WHOLE_DAY
    if about and about not in set(tables.parts()["part_id"]) and about not in set(tables.exercises()["exercise_id"]):
        raise Refusal(f"There is no exercise or part '{about}'", "", "evenset lookup finds exercises; leave it out where the whole body is meant.", field="subject")
    found["subject"] = about


def _note(found: dict[str, Any], today: date) -> None:
    _subject(found)
    if found["kind"] not in NOTE_KINDS:
        raise Refusal(f"A note cannot be of the kind '{found['kind']}'", "", f"It is one of: {', '.join(NOTE_KINDS)}.", field="kind")
    found["place"], found["private"] = found["place"] or None, bool(found["private"])
    if found["kind"] == NOTE:
        found["place"] = found["score"] = None
        if not found["text"]:
            raise Refusal("The note is empty", "", "Write what is to be kept.", field="text")
        return
    if not found["place"]:
        raise Refusal(f"Where the {found['kind']} is, is not said", "", "Give its place, such as left elbow.", field="place")
    if len(found["place"]) > PLACE_LONGEST:
        raise Refusal(f"The place is longer than {PLACE_LONGEST} characters", "", "Name the place, and write the rest into the note.", field="place")
    score = found["score"]
    if score is not None and not SCORE_LEAST <= float(score) <= SCORE_MOST:
        raise Refusal(f"A score of {score:g} cannot be", "", f"It is {SCORE_LEAST:g} (hardly felt) to {SCORE_MOST:g} (the worst there is); leave it out where nobody said one.",
                      field="score")
    found["score"] = None if score is None or pd.isna(score) else float(score)
    if found["date"] > today:
        raise Refusal(f"The day {found['date'].isoformat()} lies ahead", "", "Pain and soreness are noted on the day on which they were felt.", field="date")


def _goal(found: dict[str, Any], today: date) -> None:
    _subject(found)
    if not found["text"]:
        raise Refusal("What the goal is, is not said", "", "Write it as the person would say it, such as ten strict pull-ups.", field="text")
    measure, target = found["measure"] or None, found["target"]
    target = None if target is None or pd.isna(target) else float(target)
    if (measure is None) != (target is None):
        raise Refusal("A goal with a number needs the number and what it is of", "", f"Of: {', '.join(MEASURES)}.", field="measure" if measure is None else "target")
    if measure is not None:
        if measure not in MEASURES:
            raise Refusal(f"A goal cannot be of '{measure}'", "", f"It is one of: {', '.join(MEASURES)}.", field="measure")
        if found["subject"] not in set(tables.exercises()["exercise_id"]):
            raise Refusal("A goal with a number is of one exercise", "", "Name the exercise.", field="subject")
        if not 0 < target <= TARGET_MOST[measure]:
            raise Refusal(f"A target of {target:g} cannot be", "", f"It lies between 0 and {TARGET_MOST[measure]:g}.", field="target")
    found["measure"], found["target"] = measure, target
    if found["reached_on"] is not None and found["reached_on"] > today:
        raise Refusal("A goal cannot be reached on a day ahead", "", "Leave the day out until then.")


def _block(found: dict[str, Any], today: date) -> None:
    if not found["aim"]:
        raise Refusal("What the block is for, is not said", "", "Write its aim in a few words, such as more pulling.", field="aim")
    if found["ends"] < found["starts"]:
        raise Refusal(f"The block ends on {found['ends'].isoformat()}, before it starts", "", "Check both days.", field="ends")
    due = found["deload_due"]
    if due is not None:
        found["deload_due"] = due = due - timedelta(days=due.weekday())
        if not found["starts"] - timedelta(days=6) <= due <= found["ends"] + timedelta(days=7):
            raise Refusal(f"The deload of {due.isoformat()} lies outside the block", "", f"The block is {found['starts']} to {found['ends']}; the deload may follow it directly.", field="deload_due")


def _decision(found: dict[str, Any], today: date) -> None:
    _subject(found)
    if not found["text"]:
        raise Refusal("What was decided is not said", "", "Write it in one sentence, such as curls moved to the start of the session.", field="text")
    if found["date"] > today:
        raise Refusal(f"The day {found['date'].isoformat()} lies ahead", "", "A decision is kept under the day on which it was made.", field="date")
