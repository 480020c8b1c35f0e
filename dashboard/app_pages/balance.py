"""The shelf of every part by region, then the heads of each muscle."""

from __future__ import annotations

import pandas as pd
import streamlit as st

from dashboard.app_pages import empty
from dashboard.app_pages.page import escape, grid, how_to_read, how_worked_out, picture, remark
from dashboard.charts import shelf
from dashboard.charts.head_rows import head_rows, muscle_rows
from dashboard.charts.shelf_rows import plank_length
from dashboard.sentences.dose import not_distinguishable
from dashboard.sentences.numbers import begun, day, listed, number
from dashboard.choices import Choice, current, one_of
from dashboard.queries import balance as parts_of
from dashboard.queries.week import level as level_of

HISTORY_WEEKS = 8
SCOPES = {"focus": "Parts in focus", "all": "All parts"}
SHELVES = {"part_dose": "dose", "dose_range": "its range", "band": "bands", "usual": "usual", "focus": "focus", "short_by": "what is short",
           "not_distinguishable": "parts that cannot be told apart"}
MUSCLES = {"effective_heads": "effective heads", "dose_range": "range", "not_distinguishable": "heads that cannot be told apart"}
HEADS = {"head_dose": "dose", "credit": "credits", "dose_range": "range", "dose_details": "direct sets and grades"}


def show(choice: Choice) -> None:
    every = parts_of.parts(choice.store, choice.athlete, choice.week)
    focus = every[every["in_focus"].astype(bool)]
    st.title(escape(f"Week of {day(choice.week, year=False)}: {shelf.finding(focus)}" if len(focus) else "Balance"))
    how_to_read(shelf.READING)
    level, said = level_of(choice.store, choice.athlete)
    own = parts_of.own_bands(choice.store, choice.athlete)
    remark(f"Bands of the {level} level" + (".", ", which nobody said: evenset athlete NAME --level says another.")[not said]
           + (f" Yours: {escape(listed(own))}." if own else ""))
    scope = one_of("Show", SCOPES, "parts", width=260) if len(focus) else "all"
    _shelves(choice, focus if scope == "focus" else every)
    how_worked_out(choice.address, SHELVES)
    _muscles(choice)
    _heads(choice)


def _shelves(choice: Choice, parts: pd.DataFrame) -> None:
    history = parts_of.history(choice.store, choice.athlete, choice.week, HISTORY_WEEKS)
    reach = plank_length(parts)
    for region, shelved in parts.groupby("region", sort=False):
        st.subheader(escape(begun(region)))
        picture(shelf.shelf(shelved, history, choice.colours, reach, headings=True), shelf.in_words(shelved, choice.week))
        if pairs := parts_of.not_distinguishable(shelved):
            remark(escape(not_distinguishable(pairs)))


def _muscles(choice: Choice) -> None:
    muscles = parts_of.muscles(choice.store, choice.athlete, choice.week)
    if muscles.empty:
        return
    st.subheader("Muscles with several heads")
    st.markdown("How evenly the sets fall on a muscle’s heads: three heads with equal sets count as 3, one head with all of them as 1.")
    grid(muscle_rows(muscles), "Hard sets of each muscle with their range, and its effective heads")
    how_worked_out(choice.address, MUSCLES)


def _heads(choice: Choice) -> None:
    heads = parts_of.heads(choice.store, choice.athlete, choice.week)
    st.subheader("Each head of each muscle")
    st.markdown(
        "Hard sets, and the range when each credit moves one tier up or down. A direct set counts 1 and an indirect set 0.5; "
        "per head this is a convention of ours. Where two ranges overlap and the order could turn, the heads cannot be told apart.")
    grid(head_rows(heads), "Hard sets of each head with their range")
    remark(f"{number(len(heads))} heads. A: measured in this muscle; B: from anatomy and movement; C: judged. Shares are of the hard sets.")
    how_worked_out(choice.address, HEADS)


if current().athlete:
    show(current())
else:
    empty.show()
