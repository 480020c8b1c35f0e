"""One week, in the order in which experienced coaches look at it: what was done, pain, volume, strength, flags, data, what to change."""

from __future__ import annotations

import pandas as pd
import streamlit as st

from dashboard.app_pages import empty, last_trained, said, week_mark, week_parts
from dashboard.app_pages.page import changes, escape, flag_list, folded, how_worked_out, remark, said_once
from dashboard.choices import Choice, current
from dashboard.methods import of_flags
from dashboard.queries import said as said_of
from dashboard.queries import strength as strength_of
from dashboard.queries import week as week_of
from dashboard.sentences.client import EASIER_BACK, restart
from dashboard.sentences.dose import has_range
from dashboard.sentences.flags import apart, more
from dashboard.sentences.load import JUMPS, LIMITS
from dashboard.sentences.numbers import counted, day
from dashboard.sentences.plan import KEEP_REST, comes_from
from dashboard.sentences.remember import after_break, remember
from dashboard.sentences.units import rows_in_unit
from etl.settings import RULES

AGAIN, ASKED_THEN = "when training begins again", "What this week by itself asked for"
TO_CHANGE = "to-change"  # where the changes stand on the page
CHANGES = {"next_week": "the changes", "short_by": "what is short"}
RANGE = {"dose_range": "ranges in brackets"}
STOOD_OUT = {"message": "flags and levels", "spike": "spikes", "plateau_flag": "plateau and decline", "below_band": "parts below their band",
             "side_difference": "left and right", "first_exposure": "new exercises"}


def show(choice: Choice) -> None:
    done = week_of.done(choice.store, choice.athlete, choice.week)
    flags = rows_in_unit(week_of.flags(choice.store, choice.athlete, choice.week), choice.unit, "message")
    following = rows_in_unit(week_of.following(choice.store, choice.athlete, choice.week), choice.unit, "action", "reason")
    st.title(f"Week of {day(choice.week)}" + (", so far" if done["so_far"] else ""))
    said_once()
    gone = last_trained.show(choice)
    planned_from = following["week"].iloc[0].date() if len(following) else choice.week
    away = gone if gone and gone > RULES.layoff_days else None  # they return with less than was usual
    # Changes from the week before are for the one that runs.
    when = AGAIN if away else "this week" if planned_from < choice.week else "next week"
    # On a phone the changes stand far below: who has read the week once needs only them.
    st.markdown(f"{escape(week_parts.headline(choice, done, flags))}  \n:small[[What to change {when} ↓](#{TO_CHANGE})]")
    # Each row of the page is one step of the review, so that a phone shows the steps in the same order. The pictures are sent first.
    (weeks, felt), (balance, strength) = (st.columns([3, 2], gap="large") for _ in range(2))
    with weeks:
        week_parts.figures(done)
        below_weeks = week_parts.weeks(choice)
    with balance:
        below_balance = week_parts.balance(choice, done)
    with strength:
        below_strength = week_parts.strength(choice)
    with weeks:
        below_weeks()
        week_mark.show(choice)
    with balance:
        below_balance()
    with strength:
        below_strength()
    with felt:
        st.header("Pain, and what gave out")
        said.felt(choice)
        week_parts.care(choice)
        st.header("Notes of this week")
        said.notes(choice)
    flagged, ahead = st.columns([3, 2], gap="large")
    with flagged:
        _flags(choice, flags)
        week_parts.to_look_at(choice, done, flags)
        st.header("Goals")
        said.goals(choice)
    with ahead:
        said_from = comes_from(planned_from, choice.week, bool(done["so_far"])) if len(following) else ""
        _next(choice, done, following, when, said_from, away)
        _remember(choice, done, following, when, said_from, away)


def _next(choice: Choice, done: dict, following: pd.DataFrame, when: str, said_from: str, away: int | None) -> None:
    """away: days without a set since, of the last week with training of somebody who has stopped; what it asked for comes after the return then."""
    st.header(f"What to change {when}", anchor=TO_CHANGE)
    if away:
        st.markdown(f"**{escape(restart(away))}** {EASIER_BACK}")
        folded(ASKED_THEN, zip(following["action"], following["reason"], strict=True))
    elif following.empty:
        st.markdown("This week still runs, and no full week stands before it." if done["so_far"] else "Nothing. Do the same again.")
    else:
        if said_from:
            remark(said_from)
        kept = following["action"] == KEEP_REST
        changes(following[~kept])
        for row in following[kept].itertuples():
            remark(escape(f"{row.action} {row.reason}"))
    how_worked_out(choice.address, CHANGES | (RANGE if following["reason"].map(has_range).any() else {}))
    said.decisions(choice)


def _remember(choice: Choice, done: dict, following: pd.DataFrame, when: str, said_from: str, away: int | None) -> None:
    """One sentence, set apart."""
    text = after_break(away) if away else remember(
        done["hard_sets"], done["usual_hard_sets"], strength_of.parts(choice.store, choice.athlete, choice.week), following,
        said_of.hurting(choice.store, choice.athlete, choice.week), bool(done["so_far"]), when)
    with st.container(border=True, key="remember"):
        st.markdown(f":gray[:small[To remember]]  \n**{escape(text)}**" + (f"  \n:gray[:small[{escape(said_from)}]]" if said_from else ""))


def _flags(choice: Choice, flags: pd.DataFrame) -> None:
    st.header("What stood out")
    load = flags["kind"].isin(JUMPS)
    shown = flags[~load & (flags["kind"] != "check_entry")]
    if flags.empty:
        st.markdown("Nothing out of the ordinary.")
    told, rest = week_of.first_told(shown, week_of.easy(choice.store, choice.athlete, choice.week) is not None)
    flag_list(told)
    if len(rest):
        folded(more(week_of.counted_by_kind(rest)), map(apart, rest["message"]))
    if load.any():
        remark(f"{counted(int(load.sum()), 'change', 'changes')} of load, of the whole body and of single parts: the line at the top says the largest. {LIMITS}")
    if load.any() or len(rest):
        st.page_link("app_pages/load.py", label="Every flag so far →" if len(rest) else "Every change of load →", query_params=choice.address)
    if not flags.empty:
        kinds = {"message", *flags["kind"].map(of_flags())}
        ranged = RANGE if shown["message"].map(has_range).any() else {}
        how_worked_out(choice.address, {one: word for one, word in STOOD_OUT.items() if one in kinds} | ranged)


if current().athlete:
    show(current())
else:
    empty.show()
