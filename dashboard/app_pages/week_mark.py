"""Marking the week that is shown as a planned increase or a deload, and taking that back."""

from __future__ import annotations

import streamlit as st

from dashboard.app_pages.page import escape, say_next
from dashboard.choices import Choice
from dashboard.queries.load import marked_as
from dashboard.sentences import marks as say
from dashboard.sentences.numbers import day
from dashboard.standing.refresh import refresh
from etl.store.marked_weeks import mark_week, take_back_mark

BUTTONS = {"planned_increase": "It is a planned increase", "deload": "It is a deload"}


def show(choice: Choice) -> None:
    """A quiet popover: two clicks to mark, two to take back."""
    mark = marked_as(choice.store, choice.athlete, choice.week)
    if choice.sample:
        return
    with st.popover(f"Marked as {say.WORDS[mark]}" if mark else "Mark this week", type="tertiary"):
        st.markdown(escape(f"The week of {day(choice.week)}" + (f" is marked as {say.WORDS[mark]}. {say.MEANS[mark]}" if mark else ".")))
        for as_, label in BUTTONS.items():
            if as_ != mark:
                if st.button(label, key=f"mark_{as_}", help=say.MEANS[as_]):
                    _mark(choice, as_)
        if mark and st.button("Take it back", key="mark_back"):
            _take_back(choice)


def _mark(choice: Choice, as_: str) -> None:
    week = mark_week(choice.store.path, choice.athlete, choice.week, as_)
    refresh(choice.store.path)
    say_next(say.marked(week, as_))


def _take_back(choice: Choice) -> None:
    mark = take_back_mark(choice.store.path, choice.athlete, choice.week)
    refresh(choice.store.path)
    say_next(say.taken_back(choice.week, mark))
