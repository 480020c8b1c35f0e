"""What jumped: weekly hard sets of the whole body or a part, then the week that is picked, and every flag so far."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from functools import partial

import pandas as pd
import streamlit as st

from dashboard.app_pages import empty, said, week_mark
from dashboard.app_pages.page import LEVELS, escape, folded, grid, how_worked_out, on_request, picture, remark, said_once
from dashboard.app_pages.picking import picking
from dashboard.app_pages.taking import take_table
from dashboard.charts import planks, weekly
from dashboard.charts.flag_rows import flag_rows
from dashboard.charts.load_column_rows import any_felt, load_column_rows
from dashboard.charts.plank_rows import AGAINST_USUAL, USUAL, against_usual
from dashboard.charts.set_rows import session_words
from dashboard.charts.taken_rows import WEEKLY, taken
from dashboard.sentences.decimal_mark import POINT, told, written_with
from dashboard.sentences.numbers import counted, day, number
from dashboard.choices import Choice, current, one_of
from dashboard.methods import of_flags
from dashboard.queries import load as load_of
from dashboard.queries import week as week_of
from dashboard.queries.words import WHOLE_BODY
from dashboard.sentences.dose import has_range
from dashboard.sentences.findings import AT_ITS_END, load_finding
from dashboard.sentences.load import JUMPS
from dashboard.sentences.load_columns import LIMITS, NOTHING_FELT
from dashboard.standing import traced

WEEKS_SHOWN, WEEKS_LISTED, PARTS_SHOWN = 26, 12, 6
WEEKS = {"weekly_load": "weekly sets", "usual": "usual", "step_up": "step up", "week_state": "pale weeks", "deload": "deloads", "layoff": "layoffs", "planned_increase": "planned increases"}
FLAGS = {"spike": "spikes", "session_spike": "session spikes", "climb": "climbs", "return_flag": "returns", "new_area": "new areas", "message": "the message"}
RANGE = {"dose_range": "the range"}
IN_BRACKETS = {"dose_range": "ranges in brackets"}
OTHERS = {"plateau_flag": "plateau and decline", "below_band": "parts below their band", "side_difference": "left and right",
          "first_exposure": "new exercises", "check_entry": "entries to check"}
SPIKES = ("spike", "large_spike")
COLUMNS = {"acute_chronic": "acute to chronic ratios", "session_rpe_load": "session load", "monotony": "monotony and strain"}
EXPLAINED = (
    "Usual is the median of the active weeks among the last eight. A step up is a mark on the chart and no flag. "
    "A flag is a change of load, not a diagnosis; a rise of 30 % in one week is smaller than any rule here can tell from ordinary variation."
)


def show(choice: Choice) -> None:
    subjects = load_of.subjects(choice.store, choice.athlete, choice.week)
    if not subjects:
        st.title("Load")
        st.markdown("No week with hard sets yet.")
        return
    title = st.container()
    said_once()
    subject = one_of("Whole body or part", subjects, "of", width=320)
    series = load_of.series(choice.store, choice.athlete, subject, choice.week, WEEKS_SHOWN)
    picked = picking("of_week", {week.date().isoformat(): f"Week of {day(week)}" for week in reversed(series["week"])}, choice.week.isoformat())
    week = date.fromisoformat(picked.value)
    shown = series.set_index("week").loc[pd.Timestamp(week)]
    jumped = int(load_of.parts(choice.store, choice.athlete, week)["mark"].isin(SPIKES).sum()) if subject == WHOLE_BODY else 0
    title.title(escape(load_finding(subjects[subject], *shown[["load", "low", "high", "usual", "mark", "state", "planned_increase"]], jumped, bool(shown["so_far"]))))
    picture(weekly.weekly(series, choice.colours, picked.value), weekly.in_words(series, subjects[subject]), partial(taken, series, WEEKLY),
            "hard sets", f"{subjects[subject]} {choice.week}", picked)
    below = st.container()  # the pictures are sent first
    picked.choose("Look at", width=320)
    _week(choice, week)
    with below:
        remark(f"{weekly.reading(series)} {EXPLAINED}")
        how_worked_out(choice.address, WEEKS | (RANGE if pd.notna(shown["high"]) else {}))
        said.under_trend(replace(choice, week=week), "" if subject == WHOLE_BODY else subject)
    week_mark.show(replace(choice, week=week))
    _lists(choice)


def _week(choice: Choice, week: date) -> None:
    """What stood out in one week, each part against its usual, and the week's sessions."""
    st.header(f"Week of {day(week)}")
    stood_out = st.container()
    parts = load_of.parts(choice.store, choice.athlete, week)
    if len(parts):
        shown = int((parts["load"] != parts["usual"].fillna(parts["load"])).head(PARTS_SHOWN).sum())  # those that differ stand first
        rows = against_usual(parts)
        if shown:
            st.markdown("**Parts furthest from their usual**")
            _planks(choice, rows.head(shown), week, "furthest")
        else:
            st.markdown("Every part is at its usual." if parts["usual"].notna().any() else "Nothing is usual yet: it takes four active weeks.")
        asked = False
        if len(rows) > shown:
            asked = on_request("parts", {"The other parts" if shown else "The parts": lambda: _planks(choice, rows.iloc[shown:], week, "others")})
        if shown or asked:
            remark(planks.reading(USUAL, ranged=True))
    with stood_out:
        done = week_of.done(choice.store, choice.athlete, week)
        st.markdown(escape(done["message"] or (f"The week still runs; {AT_ITS_END}." if done["so_far"] else "No change of load stood out.")))
        now = week_of.flags(choice.store, choice.athlete, week)
        now = now[now["kind"].isin(JUMPS)].sort_values("subject", key=lambda subject: subject != WHOLE_BODY, kind="stable")
        if len(now):
            folded(counted(len(now), "change of load, with its numbers", "changes of load, one by one"), zip(now["level"].map(LEVELS), now["message"], strict=True))
    sessions = traced.sets_of(choice.store.path, choice.store.stamp, choice.athlete).between(week, week + timedelta(days=6)).sessions()
    if len(sessions):
        st.markdown("**Its sessions**")
        for session in sessions.itertuples():
            st.page_link("app_pages/look_up.py", label=f"{escape(session_words(session))} →", query_params={**choice.address, "session": session.key})


def _planks(choice: Choice, rows: pd.DataFrame, week: date, which: str) -> None:
    picture(planks.planks(rows, USUAL, choice.colours), planks.in_words(rows, USUAL, f"Hard sets of parts in the week of {day(week)}"), partial(taken, rows, AGAINST_USUAL),
            f"parts against usual {which}", week)


def _lists(choice: Choice) -> None:
    so_far = week_of.flags_so_far(choice.store, choice.athlete, choice.week)
    on_request("lists", ({} if so_far.empty else {"Every flag so far": lambda: _flags(choice, so_far)}) | {"More columns, for the curious": lambda: _more(choice)})
    listed = set(so_far["kind"].map(of_flags()))
    how_worked_out(choice.address, FLAGS | (IN_BRACKETS if so_far["message"].map(has_range).any() else {}) | {one: word for one, word in OTHERS.items() if one in listed})


def _flags(choice: Choice, so_far: pd.DataFrame) -> None:
    st.markdown(f"**Every flag up to the week of {day(choice.week)}: {number(len(so_far))}**")
    grid(flag_rows(so_far), "Flags with their weeks and messages")
    with written_with(POINT):
        kept = week_of.flags_so_far(choice.store, choice.athlete, choice.week)
    take_table(partial(flag_rows, kept), f"flags {choice.week}")


def _more(choice: Choice) -> None:
    columns = load_of.columns(choice.store, choice.athlete, choice.week, WEEKS_LISTED)
    grid(load_column_rows(columns), "By week: acute to chronic ratios, and session load with monotony and strain where sessions are rated")
    take_table(partial(load_column_rows, columns), f"load columns {choice.week}")
    if not any_felt(columns):
        remark(NOTHING_FELT)
    st.markdown("\n".join(f"- {told(text)}" for text in LIMITS))
    how_worked_out(choice.address, COLUMNS)


if current().athlete:
    show(current())
else:
    empty.show()
