"""What is said of one athlete: level, focus, bands, the loads in the house, the unit shown, what a client sees; goals, blocks and decisions."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import streamlit as st

from dashboard.app_pages import empty, said
from dashboard.app_pages.page import escape, remark, said_once, say_next, worked_out
from dashboard.choices import Choice, current
from dashboard.queries.balance import own_bands
from dashboard.queries.words import part_words
from dashboard.sentences.loads import loads_line, read_loads
from dashboard.sentences.numbers import begun, listed
from dashboard.sentences.said import SEES
from etl.refusal import Refusal
from etl.store.athletes import SHOWN_UNITS, Settings, say, settings

LEVELS = {"beginner": "beginner", "intermediate": "intermediate", "advanced": "advanced"}
WHY = {
    "level": "Which band of weekly sets a part is held against, and how many weeks a verdict on strength looks back.",
    "focus": "The parts that matter now. Left empty: the main parts of the regions that the log trains.",
    "loads": "Kilograms in one hand, such as {}. The next load that is suggested is one of these. Left empty: any.",
    "unit": "The log keeps what was written; only what is shown changes.",
    "shows": "What the page and the report for the client hold beside the training. A private note is never shown.",
}

LOADS = (2, 4, 6, 7.5, 10)  # of an example


def show(choice: Choice) -> None:
    st.title(escape(f"Settings of {choice.athlete}"))
    said_once()
    known = settings(choice.store.path, choice.athlete)
    if choice.sample:
        remark("This is the sample; what is said of its athletes cannot be changed here.")
    _form(choice, known)
    st.header("Goals")
    said.goals(choice)
    st.header("Blocks")
    said.blocks(choice)
    st.header("Decisions")
    said.decisions(choice, shown=20)


def _form(choice: Choice, known: Settings) -> None:
    key = f"{choice.athlete}_{choice.store.stamp}"  # another athlete, or what was said elsewhere, begins with what is kept
    parts = part_words()
    with st.form(f"settings_{key}", border=False):
        level = st.radio("Level" + ("" if known.level_said else " (assumed so far)"), list(LEVELS), index=list(LEVELS).index(known.level), horizontal=True,
                         help=WHY["level"], key=f"level_{key}")
        focus = st.multiselect("In focus", list(parts), default=[one for one in known.focus if one in parts], format_func=lambda one: begun(parts[one]), help=WHY["focus"],
                               placeholder="The main parts of what is trained", key=f"focus_{key}")
        loads = st.text_input("Loads in the house, kg in one hand", value=loads_line(known.loads), help=WHY["loads"].format(loads_line(LOADS)),
                              placeholder="any", max_chars=600, key=f"loads_{key}")
        unit = st.radio("Loads are shown in", SHOWN_UNITS, index=SHOWN_UNITS.index(known.shown_unit), horizontal=True, help=WHY["unit"], key=f"unit_{key}")
        shows = st.multiselect("A client sees beside the training", list(SEES), default=list(known.shows), format_func=lambda one: begun(SEES[one]), help=WHY["shows"],
                               placeholder="Nothing", key=f"shows_{key}")
        if st.form_submit_button("Keep", disabled=choice.sample):
            _keep(choice, known, {"level": level, "focus": focus, "loads": _loads(loads), "shown_unit": unit, "shows": shows})
    own = own_bands(choice.store, choice.athlete)
    remark((f"Bands of your own: {escape(listed(own))}. " if own else "The bands are those of the level. ") + "A band of your own for a part is set on the page Exercises, under your own changes.")


def _keep(choice: Choice, known: Settings, values: dict[str, Any]) -> None:
    before = asdict(known)
    changed = {name: value for name, value in values.items() if value != (list(before[name]) if isinstance(before[name], tuple) else before[name])}
    if not changed:
        say_next("Nothing was changed.")
    say(choice.store.path, choice.athlete, **changed)
    worked_out(choice.store.path)
    say_next(f"The settings of {choice.athlete} are kept.", lambda: _restore(choice, before, list(changed)))


def _restore(choice: Choice, before: dict[str, Any], names: list[str]) -> None:
    say(choice.store.path, choice.athlete, **{name: list(before[name]) if isinstance(before[name], tuple) else before[name] for name in names})


def _loads(text: str) -> list[float]:
    try:
        return read_loads(text)
    except ValueError:
        raise Refusal(f"'{text}' are no loads", "Loads in the house", f"Write kg in one hand, such as {loads_line(LOADS)}.") from None


if current().athlete:
    show(current())
else:
    empty.show()
