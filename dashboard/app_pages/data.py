"""What is in the store: bringing files in, what waits for an answer, the sets as they stand, and what came in so far."""

from __future__ import annotations

import streamlit as st

from dashboard.app_pages import athletes, bring_in, brought_in, mend_rows, name_matches, stored_sets
from dashboard.app_pages.page import how_worked_out, said_once
from dashboard.choices import Choice, current, one_of_few
from dashboard.queries import imports as imports_of

SECTION = "data_section"
SECTIONS = {"bring": "Bring in a log", "waits": "What waits", "sets": "Sets in the store", "imports": "What came in"}

ROWS = {"row_bounds": "what a row may hold", "units": "units"}
SETS = {"units": "units", "system_load": "the load that was moved", "warm_up": "assumed warm-ups", "hard_set": "what a set counts"}


def show(choice: Choice) -> None:
    st.title("Data")
    said_once()
    waiting = imports_of.waiting_count(choice.store)
    names = SECTIONS | ({"waits": f"What waits ({waiting})"} if waiting else {})
    if (asked := st.query_params.get("part")) is not None:
        del st.query_params["part"]  # the same link opens the part again, whatever was looked at meanwhile
        if asked in SECTIONS:
            st.session_state[SECTION] = asked
            st.session_state[name_matches.OF_ONE] = asked == "waits"
    section = one_of_few("What to do", names, SECTION)
    if section == "bring":
        bring_in.show(choice)
    elif section == "waits":
        if not waiting:
            st.markdown("Nothing waits: every row is stored, and every exercise is known.")
        name_matches.show(choice)
        mend_rows.show(choice)
        name_matches.settled(choice)
        how_worked_out(choice.address, ROWS)
    elif section == "sets":
        stored_sets.show(choice)
        how_worked_out(choice.address, SETS)
        athletes.show(choice)
    else:
        brought_in.show(choice)


show(current())
