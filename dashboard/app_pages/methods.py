"""Every measure with its formula, source, valid range, settings and mark; how often it is right; every setting."""

from __future__ import annotations

import pandas as pd
import streamlit as st

from dashboard import methods
from dashboard.app_pages import calibrated
from dashboard.app_pages.page import escape, grid, remark, table
from dashboard.choices import Choice, asks_anew, current, one_in_address, one_of_few
from dashboard.methods import Measure
from dashboard.sentences.decimal_mark import told, told_rows

SECTIONS = {"measures": "Measures", "calibration": "How often it is right", "settings": "All settings"}
SECTION = "methods_section"
MARKED = "Marks: [P] published, [C] convention of the trade, [D] decided here. How far each source was checked stands beside it."
SETTINGS = {"name": "name in the code", "value": "value", "mark": "mark", "source": "source", "used": "used by"}


def show(choice: Choice) -> None:
    st.title("Methods")
    if not choice.athlete:
        remark("Bring in a log on the page Data to see these numbers for yours.")
    names = {one.id: f"{one.title} · {chapter.title}" for chapter in methods.chapters() for one in chapter.measures}
    if "measure" in st.query_params and asks_anew("measure"):
        st.session_state[SECTION] = "measures"
    section = one_of_few("What to show", SECTIONS, SECTION)
    if section == "calibration":
        calibrated.show(choice)
    elif section == "settings":
        _settings()
    else:
        picked = one_in_address("Find a measure", names, "measure", placeholder="Type a word, such as e1RM, dose or spike")
        if picked:
            shown, others = st.columns([2, 1], gap="large")
            with shown:
                _measure(methods.measure(picked))
            with others:
                _chapters(picked)
        else:
            remark(MARKED)
            _chapters(None)


def _measure(one: Measure) -> None:
    """One measure: what it says, its formula in words, an example, where it holds and what it cannot tell."""
    with st.container(border=True, key="picked_measure"):
        st.header(one.title)
        st.markdown(told(one.says))
        for line in one.formula:
            st.latex(line)
        if one.symbols:
            st.markdown("\n".join(f"- ${symbol}$ : {told(words)}" for symbol, words in one.symbols.items()))
        if one.rule:
            st.markdown(told(one.rule))
        if one.example:
            st.markdown(f"**Example.** {told(one.example.told)}")
            _example_rows(one)
        st.markdown(f"**Where it holds.** {told(one.range)}")
        st.markdown(f"**What it cannot tell.** {told(one.limits)}")
        st.markdown(f"**Mark: {methods.MARKS[one.mark]} [{one.mark}].**" + (f" {told(one.mark_note)}" if one.mark_note else ""))
        _settings_of(one)
        _sources(one)
        if one.shown:
            remark(escape(f"Shown: {'; '.join(one.shown)}."))
        if one.code:
            remark(escape(f"In the code: {', '.join(one.code)}."))


def _example_rows(one: Measure) -> None:
    if one.example.columns:
        table(pd.DataFrame(one.example.rows).map(told), "The example's numbers, in and out")


def _settings_of(one: Measure) -> None:
    used = methods.settings_used(one)
    if used:
        rows = pd.DataFrame([{"setting": told(row["what"]), "value": f"{told(row['value'])} [{row['mark']}]", "source": told(row["source"])} for row in used])
        table(rows, f"The settings that {one.title} uses", linked=True)


def _sources(one: Measure) -> None:
    lines = []
    for source in (methods.sources()[name] for name in one.sources):
        link = f" [doi:{source.doi}](https://doi.org/{source.doi})" if source.doi else ""
        lines.append(f"- {escape(methods.source_words(source))}.{link}")
    st.markdown("**Sources**\n\n" + "\n".join(lines))


def _chapters(picked: str | None) -> None:
    """All measures by chapter, the chapter of the picked one open; each with its sentence where there is room."""
    st.header("All measures")
    for chapter in methods.chapters():
        with st.expander(chapter.title, expanded=any(one.id == picked for one in chapter.measures)):
            if not picked:
                st.markdown(told(chapter.says))
            with st.container(gap=None if picked else "small"):
                for one in chapter.measures:
                    _entry(one, bool(picked))


def _entry(one: Measure, beside: bool) -> None:
    """One line of the list: beside a picked measure its name alone."""
    with st.container(gap="xxsmall"):
        st.button(f":blue[{one.title}]", key=f"pick_{one.id}", type="tertiary", on_click=_pick, args=(one.id,), help=told(one.says) if beside else None)
        if not beside:
            remark(told(one.says))


def _pick(identifier: str) -> None:
    st.session_state["measure"] = identifier


def _settings() -> None:
    st.markdown("Every threshold with its value, mark and source. The values are those of the program that runs.")
    every = told_rows(pd.DataFrame(methods.all_settings()), ["value", "source"])[list(SETTINGS)].rename(columns=SETTINGS)
    grid(every, "Every setting with its value, mark, source and the measures that use it", height=600)


show(current())
