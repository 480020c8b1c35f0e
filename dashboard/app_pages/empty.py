"""The first look at an empty store: two ways to go on."""

from __future__ import annotations

import streamlit as st

from dashboard import sample
from dashboard.app_pages.page import escape
from dashboard.choices import show_sample


def show() -> None:
    st.title("Bring in a training log")
    st.markdown(
        "Evenset reads the log you already keep, as a CSV file from anywhere. It shows whether each head of each muscle got its share, "
        "whether strength rises, what jumped, and what to change next week.")
    left, right = st.columns(2, gap="large")
    with left:
        st.header("Your own log")
        st.markdown("Any CSV file with at least a date, an exercise, and repetitions or seconds. Nothing leaves this computer.")
        st.page_link("app_pages/data.py", label="Choose a file →")
    with right:
        st.header("The sample")
        st.markdown("Invented athletes with months of training, to look around in, in a store of their own. Yours stays as it is.")
        if st.button("Open the sample", type="primary"):
            _open_sample()
        st.markdown("Or in a terminal:")
        st.code("evenset demo", language=None)


def _open_sample() -> None:
    """Build the sample store if it is not there yet, and go on with it."""
    bar = st.progress(0.0, "Opening the sample")
    show_sample(sample.ready(lambda share, text: bar.progress(share, escape(text))))
