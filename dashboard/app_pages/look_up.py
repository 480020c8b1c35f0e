"""Looked up: one session as it was logged, one exercise with its bests, two stretches of weeks side by side."""

from __future__ import annotations

import streamlit as st

from dashboard.app_pages import empty, look_up_blocks, look_up_exercise, look_up_session
from dashboard.choices import Choice, asks_anew, current, one_of_few

SECTION = "look_up_section"
SECTIONS = {"session": "Session", "exercise": "Exercise", "blocks": "Two blocks"}
OPENS = {"session": "session", "exercise": "exercise", "first": "blocks", "second": "blocks"}
SHOWN = {"session": look_up_session.show, "exercise": look_up_exercise.show, "blocks": look_up_blocks.show}


def show(choice: Choice) -> None:
    for name, opens in OPENS.items():
        if name in st.query_params and asks_anew(name):
            st.session_state[SECTION] = opens
    title = st.container()
    section = one_of_few("What to look up", SECTIONS, SECTION)
    # The address says what is looked at, and nothing of the other parts.
    for name in OPENS:
        if OPENS[name] != section:
            st.query_params.pop(name, None)
    SHOWN[section](choice, title)


if current().athlete:
    show(current())
else:
    empty.show()
