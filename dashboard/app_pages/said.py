"""What a person says beside the log, entered where it is needed: notes, pain and soreness, goals, blocks and decisions."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from typing import Any

import pandas as pd
import streamlit as st

from dashboard.app_pages.page import escape, remark, say_next, worked_out
from dashboard.app_pages.said_forms import ONE, adding, word_of
from dashboard.choices import Choice
from dashboard.queries import said as said_of
from dashboard.queries.words import called
from dashboard.sentences import said as say
from dashboard.sentences.numbers import begun, counted
from etl.store import said
from etl.store.said import BLOCKS, DECISIONS, GOALS, NOTES, Table

REMARKS_SHOWN = 4  # notes of the log beside those of the week
NOTES_SHOWN = 3  # under a picture


def notes(choice: Choice) -> None:
    """The week's notes, and ways to add one and to take one back; pain and soreness stand with `felt`, and are taken back here as well."""
    found = said_of.notes(choice.store, choice.athlete, choice.week)
    _from_the_log(choice)
    _kept(choice, NOTES, found, found["kind"] == "note")


def _from_the_log(choice: Choice) -> None:
    """What the log itself holds as notes in this week: a few, and the rest on request."""
    told = [f"- {escape(say.from_the_log(row))}" for row in said_of.remarks(choice.store, choice.athlete, choice.week).to_dict("records")]
    if told:
        st.markdown("\n".join(["From the log:", *told[:REMARKS_SHOWN]]))
    if rest := told[REMARKS_SHOWN:]:
        with st.expander(f"{counted(len(rest), 'other note', 'other notes')} from the log"):
            st.markdown("\n".join(rest))


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
    """Beneath a trend: the goals, decisions and notes that are about this exercise or part ('' for the whole), the block that the week lies in, and ways to add.

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
    for row in said_of.notes_about(choice.store, choice.athlete, choice.week, subject).head(NOTES_SHOWN).to_dict("records"):
        lines.append(f"**Note** {escape(say.told(NOTES.name, row, ''))}")
    if lines:
        st.markdown("\n".join(f"- {line}" for line in lines))
    with st.container(horizontal=True, gap="small"):
        for what in ("note", "decision", "goal"):
            adding(choice, what, subject)


def notes_about(choice: Choice, subjects: Iterable[str], since: date) -> None:
    """The latest notes about any of these exercises or parts, from `since` on; nothing where there is none."""
    found = [row | {"about": called(one)} for one in subjects
             for row in said_of.notes_about(choice.store, choice.athlete, choice.week, one).to_dict("records") if row["date"].date() >= since]
    lines = [f"- **Note** {escape(say.told(NOTES.name, row, row['about']))}" for row in sorted(found, key=lambda row: row["date"], reverse=True)[:NOTES_SHOWN]]
    if lines:
        st.markdown("\n".join(lines))


def _kept(choice: Choice, table: Table, found: pd.DataFrame, listed: pd.Series | None = None) -> None:
    """Records as a list, and beneath it what can be done with them. listed: which of them the list shows; None for all."""
    told = {int(row[table.key]): say.told(table.name, row, row.get("called", ""), choice.unit) + row.get("beside", "") for row in found.to_dict("records")}
    shown = list(told.values()) if listed is None else [text for text, one in zip(told.values(), listed, strict=True) if one]
    if shown:
        st.markdown("\n".join(f"- {escape(text)}" for text in shown))
    if choice.sample:
        return
    with st.container(horizontal=True, gap="small"):
        adding(choice, ONE[table.name])
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


def _take_back(choice: Choice, table: Table, number: int) -> None:
    gone = said.take_back(choice.store.path, table, number)
    worked_out(choice.store.path)
    say_next(f"The {word_of(table, gone)} is taken back.", lambda: said.say_again(choice.store.path, table, gone))


def _reach(choice: Choice, number: int) -> None:
    said.change(choice.store.path, GOALS, int(number), {"reached_on": date.today()})


def felt(choice: Choice) -> None:
    """Pain and soreness by place and score, of this week and open from the last, and what gave out before the muscle did."""
    found = said_of.pain(choice.store, choice.athlete, choice.week)
    now, before = found[found["this_week"].astype(bool)], found[~found["this_week"].astype(bool)]
    lines = [f"- **{escape(begun(say.felt(row)))}**, {escape(say.more_of_felt(row))}" for row in now.to_dict("records")]
    if lines:
        st.markdown("\n".join(lines))
    else:
        st.markdown("No pain or soreness was noted this week.")
    if still := say.open_from_before(before, now["place"].dropna().tolist()):
        remark(escape(still))
    out = said_of.gave_out(choice.store, choice.athlete, choice.week)
    if len(out):
        st.markdown(escape(say.gave_out(out)))
