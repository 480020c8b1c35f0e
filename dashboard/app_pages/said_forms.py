"""The forms in which a person says something beside the log: a note, pain, a goal, a block, a decision.

A form opens as a dialog, which takes the keyboard's focus with it. What is refused is said beside the field that it is about, with everything that was
typed kept; what is kept closes the form.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from dashboard.app_pages.number_field import number_field
from dashboard.app_pages.page import escape, say_next, worked_out
from dashboard.choices import Choice
from dashboard.queries import said as said_of
from dashboard.queries.presented import full_week, last_set
from dashboard.sentences import said as say
from dashboard.sentences.numbers import begun
from dashboard.sentences.units import heading_in_unit, to_kg
from etl.refusal import Refusal
from etl.store import said
from etl.store.said import BLOCKS, DECISIONS, GOALS, LONGEST, NOTES, SCORE_LEAST, SCORE_MOST, Table

KINDS = {"note": "a note", "pain": "pain", "soreness": "soreness"}
OF = {"": "no number", "e1rm": "kg, estimated maximum", "load": "kg, load lifted", "reps": "repetitions", "hold": "seconds held"}
IN_KG = ("e1rm", "load")  # kept so, and written in the unit of the athlete's pages
SHOWN = "The client's page shows it."
ONE = {NOTES.name: "note", GOALS.name: "goal", BLOCKS.name: "block", DECISIONS.name: "decision"}
BLOCK_WEEKS = 6
WORDS_HEIGHT = 100  # pixels: with it the button of the longest form is in sight on a screen of 800
ISO = "YYYY-MM-DD"
OPEN = "open_form"

Beside = dict[str, DeltaGenerator]  # a field's column -> the place below it where a refusal is said


@dataclass(frozen=True)
class OpenForm:
    """What is being written: note, goal, block or decision; what it is about when it opens, and on which day, None for the usual one. where: page,
    athlete and week, once it has been drawn there."""

    what: str
    subject: str
    on: date | None = None
    where: tuple[str, str | None, date | None] | None = None

    @property
    def name(self) -> str:
        """Of its fields among the widgets."""
        return f"{self.what}_{self.subject or 'day'}"


def word_of(table: Table, record: Mapping[str, Any]) -> str:
    """What a record is called: note, pain, soreness, goal, block or decision."""
    return str(record["kind"]) if table is NOTES else ONE[table.name]


def adding(choice: Choice, what: str, subject: str = "") -> None:
    """A button that opens a form. what: note, goal, block or decision. subject: what it is about when it opens; an exercise or part id, or ''."""
    if choice.sample:
        return
    form = OpenForm(what, subject)
    if st.button(f"Add a {what}", type="tertiary", key=f"add_{form.name}"):
        st.session_state[OPEN] = form


def note_on(subject: str, day: date) -> None:
    """Open the form of a note about a subject on that day: for a callback."""
    st.session_state[OPEN] = OpenForm("note", subject, day)


def opened(choice: Choice, page: str) -> None:
    """Draw the form that is open, if one is. It belongs to the page, athlete and week where it was opened: anywhere else it is closed."""
    form, here = st.session_state.get(OPEN), (page, choice.athlete, choice.week)
    if form is None:
        return
    if form.where not in (None, here):
        _close()
        return
    st.session_state[OPEN] = replace(form, where=here)
    st.dialog(f"Add a {form.what}", width="medium", on_dismiss=_close)(_form)(choice, form)


def _close() -> None:
    st.session_state.pop(OPEN, None)


def _form(choice: Choice, form: OpenForm) -> None:
    beside: Beside = {}
    with st.form(f"form_{form.name}", border=False):
        table, values = {"note": _note, "goal": _goal, "block": _block, "decision": _decision}[form.what](choice, form, beside)
        below = st.empty()
        if st.form_submit_button("Keep it", type="primary"):
            try:
                number = said.say(choice.store.path, table, choice.athlete, values)
            except Refusal as refusal:
                beside.get(refusal.field, below).warning(escape(str(refusal)))
                return
            worked_out(choice.store.path)
            _close()
            say_next(say.kept(f"the {word_of(table, values)}"), lambda: said.take_back(choice.store.path, table, number))


def _note(choice: Choice, form: OpenForm, beside: Beside) -> tuple[Table, dict[str, Any]]:
    name = form.name
    left, right = st.columns(2)
    with left:
        kind = st.radio("It is", list(KINDS), format_func=KINDS.__getitem__, horizontal=True, key=f"kind_{name}")
    with right:
        when = _when(choice, form, beside)
    left, right = st.columns(2)
    with left:
        place = st.text_input("Where, if it is pain or soreness", max_chars=said.PLACE_LONGEST, placeholder="left elbow", key=f"place_{name}")
        beside["place"] = st.empty()
    with right:
        score = st.number_input("How bad, 1 hardly felt to 10 the worst", int(SCORE_LEAST), int(SCORE_MOST), None, placeholder="not said", key=f"score_{name}")
        beside["score"] = st.empty()
    text = st.text_area("In words", max_chars=LONGEST, height=WORDS_HEIGHT, key=f"text_{name}")
    beside["text"] = st.empty()
    left, right = st.columns(2, vertical_alignment="bottom")
    with left:
        about = _about(choice, form, beside)
    with right:
        shared = st.checkbox("The client may see it", key=f"shared_{name}", help="Only where Settings allow notes or pain to be shown at all.")
    return NOTES, {"kind": kind, "date": when, "subject": about, "place": place, "score": score if kind != "note" else None, "text": text, "private": not shared}


def _goal(choice: Choice, form: OpenForm, beside: Beside) -> tuple[Table, dict[str, Any]]:
    name = form.name
    text = st.text_input("The goal", max_chars=LONGEST, placeholder="ten strict pull-ups", help=SHOWN, key=f"text_{name}")
    beside["text"] = st.empty()
    left, right = st.columns(2)
    with left:
        due = st.date_input("By", value=choice.week + timedelta(weeks=12), format=ISO, key=f"due_{name}")
        beside["due"] = st.empty()
        of = st.selectbox("With a number, of that exercise", list(OF), format_func=lambda one: heading_in_unit(OF[one], choice.unit), key=f"of_{name}")
        beside["measure"] = st.empty()
    with right:
        about = _about(choice, form, beside)
        target = number_field("The number", 0.0, key=f"target_{name}")
        beside["target"] = st.empty()
    if of in IN_KG and target is not None:
        target = to_kg(target, choice.unit)
    return GOALS, {"text": text, "due": due, "subject": about, "measure": of or None, "target": target}


def _block(choice: Choice, form: OpenForm, beside: Beside) -> tuple[Table, dict[str, Any]]:
    name = form.name
    today = date.today()
    begins = today - timedelta(days=today.weekday()) if _looks_at_now(choice) else choice.week
    aim = st.text_input("Its aim", max_chars=LONGEST, placeholder="more pulling", help=SHOWN, key=f"aim_{name}")
    beside["aim"] = st.empty()
    left, right = st.columns(2)
    with left:
        starts = st.date_input("Starts", value=begins, format=ISO, key=f"starts_{name}")
        beside["starts"] = st.empty()
    with right:
        ends = st.date_input("Ends", value=begins + timedelta(weeks=BLOCK_WEEKS, days=-1), format=ISO, key=f"ends_{name}")
        beside["ends"] = st.empty()
    due = st.date_input("A deload is due in the week of", value=None, format=ISO, key=f"deload_{name}")
    beside["deload_due"] = st.empty()
    return BLOCKS, {"aim": aim, "starts": starts, "ends": ends, "deload_due": due}


def _decision(choice: Choice, form: OpenForm, beside: Beside) -> tuple[Table, dict[str, Any]]:
    name = form.name
    text = st.text_input("What was decided", max_chars=LONGEST, placeholder="curls moved to the start of the session", key=f"text_{name}")
    beside["text"] = st.empty()
    left, right = st.columns(2)
    with left:
        when = _when(choice, form, beside)
    with right:
        about = _about(choice, form, beside)
    return DECISIONS, {"text": text, "date": when, "subject": about}


def _when(choice: Choice, form: OpenForm, beside: Beside) -> date:
    on = form.on or _usual_day(choice, form)
    when = st.date_input("Day", value=on, max_value=date.today(), format=ISO, key=f"date_{form.name}_{on}")
    beside["date"] = st.empty()
    return when


def _usual_day(choice: Choice, form: OpenForm) -> date:
    """Of a note the last day with training of the week that is looked at, else its end; of a decision today, unless an older week is looked at."""
    today = date.today()
    if form.what == "decision" and _looks_at_now(choice):
        return today
    ends = min(choice.week + timedelta(days=6), today)
    trained = last_set(choice.store, choice.athlete, ends) if form.what == "note" else None
    return trained if trained is not None and trained >= choice.week else ends


def _looks_at_now(choice: Choice) -> bool:
    """Whether the week that is looked at is the last full one, or the one that runs."""
    return choice.week >= full_week(date.today())


def _about(choice: Choice, form: OpenForm, beside: Beside) -> str:
    words = said_of.subjects(choice.store, choice.athlete, choice.week)
    options = list(words)
    about = st.selectbox("About", options, index=options.index(form.subject) if form.subject in options else 0, format_func=lambda one: begun(words[one]), key=f"about_{form.name}")
    beside["subject"] = st.empty()
    return about
