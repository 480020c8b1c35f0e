"""One session: every set as it was logged, what each exercise gave, what came to each part, what was new, and what was said that day."""

from __future__ import annotations

from functools import partial
from typing import Any

import pandas as pd
import streamlit as st

from dashboard.app_pages.page import escape, grid, how_worked_out, picture, remark, table
from dashboard.app_pages.picking import picking
from dashboard.app_pages.taking import take_table
from dashboard.charts import planks
from dashboard.charts.plank_rows import DONE_HERE, one
from dashboard.charts.set_rows import best_rows, given_rows, session_title, set_rows
from dashboard.charts.taken_rows import taken
from dashboard.choices import Choice
from dashboard.queries import look_up
from dashboard.queries.words import called, part_words
from dashboard.sentences.units import rows_in_unit, table_in_unit
from dashboard.sentences.findings import session_finding
from dashboard.sentences.numbers import begun, number
from dashboard.standing import records, traced

MEASURES = {"hard_set": "hard sets", "part_dose": "what comes to a part", "dose_range": "its range", "best": "bests"}
PLANK = ("in this session", "")
OF_DAY = {"body_mass_kg": "Body mass {} kg", "session_rpe": "the session rated {} of 10", "minutes": "{} minutes"}


def show(choice: Choice, title: Any) -> None:
    every = traced.sets_of(choice.store.path, choice.store.stamp, choice.athlete)
    sessions = every.sessions()
    if sessions.empty:
        title.title("One session")
        st.markdown("No session is in the store.")
        return
    words = dict(zip(sessions["key"], [session_title(session) for session in sessions.itertuples()], strict=True))
    so_far = sessions[sessions["date"] < pd.Timestamp(choice.week) + pd.Timedelta(days=7)]
    picked = picking("session", dict(reversed(words.items())), (so_far if len(so_far) else sessions)["key"].iloc[-1], written=True)
    session = sessions.set_index("key").loc[picked.value]
    day = session["date"].date()
    done = every.of_session(day, session["session"])
    bests = records.new(every, look_up.bests_of(choice.store, choice.athlete, day, done.rows["exercise"].dropna().unique().tolist()), day)
    title.title(escape(f"{words[picked.value]}: {session_finding(int(session['sets']), session['hard'], len(bests))}"))
    picked.choose("Session")
    _parts(choice, done, picked.value)
    how_worked_out(choice.address, MEASURES)
    _said(choice, day)
    if len(bests):
        st.header("New bests")
        table(rows_in_unit(best_rows(bests), choice.unit), "What no day before had reached")
        remark("A value that no day before had reached, estimated where it is a maximum, and repetitions with those in reserve. Where an earlier day’s work set had the "
               "same or more as lifted, it is none. The intervals say how sure each is, and a single good day is no trend.")
    st.header("What each exercise gave")
    own = done.by_exercise()
    given = given_rows(own, [called(name) for name in own["name"]], part_words())
    table(given, "Exercises with their hard sets and the parts that these came to")
    st.header("Every set as it was logged")
    logged = look_up.as_logged(choice.store, choice.athlete, done.rows)
    grid(_sets(logged, choice.unit), "The sets of the session in the order of the log")
    take_table(partial(_sets, logged, choice.unit), f"session {picked.value}")


def _sets(logged: pd.DataFrame, unit: str) -> pd.DataFrame:
    return table_in_unit(set_rows(logged).drop(columns="date"), unit)


def _parts(choice: Choice, done: traced.Sets, key: str) -> None:
    gave = done.gave()
    if gave.empty:
        st.markdown("No set of it counts for a part: none is hard, or none of its exercises is matched yet.")
        return
    rows = one(gave, gave["part"].map(called))
    picture(planks.planks(rows, PLANK, choice.colours, "hard sets in this session"), planks.in_words(rows, PLANK, "Hard sets that came to each part"),
            partial(taken, rows, DONE_HERE), f"session {key} parts")
    remark("A plank for each part, as long as the hard sets that came to it. Line across: how sure that is, from each credit one tier lower to one higher.")


def _said(choice: Choice, day) -> None:
    """Pain, notes and what was measured on that day."""
    logged, said = look_up.day_of(choice.store, choice.athlete, day), look_up.said_of(choice.store, choice.athlete, day)
    told = [words.format(number(logged[name])) for name, words in OF_DAY.items() if pd.notna(logged[name])]
    if said.empty and not told:
        return
    st.header("Said of that day")
    lines = [begun(", ".join(told)) + "."] if told else []
    for row in said.itertuples():
        what = f"{row.kind}, {row.place}" if row.place else row.kind
        score = f", {number(row.score)} of 10" if pd.notna(row.score) else ""
        about = f" ({row.called})" if row.called else ""
        lines.append(begun(f"{what}{score}{about}" + (f": {row.text}" if row.text else "")))
    st.markdown("\n".join(f"- {escape(line)}" for line in lines))
