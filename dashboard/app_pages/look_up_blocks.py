"""Two stretches of weeks side by side: sessions, hard sets, what came to each part, strength at the end of each, and what only one of them had."""

from __future__ import annotations

from functools import partial
from typing import Any

import pandas as pd
import streamlit as st

from dashboard.app_pages.page import escape, how_worked_out, picture, remark, table
from dashboard.app_pages.picking import Picked, picking
from dashboard.app_pages.taking import take_table
from dashboard.charts import planks
from dashboard.charts.block_rows import SIDE_BY_SIDE, VALUES, only_in, strength_rows, value_rows, week_rows
from dashboard.charts.plank_rows import side_by_side
from dashboard.charts.taken_rows import taken
from dashboard.choices import Choice
from dashboard.queries import blocks
from dashboard.queries.people import weeks as weeks_of
from dashboard.queries.words import part_words
from dashboard.sentences.findings import blocks_finding
from dashboard.sentences.numbers import begun, counted, day, number

SIDES = {"first": "One", "second": "The other"}
MEASURES = {"hard_set": "hard sets", "part_dose": "what comes to a part", "dose_range": "its range", "pooled_part": "a part's rate", "rate_interval": "its interval"}
PARTS_SHOWN = 12
AWAY = {"holidays": "a holiday", "illnesses": "an illness"}
VALUE_OF = {"e1rm": "estimated maximum, {unit}", "per_kg": "estimated maximum, kg per kg of body mass", "reps": "repetitions", "hold": "seconds held"}


def show(choice: Choice, title: Any) -> None:
    known = weeks_of(choice.store, choice.athlete)
    offered = blocks.stretches(choice.store, choice.athlete, known, choice.week)
    for side in SIDES:
        if asked := blocks.read(st.query_params.get(side)):
            st.query_params[side] = blocks.key(*asked)
        for stretch in filter(None, (asked, blocks.read(st.session_state.get(side)))):
            offered.setdefault(blocks.key(*stretch), blocks.words_of(stretch))
    keys = list(offered)
    picked = {side: picking(side, offered, usual, written=True) for side, usual in zip(SIDES, blocks.usual(keys), strict=True)}
    stretches = sorted(blocks.read(one.value) for one in picked.values())
    done = [blocks.weeks(choice.store, choice.athlete, stretch) for stretch in stretches]
    title.title(blocks_finding(*(tuple(one[name] for one in done) for name in ("hard_a_week", "sessions_a_week"))))
    _choose(picked, known)
    names = ("the older", "the newer")
    _parts(choice, stretches, names)
    table(week_rows(done, stretches), "Both stretches in numbers")
    remark(f"Everything above is of whole weeks{_left_out(done)}.")
    how_worked_out(choice.address, MEASURES)
    _strength(choice, stretches, names)
    _only(choice, stretches, names)


def _left_out(done: list[pd.Series]) -> str:
    """Which weeks are not among those."""
    away = [words for name, words in AWAY.items() if any(one[name] for one in done)]
    running = ["the running week is left out"] if any(one["so_far"] for one in done) else []
    return "".join(f"; {one}" for one in [*([f"what is marked as {' or '.join(away)} is left out"] if away else []), *running])


def _choose(picked: dict[str, Picked], known: list) -> None:
    for place, (side, label) in zip(st.columns(2), SIDES.items(), strict=True):
        with place:
            picked[side].choose(label, width="stretch")
            with st.popover("Other weeks", type="tertiary"):
                start, end = (st.selectbox(words, known[::-1], format_func=day, key=f"{side}_{words}") for words in ("from the week of", "to the week of"))
                st.button("Look at these", key=f"{side}_these", disabled=end < start, on_click=_take, args=(side, blocks.key(start, end)))


def _take(side: str, key: str) -> None:
    st.session_state[side] = key


def _parts(choice: Choice, stretches: list, names: tuple[str, str]) -> None:
    first, second = (blocks.parts(choice.store, choice.athlete, stretch) for stretch in stretches)
    rows = side_by_side(first, second, dict(part_words()))
    if rows.empty:
        return
    _planks(choice, rows.head(PARTS_SHOWN), names, "most")
    remark(planks.reading(names, ranged=True))
    if len(rows) > PARTS_SHOWN and (shown := st.expander(f"{counted(len(rows) - PARTS_SHOWN, 'other part', 'other parts')}", key="other_planks", on_change="rerun")).open:
        with shown:
            _planks(choice, rows.iloc[PARTS_SHOWN:], names, "others")


def _planks(choice: Choice, rows: pd.DataFrame, names: tuple[str, str], which: str) -> None:
    picture(planks.planks(rows, names, choice.colours, "hard sets a week"), planks.in_words(rows, names, "Hard sets a week of each part in two stretches of weeks"),
            partial(taken, rows, SIDE_BY_SIDE), f"two blocks {which} {st.session_state['first']} {st.session_state['second']}")


def _strength(choice: Choice, stretches: list, names: tuple[str, str]) -> None:
    first, second = (blocks.strength(choice.store, choice.athlete, stretch) for stretch in stretches)
    rows = partial(strength_rows, first, second, dict(part_words()))
    shown = rows()
    if shown.empty:
        return
    st.header("Strength at the end of each")
    _values(choice, stretches, names)
    table(shown, "Change a week of each part with its interval, in both")
    remark("Each as it was judged in the last week of the stretch, with its 80 % interval. A verdict looks back over 8 to 24 weeks, so that it can reach further back than a "
           "short stretch; two intervals that overlap do not tell the two apart.")
    take_table(rows, f"two blocks strength {st.session_state['first']} {st.session_state['second']}")


def _values(choice: Choice, stretches: list, names: tuple[str, str]) -> None:
    """A picture for each measure of the exercises that have a value at the end of both."""
    first, second = (blocks.values(choice.store, choice.athlete, stretch, choice.unit) for stretch in stretches)
    drawn = False
    for measure, words in VALUE_OF.items():
        rows = value_rows(*(own[own["measure"] == measure] for own in (first, second)))
        if len(rows):
            unit = words.format(unit=choice.unit)
            picture(planks.planks(rows, names, choice.colours, unit), planks.in_words(rows, names, f"{begun(unit)}, at the end of two stretches of weeks"),
                    partial(taken, rows, {column: heading.format(unit=unit) for column, heading in VALUES.items()}), f"two blocks {measure} {st.session_state['first']} {st.session_state['second']}")
            drawn = True
    if drawn:
        remark(f"{planks.reading(names, ranged=False)} Line across: how sure the value is, 80 %; two that overlap do not tell the two apart.")


def _only(choice: Choice, stretches: list, names: tuple[str, str]) -> None:
    done = [blocks.exercises(choice.store, choice.athlete, stretch) for stretch in stretches]
    st.header("Only in one of them")
    for name, own, other in ((names[0], *done), (names[1], *done[::-1])):
        told = only_in(own, other)
        st.markdown(f"**{escape('Only in ' + name)}**: " + (escape("; ".join(told)) if told else "nothing") + ".")
    remark(f"{counted(len(set(done[0]) & set(done[1])), 'exercise', 'exercises')} in both. Numbers are sets without warm-ups, of every day of both: {number(sum(done[0].values()))} and {number(sum(done[1].values()))} in all.")
