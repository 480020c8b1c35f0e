"""The first look at an empty store: two ways to go on."""

from __future__ import annotations

import streamlit as st


def show() -> None:
    st.title("Bring in a training log")
    st.markdown(
        "Evenset reads the log you already keep, as a CSV file from anywhere. It shows whether each head of each muscle got its share, "
        "whether strength rises, what jumped, and what to change next week.")
    left, right = st.columns(2, gap="large")
    with left:
        st.subheader("Your own log")
        st.markdown("Any CSV file with at least a date, an exercise, and repetitions or seconds. Nothing leaves this computer.")
        st.page_link("app_pages/data.py", label="Choose a file →")
    with right:
        st.subheader("The sample")
        st.markdown("Invented athletes with months of training, to look around in, in a store of their own. In a terminal:")
        st.code("evenset demo", language=None)
