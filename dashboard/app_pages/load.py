"""Weekly hard sets of the whole body or a part, with what is usual, and every flag so far."""

from __future__ import annotations

import pandas as pd
import streamlit as st

from dashboard.app_pages import empty, week_mark
from dashboard.app_pages.page import escape, flag_list, grid, how_worked_out, picture, remark, said_once
from dashboard.charts import weekly
from dashboard.charts.flag_rows import flag_rows
from dashboard.charts.load_column_rows import any_felt, load_column_rows
from dashboard.sentences.numbers import begun, counted, number
from dashboard.choices import Choice, current, one_of
from dashboard.methods import of_flags
from dashboard.queries import load as load_of
from dashboard.queries import week as week_of
from dashboard.queries.words import WHOLE_BODY
from dashboard.sentences.dose import between, has_range
from dashboard.sentences.load import JUMPS
from dashboard.sentences.load_columns import LIMITS, NOTHING_FELT

WEEKS_SHOWN, WEEKS_LISTED = 26, 12
WEEKS = {"weekly_load": "weekly sets", "usual": "usual", "step_up": "step up", "week_state": "pale weeks", "deload": "deloads", "layoff": "layoffs", "planned_increase": "planned increases"}
FLAGS = {"spike": "spikes", "session_spike": "session spikes", "climb": "climbs", "return_flag": "returns", "new_area": "new areas", "message": "the message"}
RANGE = {"dose_range": "the range"}
IN_BRACKETS = {"dose_range": "ranges in brackets"}
OTHERS = {"plateau_flag": "plateau and decline", "below_band": "parts below their band", "side_difference": "left and right",
          "first_exposure": "new exercises", "check_entry": "entries to check"}
COLUMNS = {"acute_chronic": "acute to chronic ratios", "session_rpe_load": "session load", "monotony": "monotony and strain"}
EXPLAINED = (
    "Usual is the median of the active weeks among the last eight. A step up is a mark on the chart and no flag. "
    "A flag is a change of load, not a diagnosis; a rise of 30 % in one week is smaller than any rule here can tell from ordinary variation."
)


def show(choice: Choice) -> None:
    st.title("Load")
    said_once()
    subjects = load_of.subjects(choice.store, choice.athlete, choice.week)
    if not subjects:
        st.markdown("No week with hard sets yet.")
        return
    subject = one_of("Whole body or part", subjects, "of", width=320)
    series = load_of.series(choice.store, choice.athlete, subject, choice.week, WEEKS_SHOWN)
    last = series.iloc[-1]
    st.subheader(escape(begun(f"{subjects[subject]}: {number(last['load'])} hard sets{between(last['low'], last['high'])}, usual {number(last['usual'])}")))
    picture(weekly.weekly(series, choice.colours), weekly.in_words(series, subjects[subject]))
    remark(f"{weekly.reading(series)} {EXPLAINED}")
    how_worked_out(choice.address, WEEKS | (RANGE if pd.notna(last["high"]) else {}))
    week_mark.show(choice)
    _flags(choice)
    _more(choice)


def _flags(choice: Choice) -> None:
    st.subheader("In this week")
    st.markdown(escape(week_of.done(choice.store, choice.athlete, choice.week)["message"] or "No change of load stood out."))
    now = week_of.flags(choice.store, choice.athlete, choice.week)
    now = now[now["kind"].isin(JUMPS)].sort_values("subject", key=lambda subject: subject != WHOLE_BODY, kind="stable")
    if len(now):
        with st.expander(counted(len(now), "change of load, with its numbers", "changes of load, one by one")):
            flag_list(now)
    so_far = week_of.flags_so_far(choice.store, choice.athlete, choice.week)
    if not so_far.empty:
        st.subheader("Every flag up to this week")
        grid(flag_rows(so_far), "Flags with their weeks and messages")
    listed = set(so_far["kind"].map(of_flags()))
    how_worked_out(choice.address, FLAGS | (IN_BRACKETS if so_far["message"].map(has_range).any() else {}) | {one: word for one, word in OTHERS.items() if one in listed})


def _more(choice: Choice) -> None:
    with st.expander("More columns, for the curious"):
        columns = load_of.columns(choice.store, choice.athlete, choice.week, WEEKS_LISTED)
        grid(load_column_rows(columns), "By week: acute to chronic ratios, and session load with monotony and strain where sessions are rated")
        if not any_felt(columns):
            remark(NOTHING_FELT)
        st.markdown("\n".join(f"- {text}" for text in LIMITS))
        how_worked_out(choice.address, COLUMNS)


if current().athlete:
    show(current())
else:
    empty.show()
