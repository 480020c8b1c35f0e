"""What a person says beside the log, entered where it is needed: notes, pain and soreness, goals, blocks and decisions."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

import pandas as pd
import streamlit as st

from dashboard.app_pages.number_field import number_field
from dashboard.app_pages.page import escape, remark, say_next, worked_out
from dashboard.choices import Choice
from dashboard.queries import said as said_of
from dashboard.sentences import said as say
from dashboard.sentences.numbers import begun, day
from etl.store import said
from etl.store.said import BLOCKS, DECISIONS, GOALS, LONGEST, NOTES, Table

KINDS = {"note": "a note", "pain": "pain", "soreness": "soreness"}
OF = {"": "no number", "e1rm": "kg, estimated maximum", "reps": "repetitions", "hold": "seconds held"}
BLOCK_WEEKS = 6
ONE = {NOTES.name: "note", GOALS.name: "goal", BLOCKS.name: "block", DECISIONS.name: "decision"}


def notes(choice: Choice) -> None:
    """The week's notes, and ways to add one and to take one back."""
    _kept(choice, NOTES, said_of.notes(choice.store, choice.athlete, choice.week))


def decisions(choice: Choice, shown: int = 3) -> None:
    """The latest decisions, and ways to add one and to take one back."""
    _kept(choice, DECISIONS, said_of.decisions(choice.store, choice.athlete, choice.week).head(shown))


def goals(choice: Choice) -> None:
    """Every goal with how far it is, and ways to add one, to say that one is reached, and to take one back."""
    found = said_of.goals(choice.store, choice.athlete)
    _kept(choice, GOALS, found.assign(beside=[_now(choice, row) for row in found.to_dict("records")]))


def blocks(choice: Choice) -> None:
    """Every block, and ways to add one and to take one back."""
    _kept(choice, BLOCKS, said_of.blocks(choice.store, choice.athlete))


def under_trend(choice: Choice, subject: str) -> None:
    """Beneath a trend: the goals and decisions that are about this exercise or part ('' for the whole), the block that the week lies in, and ways to add.

    subject: an exercise or part id, or ''.
    """
    lines = []
    of_goals = said_of.goals(choice.store, choice.athlete)
    for row in of_goals[(of_goals["subject"] == subject) & of_goals["reached_on"].isna()].to_dict("records"):
        lines.append(f"**Goal** {escape(say.told(GOALS.name, row, '', choice.unit))}{escape(_now(choice, row))}")
    for row in said_of.blocks(choice.store, choice.athlete).to_dict("records"):
        if row["starts"].date() <= choice.week + timedelta(days=6) and row["ends"].date() >= choice.week:
            lines.append(f"**Block** {escape(say.told(BLOCKS.name, row, ''))}")
    decided = said_of.decisions(choice.store, choice.athlete, choice.week)
    for row in decided[decided["subject"] == subject].head(3).to_dict("records"):
        lines.append(f"**Decided** {escape(say.told(DECISIONS.name, row, ''))}")
    if lines:
        st.markdown("\n".join(f"- {line}" for line in lines))
    with st.container(horizontal=True, gap="small"):
        for what in ("note", "decision", "goal"):
            _adding(choice, what, subject)


def _kept(choice: Choice, table: Table, found: pd.DataFrame) -> None:
    """Records as a list, and beneath it what can be done with them."""
    told = {int(row[table.key]): say.told(table.name, row, row.get("called", ""), choice.unit) + row.get("beside", "") for row in found.to_dict("records")}
    if told:
        st.markdown("\n".join(f"- {escape(text)}" for text in told.values()))
    if choice.sample:
        return
    with st.container(horizontal=True, gap="small"):
        _adding(choice, ONE[table.name])
        if told:
            with st.popover("Take one back", type="tertiary", key=f"taking_{table.name}"):
                for number, text in told.items():
                    if st.button(escape(text), key=f"back_{table.name}_{number}"):
                        _take_back(choice, table, number)
        if table is GOALS and (ahead := [int(number) for number in found.loc[found["reached_on"].isna(), table.key]]):
            with st.popover("One is reached", type="tertiary", key="reaching"):
                for number in ahead:
                    st.button(escape(told[number]), key=f"reached_{number}", on_click=_reach, args=(choice, number))


def _now(choice: Choice, row: Mapping[str, Any]) -> str:
    if pd.isna(row["target"]):
        return ""
    now = said_of.goal_now(choice.store, choice.athlete, choice.week, row["subject"], row["measure"])
    return f"; {say.goal_now(row['measure'], row['target'], *now, choice.unit)}" if now else ""


def _adding(choice: Choice, what: str, subject: str = "") -> None:
    if choice.sample:
        return
    name = f"{what}_{subject or 'day'}"
    with st.popover(f"Add a {what}", type="tertiary", key=f"add_{name}"), st.form(f"form_{name}", border=False, clear_on_submit=True):
        table, values = {"note": _note, "goal": _goal, "block": _block, "decision": _decision}[what](choice, name, subject)
        if st.form_submit_button("Keep it"):
            _keep(choice, table, values)


def _note(choice: Choice, name: str, subject: str) -> tuple[Table, dict[str, Any]]:
    kind = st.radio("It is", list(KINDS), format_func=KINDS.__getitem__, horizontal=True, key=f"kind_{name}")
    when = _when(choice, name)
    about = _about(choice, name, subject)
    place = st.text_input("Where, if it is pain or soreness", max_chars=said.PLACE_LONGEST, placeholder="left elbow", key=f"place_{name}")
    score = st.slider("How bad, 0 none to 10 the worst there is", 0, 10, 0, key=f"score_{name}")
    text = st.text_area("In words", max_chars=LONGEST, key=f"text_{name}")
    shared = st.checkbox("The client may see it", key=f"shared_{name}", help="Only where Settings allow notes or pain to be shown at all.")
    return NOTES, {"kind": kind, "date": when, "subject": about, "place": place, "score": score if kind != "note" else None, "text": text, "private": not shared}


def _goal(choice: Choice, name: str, subject: str) -> tuple[Table, dict[str, Any]]:
    text = st.text_input("The goal", max_chars=LONGEST, placeholder="ten strict pull-ups", key=f"text_{name}")
    due = st.date_input("By", value=choice.week + timedelta(weeks=12), key=f"due_{name}")
    about = _about(choice, name, subject)
    of = st.selectbox("With a number, of that exercise", list(OF), format_func=OF.__getitem__, key=f"of_{name}")
    target = number_field("The number", 0.0, key=f"target_{name}")
    return GOALS, {"text": text, "due": due, "subject": about, "measure": of or None, "target": target if of else None}


def _block(choice: Choice, name: str, subject: str) -> tuple[Table, dict[str, Any]]:
    aim = st.text_input("Its aim", max_chars=LONGEST, placeholder="more pulling", key=f"aim_{name}")
    starts = st.date_input("Starts", value=choice.week, key=f"starts_{name}")
    ends = st.date_input("Ends", value=choice.week + timedelta(weeks=BLOCK_WEEKS, days=-1), key=f"ends_{name}")
    due = st.date_input("A deload is due in the week of", value=None, key=f"deload_{name}")
    return BLOCKS, {"aim": aim, "starts": starts, "ends": ends, "deload_due": due}


def _decision(choice: Choice, name: str, subject: str) -> tuple[Table, dict[str, Any]]:
    text = st.text_input("What was decided", max_chars=LONGEST, placeholder="curls moved to the start of the session", key=f"text_{name}")
    return DECISIONS, {"text": text, "date": _when(choice, name), "subject": _about(choice, name, subject)}


def _when(choice: Choice, name: str) -> date:
    return st.date_input("Day", value=min(choice.week + timedelta(days=6), date.today()), max_value=date.today(), key=f"date_{name}")


def _about(choice: Choice, name: str, subject: str) -> str:
    words = said_of.subjects(choice.store, choice.athlete, choice.week)
    options = list(words)
    return st.selectbox("About", options, index=options.index(subject) if subject in options else 0, format_func=lambda one: begun(words[one]), key=f"about_{name}")


def _keep(choice: Choice, table: Table, values: dict[str, Any]) -> None:
    number = said.say(choice.store.path, table, choice.athlete, values)
    worked_out(choice.store.path)
    say_next(say.kept(f"the {ONE[table.name]}"), lambda: said.take_back(choice.store.path, table, number))


def _take_back(choice: Choice, table: Table, number: int) -> None:
    gone = said.take_back(choice.store.path, table, number)
    worked_out(choice.store.path)
    say_next(f"The {ONE[table.name]} is taken back.", lambda: said.say_again(choice.store.path, table, gone))


def _reach(choice: Choice, number: int) -> None:
    said.change(choice.store.path, GOALS, int(number), {"reached_on": date.today()})


def felt(choice: Choice) -> None:
    """Pain and soreness by place and score, of this week and open from the last, and what gave out before the muscle did."""
    found = said_of.pain(choice.store, choice.athlete, choice.week)
    now, before = found[found["this_week"].astype(bool)], found[~found["this_week"].astype(bool)]
    lines = [f"- **{escape(begun(say.felt(row)))}**, {day(row['date'], year=False)}" + (f": {escape(', '.join(row['called']))}" if row["called"] else "")
             for row in now.to_dict("records")]
    if lines:
        st.markdown("\n".join(lines))
    else:
        st.markdown("No pain or soreness was noted this week.")
    if still := say.open_from_before(before, set(now["place"].str.casefold())):
        remark(escape(still))
    out = said_of.gave_out(choice.store, choice.athlete, choice.week)
    if len(out):
        st.markdown(escape(say.gave_out(out)))
