"""Weekly hard sets of the whole body or a part, with what is usual, and every flag so far."""

from __future__ import annotations

import streamlit as st

from dashboard.app_pages import empty
from dashboard.app_pages.page import escape, flag_list, grid, picture, remark
from dashboard.charts import weekly
from dashboard.charts.flag_rows import flag_rows
from dashboard.sentences.numbers import begun, number
from dashboard.choices import Choice, current, one_of
from dashboard.queries import load as load_of
from dashboard.queries import week as week_of

WEEKS_SHOWN = 26
EXPLAINED = (
    "Usual is the median of the active weeks among the last eight. A step up is a mark on the chart and no flag. "
    "A flag is a change of load, not a diagnosis; a rise of 30 % in one week is smaller than any rule here can tell from ordinary variation."
)


def show(choice: Choice) -> None:
    st.title("Load")
    subjects = load_of.subjects(choice.store, choice.athlete, choice.week)
    if not subjects:
        st.markdown("No week with hard sets yet.")
        return
    subject = one_of("Whole body or part", subjects, "of", width=320)
    series = load_of.series(choice.store, choice.athlete, subject, choice.week, WEEKS_SHOWN)
    last = series.iloc[-1]
    st.subheader(escape(begun(f"{subjects[subject]}: {number(last['load'])} hard sets, usual {number(last['usual'])}")))
    picture(weekly.weekly(series, choice.colours), weekly.in_words(series, subjects[subject]))
    remark(f"{weekly.reading(series)} {EXPLAINED}")
    _flags(choice)


def _flags(choice: Choice) -> None:
    st.subheader("In this week")
    now = week_of.flags(choice.store, choice.athlete, choice.week)
    if now.empty:
        st.markdown("Nothing out of the ordinary.")
    else:
        flag_list(now)
    so_far = week_of.flags_so_far(choice.store, choice.athlete, choice.week)
    if not so_far.empty:
        st.subheader("Every flag up to this week")
        grid(flag_rows(so_far), "Flags with their weeks and messages")


if current().athlete:
    show(current())
else:
    empty.show()
