"""A bare page with a choice and one chart, straight from the store by one query: what the dashboard's pages are measured against.

`marks` in the address: how many points the chart draws.
"""

import os

import altair as alt
import duckdb
import streamlit as st

NAMES = [f"Athlete {n}" for n in range(5)]


def main() -> None:
    st.title("Bare")
    athlete = st.selectbox("Athlete", NAMES)
    with duckdb.connect(os.environ["EVENSET_STORE"], read_only=True) as con:
        data = con.execute("select row_number() over (order by date, exercise) as place, value from kept_bests where athlete = ? order by place limit ?",
                           [athlete, int(st.query_params.get("marks", 200))]).df()
    st.altair_chart(alt.Chart(data).mark_point().encode(x="place:Q", y="value:Q", tooltip=["place", "value"]), width="stretch")


if __name__ == "__main__":
    main()
