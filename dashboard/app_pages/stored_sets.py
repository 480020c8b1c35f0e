"""The sets of one athlete as they stand in the store, to be corrected or removed; and what was corrected so far."""

from __future__ import annotations

from datetime import date, timedelta

import pandas as pd
import streamlit as st

from dashboard.app_pages.page import decimal_columns, grid, say_next, taken_back
from dashboard.choices import Choice
from dashboard.queries.words import called, exercise_words
from dashboard.sentences.decimal_mark import told
from dashboard.sentences.numbers import counted, day
from dashboard.sentences.units import heading_in_unit, to_kg, written_number
from dashboard.standing.refresh import refresh
from etl.importing import changes, correct, remove, stored_sets, take_back_change
from etl.importing.corrections import KINDS, SIDES
from etl.refusal import Refusal

REMOVE = "remove"
EDITABLE = {"date": "date", "exercise": "exercise", "set_no": "set", "side": "side", "kind": "kind", "reps": "repetitions", "load_kg": "load, kg",
            "hold_s": "held, s", "rpe": "RPE", "rir": "RIR", "note": "note"}


def show(choice: Choice) -> None:
    if choice.athlete is None:
        st.markdown("There are no sets yet.")
        return
    first = choice.week
    found = stored_sets(choice.store.path, choice.athlete, first, first + timedelta(days=6))
    st.header(f"{choice.athlete}'s sets, week of {day(first)}")
    if found.empty:
        st.markdown("No set is stored in this week. Another week can be chosen above.")
    elif choice.sample:
        grid(_shown(found, choice.unit).drop(columns=["set_id", REMOVE]).rename(columns=_headings(choice.unit)), "Sets of the week")
    else:
        _editor(choice, found)
    _changes(choice)


def _shown(found: pd.DataFrame, unit: str) -> pd.DataFrame:
    frame = found[["set_id", "exercise_as_written", *EDITABLE]].copy()
    frame["date"] = pd.to_datetime(frame["date"]).dt.date
    frame["exercise"] = frame["exercise"].map(lambda exercise: called(exercise) if isinstance(exercise, str) else None)
    frame["load_kg"] = frame["load_kg"].map(lambda kg: written_number(kg, unit))
    frame.insert(0, REMOVE, False)
    return frame


def _headings(unit: str) -> dict[str, str]:
    return {name: heading_in_unit(words, unit) for name, words in EDITABLE.items()}


def _editor(choice: Choice, found: pd.DataFrame) -> None:
    st.markdown("Change a cell, or tick *remove*, and keep it. The next export of the same log will not bring the mistake back.")
    shown = _shown(found, choice.unit)
    by_words = {words: exercise for exercise, words in exercise_words().items()}
    config = {REMOVE: st.column_config.CheckboxColumn(REMOVE, pinned=True), "set_id": None, "exercise_as_written": st.column_config.TextColumn("as written", disabled=True),
              "date": st.column_config.DateColumn("date"), "exercise": st.column_config.SelectboxColumn("exercise", options=sorted(by_words)),
              "kind": st.column_config.SelectboxColumn("kind", options=list(KINDS), required=True),
              "side": st.column_config.SelectboxColumn("side", options=list(SIDES), required=True)}
    headings = _headings(choice.unit)
    config |= {name: words for name, words in headings.items() if name not in config} | decimal_columns(shown, headings)
    edited = st.data_editor(shown, hide_index=True, width="stretch", placeholder="", key=f"sets_{choice.store.stamp}_{choice.athlete}_{choice.week}",
                            column_config=config, alt="Sets of the week, to be corrected")
    differ = {name: ~(edited[name].eq(shown[name]) | (edited[name].isna() & shown[name].isna())) for name in EDITABLE}
    touched = pd.DataFrame(differ).any(axis=1) | edited[REMOVE]
    if st.button("Keep the corrections", type="primary", disabled=not touched.any()):
        _keep(choice, edited[touched], pd.DataFrame(differ)[touched], by_words)


def _keep(choice: Choice, rows: pd.DataFrame, differ: pd.DataFrame, by_words: dict[str, str]) -> None:
    done, refused = 0, []
    for (_, row), (_, changed) in zip(rows.iterrows(), differ.iterrows(), strict=True):
        try:
            if row[REMOVE]:
                remove(choice.store.path, int(row["set_id"]))
            else:
                correct(choice.store.path, int(row["set_id"]), **{name: _value(name, row[name], by_words, choice.unit) for name in EDITABLE if changed[name]})
            done += 1
        except Refusal as refusal:
            refused.append(told(str(refusal)))
    refresh(choice.store.path)
    say_next(" ".join([f"{counted(done, 'set', 'sets')} corrected.", *refused]))


def _value(name: str, value: object, by_words: dict[str, str], unit: str) -> object:
    if value is None or value != value:
        return None
    if name == "exercise":
        return by_words[str(value)]
    if name == "load_kg":
        return to_kg(float(str(value)), unit)
    return value.isoformat() if isinstance(value, date) else value.item() if hasattr(value, "item") else value


def _changes(choice: Choice) -> None:
    made = changes(choice.store.path)
    if made.empty or choice.sample:
        return

    def take_back(key: str) -> str:
        back = take_back_change(choice.store.path, int(key))
        refresh(choice.store.path)
        return "The set is as it was before." if back else (
            "The change is taken back; its set is in no import that holds, so that nothing came back.")

    taken_back(f"Corrected so far: {counted(len(made), 'set', 'sets')}", {str(row.change_id): _in_words(row) for row in made.itertuples()},
               "Take back", "back", take_back)


def _in_words(row) -> str:
    """One change: whose set, and what it was and is."""
    what = "removed" if row.removed else "; ".join(f"{EDITABLE.get(name, name)} {_or_none(row.was[name])} is now {_or_none(now)}"
                                                   for name, now in row.now.items() if name in EDITABLE)
    return f"{row.athlete}, {row.date}, {row.exercise}: {what}"


def _or_none(value: object) -> str:
    return "empty" if value is None else str(value)
