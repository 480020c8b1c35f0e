"""Since when something stands still or falls, and what else differed around then."""

from __future__ import annotations

import pandas as pd
import streamlit as st

from dashboard.app_pages.page import escape, remark
from dashboard.choices import Choice
from dashboard.queries.onsets import onsets
from dashboard.queries.words import called
from dashboard.sentences.numbers import begun, listed
from dashboard.sentences.onset import DATED, NOT_DATED


def since_when(began: pd.DataFrame, subject: str, verdict: str) -> None:
    """One exercise or part; nothing where it neither stands still nor falls. began: rows of `queries.onsets.onsets`."""
    if subject in began.index:
        st.markdown(escape(in_words(began, subject)))
    elif verdict in DATED:
        remark(NOT_DATED)


def in_words(began: pd.DataFrame, subject: str) -> str:
    """'' where there is nothing to say."""
    return " ".join(filter(None, began.loc[subject, ["told", "around"]])) if subject in began.index else ""


def left_out(verdicts: pd.Series) -> None:
    """Why nothing is dated in a week in which something stands still or falls. verdicts: of a week without any onset."""
    if verdicts.isin(DATED).any():
        remark(NOT_DATED)


def of_the_week(choice: Choice) -> bool:
    """Each exercise and part of the week that stands still or falls; those of which the same is said together. Whether there was any."""
    began = onsets(choice.store, choice.athlete, choice.week)
    lines = [f"- **{escape(begun(listed([called(subject) for subject in own['subject']])))}**: {escape(in_words(began, own['subject'].iloc[0]))}"
             for _, own in began.groupby(["told", "around"], sort=False)]
    if lines:
        st.markdown("**Since when, and what differed around then**\n" + "\n".join(lines))
    return bool(lines)
