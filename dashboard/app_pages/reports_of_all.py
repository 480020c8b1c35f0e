"""The reports of all clients in one ZIP, made when they are asked for."""

from __future__ import annotations

from datetime import date

import streamlit as st

from dashboard.app_pages.page import escape, remark
from dashboard.choices import Choice
from dashboard.report.files import OFFERED, PDF
from dashboard.report.of_all import in_words, left_out, weeks_of_all, zipped
from dashboard.sentences.decimal_mark import mark
from dashboard.sentences.numbers import counted, day

MADE = "reports_made"  # what was made last in this visit: of what, the ZIP, how many reports, and who is left out


def show(choice: Choice, monday: date | None) -> None:
    """A quiet popover. monday: the week that the page was asked for; None for the last full week of each."""
    today = date.today()
    with st.popover("Reports of all", type="tertiary"):
        ends = f"with the week of {day(monday)}" if monday else "with the last full week, as on the page *For the client*"
        st.markdown(f"A file for each client, with nobody else in it and with what Settings let that client see. They end {ends}.")
        kind, paper, _ = OFFERED[st.radio("As", list(OFFERED), key="reports_as", horizontal=True)]
        of = (choice.store, monday, kind, paper, today, mark())
        if st.button("Make them", key="reports_make"):
            bar = st.progress(0.0, "Reports")
            asked = weeks_of_all(choice.store, monday, today)  # asked for now, and not at each run of the page: it reads of every client
            made = zipped(choice.store, asked, kind, paper, today, lambda share, text: bar.progress(share, escape(text)))
            st.session_state[MADE] = of, made, len(asked), left_out(choice.store, monday)
            bar.empty()
        if (last := st.session_state.get(MADE)) and last[0] == of:
            _, made, count, out = last
            name = f"reports_{(monday or today).isoformat()}{f'_{paper}' if kind == PDF else ''}.zip"
            st.download_button(f"Take {counted(count, 'report', 'reports')} along (ZIP)", made, name, "application/zip", key="reports_take", on_click="ignore")
            if out:
                remark(escape(in_words(out)))
