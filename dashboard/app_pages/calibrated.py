"""How often verdicts and flags are right, on simulated athletes whose truth is known: the run that is committed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict, dataclass, replace
from functools import partial
from pathlib import Path

import altair as alt
import pandas as pd
import streamlit as st

from dashboard.app_pages.page import escape, how_worked_out, picture, remark, table
from dashboard.charts import calibration as drawn
from dashboard.charts.calibration_rows import asides, case_rows
from dashboard.charts.taken_rows import CURVE, taken
from dashboard.choices import Choice
from dashboard.look import Look
from dashboard.methods.calibration import Calibration, calibration, targets
from dashboard.sentences.calibration import targets_sentence
from dashboard.sentences.decimal_mark import told_rows
from dashboard.sentences.numbers import begun

GROUPS = {"strength": "Verdicts of strength", "load": "Changes of load"}
HOLDS = 80.0
CASE_TEXTS = ("what", "target", "note", "bound_is")
COMPARED = ("one exercise, 0.5", "part of", "no new best")  # how the series of the first picture begin


@dataclass(frozen=True)
class Picture:
    """A picture of one curve: the series that it shows, and how it is drawn."""

    group: str
    curve: str
    title: str
    draw: Callable[[pd.DataFrame, Look], alt.LayerChart]
    shows: Callable[[str], bool] = lambda series: True
    reading: str = ""


PICTURES = (
    Picture("strength", "found", "Stops found, by weeks after the gain stopped: one exercise and a part that pools three", drawn.lines,
            lambda series: series.startswith(COMPARED), "Sooner is better only at the same false calls: the table below has both for each."),
    Picture("strength", "found", "Stops found, by weeks after the gain stopped: other cases", drawn.lines, lambda series: not series.startswith(COMPARED)),
    Picture("strength", "verdicts", "Weeks in each verdict, by the true rate", drawn.shares),
    Picture("strength", "cover", "Weeks whose 80 % interval holds the true rate", lambda curve, colours: drawn.points(curve, colours, HOLDS)),
    Picture("load", "jumps", "Changes of load found, by their size", drawn.points),
)
NONE_YET = ("No calibration is kept with this copy of the program yet. `python -m tests.calibration` makes it: simulated athletes whose truth is known, "
            "and how often the verdicts and flags are right about them.")
READ_SO = "What a figure says holds for logs like the simulated ones; real logs have changes that no case has."
WORDS = {"simulated_athlete": "Simulated athlete", "false_calls": "False calls", "found_within": "Found within", "interval_coverage": "Coverage",
         "bound": "Bound", "alert_weeks": "Alert weeks", "case_interval": "Intervals"}


def show(choice: Choice, folder: Path | None = None) -> None:
    """folder: where the run's files are, if not with the program."""
    run = calibration(folder)
    if run is None:
        st.markdown(NONE_YET)
    else:
        run = replace(run, cases=told_rows(run.cases, CASE_TEXTS))
        _about(run)
        for group, title in GROUPS.items():
            _group(run, group, title, choice.colours)
    how_worked_out(choice.address, WORDS)


def _about(run: Calibration) -> None:
    st.markdown(f"{targets_sentence(**asdict(targets(run.cases)))} {READ_SO}")
    remark(escape("The run: " + "; ".join(f"{key} {value}" for key, value in run.about.items()) + "."))


def _group(run: Calibration, group: str, title: str, colours: Look) -> None:
    cases = run.cases[run.cases["group"] == group]
    if cases.empty:
        return
    st.header(title)
    for one in (one for one in PICTURES if one.group == group):
        curve = run.curves[(run.curves["curve"] == one.curve) & run.curves["series"].map(one.shows)]
        if not curve.empty:
            st.markdown(f"**{one.title}**")
            shown = told_rows(curve, ["series"])
            picture(one.draw(shown, colours), drawn.in_words(shown, one.title), partial(taken, curve, CURVE), f"calibration {one.title}")
            if one.reading:
                remark(one.reading)
    aimed = cases["target"] != ""
    if aimed.any():
        table(case_rows(cases[aimed]), f"{title}: each case with its figure, interval and target")
    if not aimed.all():
        with st.expander("Figures without a target"):
            table(case_rows(cases[~aimed]), f"{title}: figures without a target")
    beside = asides(cases)
    if beside:
        with st.expander("Beside the figures: bounds and notes"):
            st.markdown("\n".join(f"- {escape(begun(text))}" for text in beside))
