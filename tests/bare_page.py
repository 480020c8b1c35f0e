"""A bare page with a choice and one chart: what the dashboard's pages are measured against. `marks` in the address: how many points it draws."""

import altair as alt
import numpy as np
import pandas as pd
import streamlit as st

NAMES = [f"Athlete {n}" for n in range(5)]


@st.cache_data
def frame(marks: int) -> pd.DataFrame:
    rng = np.random.default_rng(7)
    return pd.concat([pd.DataFrame({"athlete": name, "week": np.arange(marks), "load": rng.normal(50, 9, marks)}) for name in NAMES], ignore_index=True)


st.title("Bare")
athlete = st.selectbox("Athlete", NAMES)
data = frame(int(st.query_params.get("marks", 200)))
st.altair_chart(alt.Chart(data[data["athlete"] == athlete]).mark_point().encode(x="week:Q", y="load:Q", tooltip=["week", "load"]), width="stretch")
