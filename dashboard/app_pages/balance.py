"""Whether each head got its share: the shelf, then what gave a part its sets, and the heads of each muscle."""

from __future__ import annotations

from datetime import timedelta
from functools import partial

import pandas as pd
import streamlit as st

from dashboard.app_pages import empty, said
from dashboard.app_pages.page import escape, grid, how_to_read, how_worked_out, picture, remark, table
from dashboard.app_pages.picking import Picked, picking
from dashboard.app_pages.taking import take_table
from dashboard.charts import shelf
from dashboard.charts.head_rows import head_rows, muscle_rows
from dashboard.charts.set_rows import session_words, set_rows, source_rows
from dashboard.charts.shelf_rows import plank_length
from dashboard.charts.taken_rows import SHELF, taken
from dashboard.sentences.balance import bands_used
from dashboard.sentences.dose import between, not_distinguishable
from dashboard.sentences.numbers import begun, counted, day, number
from dashboard.choices import Choice, current, one_of
from dashboard.queries import balance as parts_of
from dashboard.queries import week as week_of
from dashboard.queries.look_up import as_logged
from dashboard.queries.week import level as level_of
from dashboard.queries.words import called
from dashboard.standing import traced

SOURCE = "came-from"  # where a link on the page leads to
SCOPES = {"focus": "Parts in focus", "all": "All parts"}
SHELVES = {"part_dose": "dose", "dose_range": "its range", "band": "bands", "usual": "usual", "focus": "focus", "short_by": "what is short",
           "not_distinguishable": "parts that cannot be told apart"}
MUSCLES = {"effective_heads": "effective heads", "dose_range": "range", "not_distinguishable": "heads that cannot be told apart"}
HEADS = {"head_dose": "dose", "credit": "credits", "dose_range": "range", "dose_details": "direct sets and grades"}


def show(choice: Choice) -> None:
    every, easy = parts_of.shown(choice.store, choice.athlete, choice.week)
    focus = every[every["in_focus"].astype(bool)]
    so_far = bool(week_of.done(choice.store, choice.athlete, choice.week)["so_far"])
    st.title(escape(f"Week of {day(choice.week, year=False)}: {shelf.finding(focus, easy, so_far)}" if len(focus) else "Balance"))
    how_to_read(shelf.READING)
    level, level_said = level_of(choice.store, choice.athlete)
    own = parts_of.own_bands(choice.store, choice.athlete)
    with st.container(horizontal=True, vertical_alignment="bottom"):
        scope = one_of("Show", SCOPES, "parts", width=260) if len(focus) else "all"
        shown = focus if scope == "focus" else every
        picked = picking("part", dict(zip(shown["part"], shown["name"].map(begun), strict=True)))
        # Above a picture that is taller than a screen, so that a click in it is seen to do something.
        picked.choose("Part", "All: pick one here or in the picture", width=320)
        if picked.value is not None:
            st.markdown(f"[Where its sets came from ↓](#{SOURCE})", width="content")
    _shelf(choice, shown, picked)
    remark(escape(bands_used(level, level_said, own)))
    how_worked_out(choice.address, SHELVES)
    if picked.value is None:
        _muscles(choice, None)
        _heads(choice, None)
        return
    part = shown.set_index("part").loc[picked.value]
    _came_from(choice, picked.value, part)
    _muscles(choice, part["muscle"])
    _heads(choice, picked.value)


def _shelf(choice: Choice, parts: pd.DataFrame, picked: Picked) -> None:
    history = parts_of.history(choice.store, choice.athlete, choice.week)
    chart = shelf.shelf(parts, history, choice.colours, plank_length(parts), headings=True, picked=picked.value or "")
    picture(chart, shelf.in_words(parts, choice.week), partial(taken, parts, SHELF), "shelf", choice.week, picked)
    if pairs := parts_of.not_distinguishable(parts):
        remark(escape(not_distinguishable(pairs)))


def _came_from(choice: Choice, identifier: str, part: pd.Series) -> None:
    """What gave the part its sets in this week, down to the sets as they were logged."""
    st.header(escape(f"{begun(part['name'])}: where its {number(part['dose'])} hard sets{between(part['low'], part['high'])} came from"), anchor=SOURCE)
    done = traced.sets_of(choice.store.path, choice.store.stamp, choice.athlete).between(choice.week, choice.week + timedelta(days=6))
    source = done.came_from(identifier)
    said.under_trend(choice, identifier)
    if source.empty:
        st.markdown("Nothing of this week’s log trains it.")
        return
    rows = partial(source_rows, source, [called(name) for name in source["name"]])
    table(rows(), f"What gave {part['name']} its hard sets")
    remark(f"Hard sets times what one counts for the part: 1 direct, {number(0.5)} indirect; with less it takes part and gives nothing, but it could with a credit one tier "
           "higher. In brackets: with each credit one tier lower or higher.")
    take_table(rows, f"hard sets of {part['name']} {choice.week}")
    with st.expander("The sets as they were logged"):
        there = partial(set_rows, as_logged(choice.store, choice.athlete, done.of(source).rows))
        grid(there(), f"Sets of this week that train {part['name']}")
        take_table(there, f"sets of {part['name']} {choice.week}")
        for session in done.sessions().itertuples():
            st.page_link("app_pages/look_up.py", label=f"{escape(session_words(session))} →", query_params={**choice.address, "session": session.key})


def _muscles(choice: Choice, muscle: str | None) -> None:
    """One muscle, or all of those with several heads."""
    muscles = parts_of.muscles(choice.store, choice.athlete, choice.week)
    muscles = muscles[(muscles["heads"] > 1) & (muscles["muscle"].eq(muscle) if muscle else True)]
    if muscles.empty:
        return
    st.header("Muscles with several heads")
    st.markdown("How evenly the sets fall on a muscle’s heads: three heads with equal sets count as 3, one head with all of them as 1.")
    grid(muscle_rows(muscles), "Hard sets of each muscle with their range, and its effective heads")
    how_worked_out(choice.address, MUSCLES)


def _heads(choice: Choice, part: str | None) -> None:
    """The heads of one part, or all of them."""
    heads = parts_of.heads(choice.store, choice.athlete, choice.week)
    heads = heads if part is None else heads[heads["part"] == part]
    st.header("Its heads" if part else "Each head of each muscle")
    st.markdown(
        f"Hard sets, and the range when each credit moves one tier up or down. A direct set counts 1 and an indirect set {number(0.5)}; "
        "per head this is a convention of ours. Where two ranges overlap and the order could turn, the heads cannot be told apart.")
    grid(head_rows(heads), "Hard sets of each head with their range")
    take_table(partial(head_rows, heads), f"heads {part or ''} {choice.week}")
    remark(f"{counted(len(heads), 'head', 'heads')}. A: measured in this muscle; B: from anatomy and movement; C: judged. Shares are of the hard sets.")
    how_worked_out(choice.address, HEADS)


if current().athlete:
    show(current())
else:
    empty.show()
