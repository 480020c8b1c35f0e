"""Exercises that no catalogue entry was found for: suggestions, and the decision that a person makes once."""

from __future__ import annotations

import streamlit as st

from dashboard.app_pages.page import escape, remark, say_next, taken_back
from dashboard.sentences.numbers import counted
from dashboard.choices import Choice
from dashboard.queries import imports as imports_of
from dashboard.queries.people import athletes
from dashboard.queries.words import called, exercise_words
from dashboard.standing.refresh import refresh
from etl.importing import decide, decisions, undecide
from etl.names import Match, Matcher, with_thing
from etl.tables import in_use

SHOWN = 8
OF_ONE = "waits_of_one"


def show(choice: Choice) -> None:
    of_one = st.checkbox(f"Only {escape(choice.athlete)}'s exercises", key=OF_ONE) if choice.athlete and len(athletes(choice.store)) > 1 else False
    found = imports_of.unmatched(choice.store, choice.athlete if of_one else None)
    if found.empty:
        return
    st.header(f"{counted(len(found), 'exercise waits', 'exercises wait')} for a match")
    st.markdown("Their sets are stored, but count in no part until it is known what they are. Each decision is kept for later files.")
    matches = {match.name: match for match in _matches(tuple(zip(found["exercise_as_written"], found["thing"], strict=True)), in_use().key)}
    for row in found.head(SHOWN).itertuples():
        _one(choice, row, matches[row.exercise_as_written])
    if len(found) > SHOWN:
        remark("The rest follows as these are settled.")


@st.cache_data(max_entries=20, show_spinner=False)
def _matches(names: tuple[tuple[str, str], ...], catalogue: str) -> list:
    """names: as written, and what they were done with."""
    return [with_thing(match, thing) for match, (_, thing) in zip(Matcher.from_catalogue({}).match(name for name, _ in names), names, strict=True)]


def _one(choice: Choice, row, match: Match) -> None:
    options = list(dict.fromkeys([*match.suggestions, *exercise_words()]))
    near = f"Perhaps: {', '.join(map(called, match.suggestions))}" if match.suggestions else "Choose an exercise"
    with st.container(horizontal=True, vertical_alignment="bottom"):
        picked = st.selectbox(
            f"{escape(row.exercise_as_written + (f' ({row.thing})' if row.thing else ''))}, {counted(row.sets, 'set', 'sets')}", options, index=0 if match.sure else None,
            format_func=called, key=f"match_{row.exercise_as_written}", placeholder=near, width=420)
        if st.button("This is it", key=f"use_{row.exercise_as_written}", disabled=picked is None):
            settled = decide(choice.store.path, row.exercise_as_written, picked)
            refresh(choice.store.path)
            say_next(f"{row.exercise_as_written} is {called(picked)} from now on: {counted(settled, 'set', 'sets')} settled.")
        if st.button("None of these", key=f"none_{row.exercise_as_written}", help="The sets stay in the log and count in no part."):
            decide(choice.store.path, row.exercise_as_written, "")
            refresh(choice.store.path)
            say_next(f"{row.exercise_as_written} is no exercise of the catalogue. Its sets stay in the log, and it is not asked again.")
        st.page_link("app_pages/exercises.py", label="Make it an exercise of my own →", width="content",
                     query_params={**choice.address, "own": row.exercise_as_written})
    if row.others:
        remark(f"A decision is on the name: {counted(row.others, 'other set', 'other sets')} of it, done with something else and matched, would follow. "
               "To settle these alone, write what they were done with into the name, under *Stored sets*.")


def settled(choice: Choice) -> None:
    """The names that were settled so far, each to be forgotten again."""
    found = decisions(choice.store.path)
    if found.empty or choice.sample:
        return
    made = {row.name_key: f"{row.name_key}: {called(row.exercise) if row.exercise else 'no exercise of the catalogue'}, {counted(row.sets, 'set', 'sets')}"
            for row in found.itertuples()}

    def forget(key: str) -> str:
        undecide(choice.store.path, key)
        refresh(choice.store.path)
        return f"{key} is read by the catalogue alone again."

    taken_back(f"Settled so far: {counted(len(found), 'name', 'names')}", made, "Forget this", "forget", forget)
