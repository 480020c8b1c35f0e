"""Marking the week that is shown as a planned increase, a deload, a holiday or an illness, at the log's end the weeks since then, and taking that back."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import streamlit as st

from dashboard.app_pages.page import escape, say_next, worked_out
from dashboard.choices import Choice
from dashboard.queries.load import marked_as, weeks_since
from dashboard.sentences import marks as say
from dashboard.sentences.numbers import day
from etl.store.marked_weeks import AWAY, HOLIDAY, mark_week, marked_weeks, take_back_mark

BUTTONS = {"deload": "It is a deload", "holiday": "It is a holiday", "illness": "It is an illness", "planned_increase": "It is a planned increase"}


def show(choice: Choice) -> None:
    """Quiet popovers: two clicks to mark, two to take back."""
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
    if weeks := weeks_since(choice.store, choice.athlete, choice.week, date.today()):
        _since(choice, weeks)


def _since(choice: Choice, weeks: dict[date, str | None]) -> None:
    """The weeks after the log's last one, which no page shows: weeks -> what each is marked as. They are marked alike, all or those that are picked."""
    marks = {mark for mark in weeks.values() if mark}
    with st.popover("Weeks since then: marked" if marks else "Mark the weeks since then", type="tertiary"):
        st.markdown(escape(say.weeks_since(list(weeks))))
        for week, mark in weeks.items():
            if mark:
                st.markdown(escape(f"Week of {day(week)}: {say.WORDS[mark]}."))
        picked = list(weeks)
        if len(weeks) > 1:
            picked = sorted(st.multiselect("Weeks", picked, picked, format_func=day, key=f"since_weeks_{choice.athlete}"))
        for as_ in AWAY:
            if st.button("They are a holiday" if as_ == HOLIDAY else "They are an illness", key=f"since_{as_}", help=say.MEANS[as_], disabled=not picked):
                _set(choice, {week: as_ for week in picked})
                say_next(say.marked_since(picked, as_), lambda: _set(choice, {week: weeks[week] for week in picked}))
        back = [week for week in picked if weeks[week]]
        if back and st.button("Take it back", key="since_back"):
            _set(choice, dict.fromkeys(back))
            say_next(say.taken_back_since(back), lambda: _set(choice, {week: weeks[week] for week in back}))


def _set(choice: Choice, marks: dict[date, str | None]) -> None:
    """Let weeks be marked so; None takes a mark back where there is one."""
    there = set(marked_weeks(choice.store.path, choice.athlete)["week"].dt.date)
    for week, mark in marks.items():
        if mark:
            mark_week(choice.store.path, choice.athlete, week, mark)
        elif week in there:
            take_back_mark(choice.store.path, choice.athlete, week)


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
