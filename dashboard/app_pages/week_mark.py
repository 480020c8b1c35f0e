"""Marking the week that is shown as a planned increase, a deload, a holiday or an illness, and taking that back."""

from __future__ import annotations

from collections.abc import Callable

import streamlit as st

from dashboard.app_pages.page import escape, say_next, worked_out
from dashboard.choices import Choice
from dashboard.queries.load import marked_as
from dashboard.sentences import marks as say
from dashboard.sentences.numbers import day
from etl.store.marked_weeks import mark_week, take_back_mark

BUTTONS = {"deload": "It is a deload", "holiday": "It is a holiday", "illness": "It is an illness", "planned_increase": "It is a planned increase"}


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
    before = marked_as(choice.store, choice.athlete, choice.week)
    week = mark_week(choice.store.path, choice.athlete, choice.week, as_)
    worked_out(choice.store.path)
    say_next(say.marked(week, as_), _back_to(choice, before))


def _take_back(choice: Choice) -> None:
    mark = take_back_mark(choice.store.path, choice.athlete, choice.week)
    worked_out(choice.store.path)
    say_next(say.taken_back(choice.week, mark), _back_to(choice, mark))


def _back_to(choice: Choice, mark: str | None) -> Callable[[], None]:
    """What makes the week be marked as it was; the page then works it out again by itself."""
    path, athlete, week = choice.store.path, choice.athlete, choice.week
    return lambda: mark_week(path, athlete, week, mark) if mark else take_back_mark(path, athlete, week)
