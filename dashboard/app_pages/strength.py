"""One exercise over time with its verdict; then the parts, and the two sides."""

from __future__ import annotations

import pandas as pd
import streamlit as st

from dashboard.app_pages import empty
from dashboard.app_pages.page import escape, picture, remark, table
from dashboard.app_pages.week_parts import exercise_table, part_rates, verdicts
from dashboard.charts import rates, strength
from dashboard.charts.exercise_rows import side_rows
from dashboard.sentences.numbers import begun, day, number
from dashboard.choices import Choice, current, one_of
from dashboard.queries import strength as strength_of
from dashboard.queries.words import loaded_per_hand

READING = (
    "A filled point counts in the trend, a hollow one is shown only. Thin lines: how sure each estimate is. "
    "Line and shade: the trend with its 80 % band."
)


def show(choice: Choice) -> None:
    st.title("Strength")
    exercises = strength_of.exercises(choice.store, choice.athlete, choice.week)
    if exercises.empty:
        st.markdown("No exercise has a series yet. A series starts with the first set that has a load, repetitions or seconds.")
        return
    named = dict(zip(exercises.index, exercises["series_name"], strict=True))
    picked = one_of("Exercise", named, "exercise", width=420)
    _exercise(choice, exercises.loc[picked])
    _parts(choice)
    st.subheader("All exercises")
    verdicts("exercise", exercises, exercise_table)
    _sides(choice)


def _exercise(choice: Choice, fit: pd.Series) -> None:
    bests = strength_of.bests(choice.store, choice.athlete, fit["exercise"], fit["measure"], choice.week)
    st.subheader(escape(begun(f"{fit['name']}: {rates.WORDS.get(fit['verdict'], fit['verdict'])}")))
    st.markdown(escape(fit["reason"]))
    if not bests.empty:
        per_hand = fit["exercise"] in loaded_per_hand()
        picture(strength.strength(bests, fit, choice.colours, per_hand), strength.in_words(bests, fit))
        remark(READING)
    if pd.notna(fit["best_value"]):
        places, unit = strength.PLACES[fit["measure"]], strength.UNITS[fit["measure"]]
        st.markdown(f"Best so far: {number(fit['best_value'], places)} {unit}, since {day(fit['best_since'])}.")


def _parts(choice: Choice) -> None:
    parts = strength_of.parts(choice.store, choice.athlete, choice.week)
    if parts.empty:
        return
    st.subheader("Each part, its exercises pooled")
    verdicts("part", parts, lambda judged: part_rates(choice, judged))
    with st.expander("Why: the reason for each verdict"):
        st.markdown("\n".join(f"- **{escape(begun(name))}**: {escape(reason)}" for name, reason in zip(parts["name"], parts["reason"], strict=True)))


def _sides(choice: Choice) -> None:
    sides = strength_of.sides(choice.store, choice.athlete, choice.week)
    if sides.empty:
        return
    st.subheader("Left and right")
    table(side_rows(sides), "Left against right, by exercise")
    remark("The difference is (stronger \u2212 weaker) / stronger. Matching the weaker side’s repetitions hides it.")


if current().athlete:
    show(current())
else:
    empty.show()
