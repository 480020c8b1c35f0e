"""What trains a head: the exercises by credit and evidence, for what there is to train with."""

from __future__ import annotations

import pandas as pd
import streamlit as st

from dashboard.app_pages.page import escape, remark
from dashboard.choices import Choice, one_in_address, one_of
from dashboard.queries import catalogue
from dashboard.queries.words import exercise_words, head_and_word
from dashboard.sentences.catalogue import grade_word, grades_line
from dashboard.sentences.numbers import counted, number

KITS = {"all": "Everything", "home": "Dumbbells, a bench, bands, own weight", "own": "Own weight alone"}


def show(choice: Choice) -> None:
    head = one_in_address("Head or muscle", head_and_word(), "head", placeholder="Type a name, such as rear deltoid or brachialis")
    if not head:
        _overview(choice)
        return
    kit = one_of("With", KITS, "catalogue_kit", width=320)
    found = catalogue.exercises_of(head, kit)
    direct = found[found["credit"] == 1]
    measured = int((direct["grade"] == "A").sum())
    st.header(escape(f"{counted(len(direct), 'exercise trains', 'exercises train')} it directly" + (f", {measured} of them measured" if measured else "")))
    if found.empty:
        remark("Nothing in the catalogue trains it with that. Choose another kit, or add an exercise of your own.")
        return
    picked = _grid_with_choice(_rows(found), f"Exercises that train {head_and_word()[head]}", list(found["exercise"]), "catalogue_exercises")
    if picked:
        st.page_link("app_pages/exercises.py", label=f"Look at {escape(exercise_words()[picked])} →", query_params={**choice.address, "exercise": picked})
    else:
        remark("Pick a row to look at its exercise.")
    remark(escape(grades_line(set(found["grade"]))) + f" Sets of {number(0.25, 2)} explain and stay out of totals. A credit is a judgement in three tiers: one tier more or less is its uncertainty.")


def _overview(choice: Choice) -> None:
    """Every head with how many exercises train it: the first look, and where there are few."""
    found = catalogue.heads_overview()
    remark("Choose a head to see what trains it, how directly, and how that is known.")
    rows = found.drop(columns="head").rename(columns={"name": "head", "word": "coaches say", "direct": "exercises, direct", "measured": "of them measured",
                                                      "home": "of them at home", "findings": "findings of studies"})
    picked = _grid_with_choice(rows, "Every head with the exercises that train it", list(found["head"]), "catalogue_heads", height=560)
    if picked:
        st.page_link("app_pages/exercises.py", label=f"Look at {escape(head_and_word()[picked])} →", query_params={**choice.address, "head": picked})
    remark("At home: with dumbbells, a bench, bands or one’s own weight.")


def _grid_with_choice(rows: pd.DataFrame, words: str, keys: list[str], name: str, **settings: int) -> str | None:
    """The table, of which one row can be picked: its key, or None. name: of the table among the page's widgets."""
    event = st.dataframe(rows, hide_index=True, width="stretch", alt=words, on_select="rerun", selection_mode="single-row", key=name, **settings)
    chosen = event.selection.rows if event else []
    return keys[chosen[0]] if chosen and chosen[0] < len(keys) else None


def _rows(found: pd.DataFrame) -> pd.DataFrame:
    other = found["other_reading"].map(lambda value: number(value, 2) if value == value else "")
    return pd.DataFrame({
        "exercise": found["name"], "a set counts": [f"{number(credit, 2)}, {tier}" for credit, tier in zip(found["credit"], found["tier"], strict=True)],
        "evidence": found["grade"].map(grade_word), "others read": other, "with": found["equipment"], "level": found["level"],
        "studies": found["findings"], "note": found["note"], "source": found["source"], "where": found["where"]})
