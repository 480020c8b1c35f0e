"""On the last week with training of somebody who has stopped since: that it is, and for how long."""

from __future__ import annotations

from datetime import date

import streamlit as st

from dashboard.app_pages.page import escape
from dashboard.choices import Choice
from dashboard.queries.clients import away_since
from dashboard.sentences.clients import last_with_training


def show(choice: Choice) -> int | None:
    """A line, or nothing; returns the days without a set that it tells."""
    if days := away_since(choice.store, choice.athlete, choice.week, date.today()):
        st.markdown(f"**{escape(last_with_training(days))}**")
    return days
