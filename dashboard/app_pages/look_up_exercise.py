"""One exercise: how often it was done, where it stands, and its bests, load by load."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from functools import partial
from typing import Any

import pandas as pd
import streamlit as st

from dashboard.app_pages.page import escape, how_worked_out, picture, remark, table
from dashboard.app_pages.picking import picking
from dashboard.app_pages.taking import take_table
from dashboard.charts import strength
from dashboard.charts.exercise_rows import exercise_rows
from dashboard.charts.set_rows import at_load_rows, heaviest_rows
from dashboard.charts.taken_rows import BESTS, taken
from dashboard.choices import Choice
from dashboard.queries import strength as strength_of
from dashboard.queries.words import exercise_titles, loaded_per_hand
from dashboard.sentences.units import rows_in_unit, table_in_unit
from dashboard.sentences.numbers import counted, day, number
from dashboard.standing import traced
from dashboard.standing.records import Records, done, records

MEASURES = {"estimate_noise": "how sure each point is", "best": "the best so far", "verdict": "the verdict", "rate_interval": "its interval"}
RECORDS = {"records": "bests as lifted"}


def show(choice: Choice, title: Any) -> None:
    until = choice.week + timedelta(days=6)
    sets = traced.sets_of(choice.store.path, choice.store.stamp, choice.athlete)
    names = exercise_titles()
    known = {exercise: names.get(exercise, exercise) for exercise in done(sets, until)}
    if not known:
        title.title("One exercise")
        st.markdown("No exercise of the log is matched with the catalogue yet.")
        return
    picked = picking("exercise", known, next(iter(known)), written=True)
    found = records(sets, picked.value, until)
    title.title(escape(f"{known[picked.value]}: {counted(found.days, 'day', 'days')}, {counted(found.sets, 'set', 'sets')}"))
    picked.choose("Exercise")
    st.markdown(f"First on {day(found.first)}, last on {day(found.last)}, up to {day(until)}.")
    _standing(choice, picked.value)
    per_hand = picked.value in loaded_per_hand()
    _table(f"{picked.value} heaviest {choice.week}", "Heaviest load by repetitions", lambda: table_in_unit(heaviest_rows(found.heaviest, per_hand), choice.unit),
           "Done at least so many times in one set; as lifted, not estimated.")
    _table(f"{picked.value} most repetitions {choice.week}", "Most repetitions at each load", lambda: table_in_unit(at_load_rows(found.most_reps, "reps", "most repetitions"), choice.unit),
           "Repetitions as done, whatever was left in reserve.")
    _table(f"{picked.value} holds {choice.week}", "Longest hold at each load", lambda: table_in_unit(at_load_rows(found.holds, "hold_s", "longest, s"), choice.unit), "")
    _left_out(found)
    how_worked_out(choice.address, RECORDS)
    _links(choice, picked.value, known[picked.value])


def _standing(choice: Choice, exercise: str) -> None:
    """Where it stands in the chosen week, with its interval, and its best sets in time."""
    judged = strength_of.exercises(choice.store, choice.athlete, choice.week)
    own = judged[judged["exercise"] == exercise]
    if own.empty:
        remark("It has no series by that week.")
        return
    table(rows_in_unit(exercise_rows(own), choice.unit), "Where it stands")
    fit = own.iloc[0]
    bests, fit = strength_of.in_unit(strength_of.bests(choice.store, choice.athlete, exercise, fit["measure"], choice.week), fit, choice.unit)
    if not bests.empty:
        picture(strength.strength(bests, fit, choice.colours, exercise in loaded_per_hand(), unit=choice.unit), strength.in_words(bests, fit, choice.unit),
                partial(taken, bests, BESTS, choice.unit),
                "bests", f"{exercise} {choice.week}")
        remark(" ".join(filter(None, ["Filled points count in the trend, hollow ones are shown only. Thin lines: how sure each estimate is, 80 %.",
                                      strength.reading(bests, None)])))
    how_worked_out(choice.address, MEASURES)


def _table(name: str, heading: str, rows: Callable[[], pd.DataFrame], said: str) -> None:
    shown = rows()
    if shown.empty:
        return
    st.header(heading)
    table(shown, heading)
    if said:
        remark(said)
    take_table(rows, name)


def _left_out(found: Records) -> None:
    if found.left_out:
        remark(escape(f"{counted(found.left_out, 'set', 'sets')} of {number(found.sets)} stand in no table: warm-ups, parts of the range, bands, and loads "
                      "that were estimated or not written."))


def _links(choice: Choice, exercise: str, name: str) -> None:
    to = {**choice.address, "exercise": exercise}
    with st.container(horizontal=True):
        st.page_link("app_pages/strength.py", label=f"Trend of {escape(name)} →", query_params=to)
        st.page_link("app_pages/exercises.py", label="What it trains →", query_params=to)
