"""Two spellings of one athlete brought together."""

from __future__ import annotations

import streamlit as st

from dashboard.app_pages.page import escape, say_next
from dashboard.choices import Choice
from dashboard.queries.people import athletes
from dashboard.sentences.numbers import counted, number
from dashboard.standing.refresh import refresh
from etl.importing import merge_athletes


def show(choice: Choice) -> None:
    known = athletes(choice.store)
    if len(known) < 2 or choice.sample:
        return
    with st.expander("Two spellings of one athlete"):
        st.markdown("Sets under the first name move to the second, also those of later files. Sets that stand under both are kept once. This cannot be taken back.")
        with st.form("merge", border=False), st.container(horizontal=True, vertical_alignment="bottom"):
            spelling = st.selectbox("This name", known, index=None, key="merge_from", width=220)
            into = st.selectbox("is the same person as", known, index=None, key="merge_into", width=220)
            go = st.form_submit_button("Bring them together")
        if go and spelling and into and spelling != into:
            moved = merge_athletes(choice.store.path, spelling, into)
            refresh(choice.store.path)
            say_next(f"{spelling} is {into} from now on: {counted(moved['sets_moved'], 'set', 'sets')} moved, "
                     f"{number(moved['sets_already_there'])} stood under both.")
        elif go:
            st.warning(escape("Choose two different names."))
