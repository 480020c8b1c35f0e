"""Correcting and removing stored sets, so that the next export of the same log does not bring the mistake back."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pandas as pd

from etl import tables
from etl.importing.again import settle_others
from etl.importing.memory import known_by
from etl.importing.naming import settle_name
from etl.importing.exercises import exercise_of, thing_in
from etl.names import Matcher, normalise_name
from etl.refusal import Refusal
from etl.settings import RULES, Rules
from etl.store import corrected, reading, writing
from etl.store.corrected import KINDS, RANGES, SIDES

NUMBER_MAX = 1000  # [D] of a set or a round: above it, another column was meant
LISTED = ("set_id", "date", "exercise", "exercise_as_written", "set_no", "round_no", "kind", "side", "range", "reps", "load_kg", "hold_s",
          "rpe", "rir", "note", "planned", "import_id", "source", "source_row")


def correct(path: str | Path, set_id: int, *, today: date | None = None, **values: Any) -> int:
    """Give a stored set other values, and remember it for every later file; returns the number of the change.

    values: any of CORRECTABLE. date: a date or ISO text; load in kg, hold in s; exercise: a catalogue id, None for none; None or ""
    empties a cell that may be empty. An exercise_as_written without an exercise is matched anew.
    Raises Refusal for an unknown set, a column that cannot be corrected, a value out of bounds (etl.settings), a date after
    today where the set is not planned, a set left without repetitions and seconds, and values that change nothing.
    """
    unknown = [name for name in values if name not in CORRECTABLE]
    if unknown:
        raise Refusal(f"'{unknown[0]}' of a set cannot be corrected", "", f"What can: {', '.join(CORRECTABLE)}.")
    with writing(path) as con:
        before = corrected.stored(con, set_id)
        said = {name: CORRECTABLE[name](name, value, RULES) for name, value in values.items()}
        said |= _that_follows(before, said, known_by(con).decisions)
        fresh = {name: value for name, value in said.items() if value != before[name]}
        if not fresh:
            raise Refusal("The set has these values already", f"set {set_id}", "Nothing was changed.")
        _check_whole(before | fresh, today or date.today())
        return corrected.change(con, set_id, fresh)


def remove(path: str | Path, set_id: int) -> int:
    """Remove a stored set, also from every later file that holds it; returns the number of the change. Refusal for an unknown set."""
    with writing(path) as con:
        return corrected.change(con, set_id, None)


def take_back_change(path: str | Path, change_id: int) -> bool:
    """Take a correction or a removal back; False where no import that stands holds the set, so that there was nothing to bring back.

    A set whose own import was undone meanwhile comes from a later one that held it too. A decision that was made on its name meanwhile
    holds for it. Raises Refusal for an unknown change, one that was taken back already, or one on which a later change stands.
    """
    with writing(path) as con:
        done = corrected.take_back(con, change_id)
        athlete, original = con.execute("select athlete, original from set_changes where change_id = ?", [change_id]).fetchall()[0]
        if not done:
            done = sum(settle_others(con, path, 0, {athlete}).values()) > 0
        key = json.loads(original)["name_key"]
        if done and key in known_by(con).decisions:
            settle_name(con, key, {})
        return done


def changes(path: str | Path) -> pd.DataFrame:
    """The corrections and removals that hold, newest first: change_id, made_at, athlete, date, exercise, set_id, removed, was, now.

    date (ISO text) and exercise (as written) are those before. was, now: dicts of the changed columns, empty where the set was removed.
    """
    with reading(path) as con:
        found = con.execute("select change_id, made_at, athlete, set_id, original, changed from set_changes where active "
                            "order by change_id desc").fetchall()
    rows = []
    for change_id, made_at, athlete, set_id, original, changed in found:
        before, now = json.loads(original), json.loads(changed) if changed else {}
        rows.append((change_id, made_at, athlete, before["date"], before["exercise_as_written"], set_id, changed is None,
                     {name: before[name] for name in now}, now))
    return pd.DataFrame(rows, columns=["change_id", "made_at", "athlete", "date", "exercise", "set_id", "removed", "was", "now"])


def stored_sets(path: str | Path, athlete: str, first: date | None = None, last: date | None = None) -> pd.DataFrame:
    """One row per stored set of an athlete from `first` to `last` (both included, None: no limit): the columns LISTED, by date and set."""
    with reading(path) as con:
        return con.execute(
            f"select {', '.join(LISTED)} from sets where athlete = $a and ($f::date is null or date >= $f) and ($l::date is null or date <= $l) "
            "order by date, coalesce(time, ''), set_id", {"a": athlete, "f": first, "l": last}).df()


def _that_follows(before: dict[str, Any], said: dict[str, Any], decisions: dict[str, tuple[str, str]]) -> dict[str, Any]:
    """Columns that hang on corrected ones: the name's key and match, who said the kind, the session that is only the date."""
    found: dict[str, Any] = {}
    if "exercise_as_written" in said:
        found["name_key"] = normalise_name(said["exercise_as_written"])
        if "exercise" not in said and found["name_key"] != before["name_key"]:
            (match,) = Matcher.from_catalogue(decisions).match([said["exercise_as_written"]])
            thing = thing_in(before["modifiers"] or "")
            exercise, modifiers, _ = exercise_of(match, "", thing and f"equipment={thing}", "both")
            found |= {"exercise": exercise, "modifiers": modifiers}
            found |= {"side": match.side} if match.side and "side" not in said else {}
    if said.get("exercise"):
        exercise, modifiers = tables.same_exercise(said["exercise"], before["modifiers"])
        found |= {"exercise": exercise, "modifiers": modifiers or None}
    if "kind" in said:
        found["kind_source"] = "logged"
    if "date" in said and before["session"] == before["date"]:
        found["session"] = said["date"]
    return found


def _check_whole(row: dict[str, Any], today: date) -> None:
    if row["reps"] is None and row["hold_s"] is None:
        raise Refusal("A set needs repetitions or seconds", f"set {row['set_id']}", "Give one of them, or remove the set.")
    if date.fromisoformat(row["date"]) > today and not row["planned"]:
        raise Refusal(f"The date {row['date']} is in the future and the set is not planned", f"set {row['set_id']}", "Give an earlier date.")


def _date(name: str, value: Any, rules: Rules) -> str:
    try:
        day = value if isinstance(value, date) else date.fromisoformat(str(value).strip())
    except ValueError:
        raise Refusal(f"'{value}' is no date", name, "Write it as 2026-03-02.") from None
    if day < rules.first_date:
        raise Refusal(f"The date {day} is before {rules.first_date}", name, "Give a later one.")
    return date(day.year, day.month, day.day).isoformat()


def _text(name: str, value: Any, rules: Rules) -> str:
    text = str(value or "").strip()
    if not text:
        raise Refusal("The exercise of a set needs a name", name, "Give one, or remove the set.")
    return text


def _note(name: str, value: Any, rules: Rules) -> str | None:
    return None if value is None else str(value).strip() or None


def _exercise(name: str, value: Any, rules: Rules) -> str | None:
    return exercise_id(value) if value else None


def exercise_id(value: str) -> str:
    """The id, if the catalogue has it. Raises Refusal otherwise."""
    if value not in set(tables.exercises()["exercise_id"]):
        raise Refusal(f"There is no exercise '{value}' in the catalogue", "exercise", "Use an id of exercises.csv, such as barbell_bench_press.")
    return value


def _one_of(*words: str) -> Callable[[str, Any, Rules], str]:
    def check(name: str, value: Any, rules: Rules) -> str:
        if value not in words:
            raise Refusal(f"'{value}' is no {name}", name, f"It is one of: {', '.join(words)}.")
        return value

    return check


def _between(bounds: Callable[[Rules], tuple[float, float]], whole: bool = False) -> Callable[[str, Any, Rules], float | None]:
    def check(name: str, value: Any, rules: Rules) -> float | None:
        if value is None or value == "":
            return None
        low, high = bounds(rules)
        try:
            number = float(value)
        except (TypeError, ValueError):
            raise Refusal(f"'{value}' is no number", name, f"Give one from {low:g} to {high:g}.") from None
        if not low <= number <= high or (whole and number != int(number)):
            raise Refusal(f"{number:g} is out of bounds", name, f"Give a {'whole ' if whole else ''}number from {low:g} to {high:g}.")
        return int(number) if whole else number

    return check


def _yes_or_no(name: str, value: Any, rules: Rules) -> bool:
    if not isinstance(value, bool):
        raise Refusal(f"'{value}' is neither true nor false", name, "A set is planned or it is not.")
    return value


# Column -> check(column, value, rules) -> the value as it is stored.
CORRECTABLE: dict[str, Callable[[str, Any, Rules], Any]] = {
    "date": _date, "exercise_as_written": _text, "exercise": _exercise,
    "set_no": _between(lambda r: (0, NUMBER_MAX), whole=True), "round_no": _between(lambda r: (0, NUMBER_MAX), whole=True),
    "kind": _one_of(*KINDS), "side": _one_of(*SIDES), "range": _one_of(*RANGES),
    "reps": _between(lambda r: (0, r.reps_max)), "load_kg": _between(lambda r: (r.load_min_kg, r.load_max_kg)),
    "hold_s": _between(lambda r: (0, r.hold_max_s)), "rpe": _between(lambda r: (0, r.rpe_max)), "rir": _between(lambda r: (0, r.rir_max)),
    "note": _note, "planned": _yes_or_no,
}
