"""The catalogue, to be looked up and changed: what trains a head, what an exercise trains, two exercises side by side, one's own changes."""

from __future__ import annotations

from functools import partial

import streamlit as st

from dashboard.app_pages import exercise_view, head_view, own_changes
from dashboard.app_pages.page import escape, how_to_read, how_worked_out, picture, remark, said_once
from dashboard.charts import compared as chart
from dashboard.charts.taken_rows import COMPARED, taken
from dashboard.choices import Choice, asks_anew, current, one_in_address, one_of_few
from dashboard.queries import catalogue
from dashboard.queries.words import exercise_titles
from dashboard.sentences.numbers import few

SECTION = "catalogue_section"
SECTIONS = {"head": "What trains a head", "exercise": "What an exercise trains", "compare": "Two side by side", "changes": "Your changes"}
CREDITS = {"credit": "credits", "modified_credit": "variants", "dose_range": "how sure a credit is", "finding": "studies and credits", "not_distinguishable": "what cannot be told apart"}


def show(choice: Choice) -> None:
    st.title("Exercises")
    said_once()
    if not choice.athlete:
        remark("Bring in a log on the page Data to see what counts in yours.")
    for name, opens in {"head": "head", "exercise": "exercise", "first": "compare", "second": "compare"}.items():
        if name in st.query_params and asks_anew(name):
            st.session_state[SECTION] = opens
    if own_changes.asked_by_name():
        st.session_state[SECTION] = "changes"
    section = one_of_few("What to look up", SECTIONS, SECTION)
    if section == "head":
        head_view.show(choice)
    elif section == "exercise":
        exercise_view.show(choice)
    elif section == "compare":
        _compare(choice)
    else:
        own_changes.show(choice)
    if section != "changes":
        how_worked_out(choice.address, CREDITS)


def _compare(choice: Choice) -> None:
    words = exercise_titles()
    left, right = st.columns(2)
    with left:
        one = one_in_address("First exercise", words, "first", placeholder="Type a name")
    with right:
        other = one_in_address("Second exercise", words, "second", placeholder="Type a name")
    if not one or not other or one == other:
        remark("Choose two exercises to see head by head what each trains.")
        return
    rows, names = catalogue.compared(one, other), (words[one], words[other])
    st.header(escape(_finding(rows, names)))
    how_to_read(chart.READING)
    picture(chart.compared(rows, names, choice.colours), chart.in_words(rows, names), partial(taken, rows, COMPARED), f"{names[0]} and {names[1]}")
    found = catalogue.findings_of(one, other)
    if len(found):
        st.markdown("**Studies that compared the two**")
        st.markdown(exercise_view.study_lines(found))
    else:
        remark("No study in the catalogue compares the two.")


def _finding(rows, names: tuple[str, str]) -> str:
    """What the picture shows: the heads on which the two differ beyond doubt."""
    a, b = (rows.loc[rows["apart"] & (rows[f"credit_{one}"] > rows[f"credit_{other}"]), "name"].tolist() for one, other in ("ab", "ba"))
    told = [f"{name} more for {few(heads)}" for name, heads in zip(names, (a, b), strict=True) if heads]
    return "; ".join(told) or "No head on which the two differ by more than the doubt in a credit"


show(current())
