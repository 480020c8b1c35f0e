"""What is said of one athlete: level, focus, bands, the loads in the house, the unit shown, what a client sees; goals, blocks and decisions."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import streamlit as st

from dashboard.app_pages import empty, said
from dashboard.app_pages.page import escape, remark, said_once, say_next, worked_out
from dashboard.choices import Choice, current
from dashboard.queries.balance import own_bands
from dashboard.queries.words import part_muscles, part_words
from dashboard.sentences.balance import level_changes
from dashboard.sentences.decimal_mark import COMMA, mark
from dashboard.sentences.numbers import begun, listed
from dashboard.sentences.plain_parts import to_find
from dashboard.sentences.said import SEES
from dashboard.sentences.units import KG, loads_told
from etl.importing import rename_athlete
from etl.notation.house import loads_in_kg
from etl.refusal import Refusal
from etl.store.athletes import SHOWN_UNITS, Settings, say, settings
from etl.store.renaming import NAME_LONGEST

LOADS = (2, 4, 6, 7.5, 10)  # kg, of an example
LEVELS = {"beginner": "beginner", "intermediate": "intermediate", "advanced": "advanced"}
WHY = {
    "focus": "The parts that matter now. Left empty: the main parts of the regions that the log trains.",
    "loads": "In one hand, such as {}, or 2 to 10 by 2. A load in the other unit has it behind it: 5 lb. The next load that is suggested "
             "for what hands hold, a pair of dumbbells or one dumbbell or kettlebell alone, is one of these. Left empty: any.",
    "unit": "The log keeps what was written; only what is shown changes. Until it is said here, it is the unit that most of the log is written in.",
    "name": "Everything that is kept goes with the name, and later files that write the old one are read under the new one.",
    "shows": "What the page and the report for the client hold beside the training. A private note is never shown.",
}


def show(choice: Choice) -> None:
    st.title(escape(f"Settings of {choice.athlete}"))
    said_once()
    known = settings(choice.store.path, choice.athlete)
    if choice.sample:
        remark("This is the sample; what is said of its athletes cannot be changed here.")
    _form(choice, known)
    _name(choice)
    st.header("Goals")
    said.goals(choice)
    st.header("Blocks")
    said.blocks(choice)
    st.header("Decisions")
    said.decisions(choice, shown=20)


def _form(choice: Choice, known: Settings) -> None:
    key = f"{choice.athlete}_{choice.store.stamp}"  # another athlete, or what was said elsewhere, begins with what is kept
    parts, muscles = part_words(), part_muscles()
    with st.form(f"settings_{key}", border=False):
        level = st.radio("Level" + ("" if known.level_said else " (assumed so far)"), list(LEVELS), index=list(LEVELS).index(known.level), horizontal=True,
                         key=f"level_{key}")
        remark(level_changes())
        focus = st.multiselect("In focus", list(parts), default=[one for one in known.focus if one in parts], format_func=lambda one: begun(to_find(one, parts[one], muscles[one])), help=WHY["focus"],
                               placeholder="The main parts of what is trained", key=f"focus_{key}")
        loads = st.text_input(f"Loads in the house, {known.shown_unit} in one hand", value=loads_told(known.loads, known.shown_unit), help=WHY["loads"].format(loads_told(LOADS, KG)),
                              placeholder="any", max_chars=600, key=f"loads_{key}")
        beside_loads = st.empty()
        unit = st.radio("Loads are shown in" + ("" if known.shown_unit_said else " (as most of the log so far)"), SHOWN_UNITS, index=SHOWN_UNITS.index(known.shown_unit), horizontal=True, help=WHY["unit"], key=f"unit_{key}")
        shows = st.multiselect("A client sees beside the training", list(SEES), default=list(known.shows), format_func=lambda one: begun(SEES[one]), help=WHY["shows"],
                               placeholder="Nothing", key=f"shows_{key}")
        if st.form_submit_button("Keep", disabled=choice.sample):
            try:
                _keep(choice, known, {"level": level, "focus": focus, "loads": loads_in_kg(loads, known.shown_unit, comma=mark() == COMMA), "shown_unit": unit, "shows": shows})
            except Refusal as refusal:
                (beside_loads if refusal.field == "loads" else st).warning(escape(str(refusal)))
    own = own_bands(choice.store, choice.athlete)
    remark((f"Bands of your own: {escape(listed(own))}. " if own else "The bands are those of the level. ") + "A band of your own for a part is set on the page Exercises, under your own changes.")


def _name(choice: Choice) -> None:
    key = f"{choice.athlete}_{choice.store.stamp}"
    with st.form(f"name_{key}", border=False), st.container(horizontal=True, vertical_alignment="bottom"):
        name = st.text_input("Name", value=choice.athlete, max_chars=NAME_LONGEST, help=WHY["name"], key=f"name_of_{key}", width=300)
        beside = st.empty()
        asked = st.form_submit_button("Rename", disabled=choice.sample)
    if asked:
        try:
            _rename(choice, choice.athlete, name)
        except Refusal as refusal:
            beside.warning(escape(str(refusal)))


def _rename(choice: Choice, was: str, to: str) -> None:
    name = rename_athlete(choice.store.path, was, to)["athlete"]
    worked_out(choice.store.path)
    st.query_params["athlete"] = name  # the choice follows the address

    def back() -> None:
        rename_athlete(choice.store.path, name, was)
        st.query_params["athlete"] = was

    say_next(f"{was} is called {name} from now on, also in later files that write the old name.", back)


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


if current().athlete:
    show(current())
else:
    empty.show()
