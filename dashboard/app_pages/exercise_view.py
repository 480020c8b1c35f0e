"""One exercise: its heads drawn, what it is, its ladder, its variants, and the studies behind its credits."""

from __future__ import annotations

from functools import partial

import pandas as pd
import streamlit as st

from dashboard.app_pages import own_changes
from dashboard.app_pages.page import escape, how_to_read, picture, remark, table, with_links
from dashboard.charts import credits as chart
from dashboard.charts.taken_rows import CREDITS, taken
from dashboard.choices import Choice, one_in_address
from dashboard.queries import catalogue
from dashboard.queries.words import exercise_titles
from dashboard.sentences.catalogue import findings_line, grade_word, grades_line
from dashboard.sentences.numbers import begun, few, number

NAMES_SHOWN, LINES_SHOWN = 8, 6


def show(choice: Choice) -> None:
    words = exercise_titles()
    picked = one_in_address("Exercise", words, "exercise", placeholder="Type a name, such as hammer curl")
    if not picked:
        remark("Choose an exercise to see which heads it trains, and the studies behind it.")
        return
    found, heads = catalogue.exercise(picked), catalogue.heads_of(picked)
    drawn, facts = st.columns([3, 2], gap="large")
    with drawn:
        direct = list(dict.fromkeys(heads.loc[heads["base"] == 1, "word"]))
        st.header(escape(f"{begun(found.name)}: {few(direct) or 'nothing'} directly"))
        how_to_read(chart.READING)
        picture(chart.credits(heads, catalogue.untrained(picked), choice.colours), chart.in_words(heads, found.name),
                partial(taken, heads.assign(credit=heads["base"]), CREDITS), f"credits {found.name}")
        remark(escape(grades_line(set(heads["grade"]))))
    with facts:
        _facts(found)
        _ladder(picked)
    _disputes(heads)
    _variants(picked)
    _studies(picked)
    _sources(heads)
    if not choice.sample:
        own_changes.change_credit(choice, picked)


def _facts(found: catalogue.Exercise) -> None:
    if found.own:
        st.markdown("**An exercise of your own.**")
    st.markdown("\n".join(f"- {escape(label)}: {escape(value)}" for label, value in found.facts.items()))
    if found.other_names:
        more = len(found.other_names) - NAMES_SHOWN
        remark(escape(f"Also written: {', '.join(found.other_names[:NAMES_SHOWN])}" + (f" and {more} more" if more > 0 else "") + "."))


def _ladder(picked: str) -> None:
    steps = catalogue.steps_of(picked)
    if steps.empty:
        return
    st.markdown(f"**Ladder: {escape(catalogue.ladder_name(picked))}**")
    rows = [f"{row.step}. " + (f"**{escape(row.name_)}**" if row.here else escape(row.name_)) + (f"  \n   :gray[:small[{escape(row.enter)}]]" if row.enter else "")
            + (f"  \n   :gray[:small[{escape('on from here: ' + row.leave)}]]" if row.here and row.leave else "") for row in steps.rename(columns={"name": "name_"}).itertuples()]
    st.markdown("\n".join(rows))
    remark("A step is left with at least one repetition in reserve and form kept, in two sessions. Anything that hurts is a reason to stay or go back.")


def _disputes(heads: pd.DataFrame) -> None:
    contested = heads[heads["other_reading"].notna()]
    if len(contested):
        st.markdown("**Where coaches or studies differ**\n" + "\n".join(
            f"- {escape(row.name_)}: {number(row.base, 2)} here, {number(row.other_reading, 2)} by the other reading. {escape(begun(row.note))}"
            for row in contested.rename(columns={"name": "name_"}).itertuples()))


def _variants(picked: str) -> None:
    found = catalogue.variants_of(picked)
    if found.empty:
        return
    st.markdown("**Variants**")
    lines = [f"- **{escape(row.modifier.replace('_', ' '))}: {escape(row.value.replace('_', ' '))}** {escape(row.what)}." + (f" {escape(begun(row.note))}." if row.note else "")
             + (f" :gray[:small[{escape(row.grade)}, {with_links(row.cited)}]]" if row.grade else "") for row in found.itertuples()]
    _first("\n".join(lines[:LINES_SHOWN]), lines[LINES_SHOWN:], "variants")


def _studies(picked: str) -> None:
    found = catalogue.findings_of(picked)
    if found.empty:
        remark("No study in the catalogue measured this exercise: its credits come from anatomy, movement and common practice.")
        return
    st.markdown("**Studies behind it**")
    lines = study_lines(found).splitlines()
    _first("\n".join(lines[:LINES_SHOWN]), lines[LINES_SHOWN:], "findings")
    remark(escape(findings_line(found["verdict"].value_counts().to_dict())))


def _first(shown: str, rest: list[str], what: str) -> None:
    st.markdown(shown)
    if rest:
        with st.expander(f"{len(rest)} more {what}"):
            st.markdown("\n".join(rest))


def study_lines(found: pd.DataFrame) -> str:
    """Findings as a list; a reason stands beside each one that the table goes against."""
    return "\n".join(
        f"- {escape(row.says)}. :gray[:small[{escape(row.measured)}; {escape(row.who)}. {with_links(row.cited)}, {escape(_read(row))}. "
        f"{escape(begun(row.verdict))}{escape(': ' + row.reason) if row.reason else ''}.]]" for row in found.itertuples())


def _read(row) -> str:
    """Where in the source a finding stands, and how far the source was read where that is more or less."""
    return row.where if row.checked in row.where else f"{row.where}; read: {row.checked}"


def _sources(heads: pd.DataFrame) -> None:
    with st.expander("Where each credit comes from"):
        table(pd.DataFrame({"head": heads["name"], "credit": [number(base, 2) for base in heads["base"]], "evidence": heads["grade"].map(grade_word), "source": heads["source"],
                            "where": heads["where"]}), "The source of each credit", linked=True)
