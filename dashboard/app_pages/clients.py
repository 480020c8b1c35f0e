"""All athletes in one table: who needs a look first and why, who has not trained, what changed since the week before."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from functools import partial

import streamlit as st

from dashboard.app_pages import client_table, empty, reports_of_all
from dashboard.app_pages.page import escape, how_to_read, how_worked_out, remark
from dashboard.charts import small_weeks
from dashboard.charts.client_rows import client_rows
from dashboard.choices import Choice, current, one_in_address, one_of_few, span
from dashboard.queries import clients as clients_of
from dashboard.queries.imports import aside_by_athlete
from dashboard.queries.presented import shown_unit
from dashboard.sentences.aside import of_all as told_aside
from dashboard.sentences.clients import group_title

SHOW = {"all": "All", "look": "Look first", "stands": "Stand still", "away": "Not trained"}
WORKED_OUT = {"look_order": "the order", "not_trained": "not trained", "usual": "usual", "verdict": "verdicts", "band": "bands", "message": "flags", "value_now": "estimates"}
ORDER = ("The order: pain that was noted, no set for clearly longer than is usual for them, an alert, another new flag, strength that turned to falling, parts that went short, "
         "entries to check, a first week after a break; then those of whom only strength has stopped or long found no rise; then news, and at the end those of whom there is none. "
         "Within one kind the strongest stands first.")


def show(choice: Choice) -> None:
    st.title("Clients")
    weeks = clients_of.weeks_to_see(choice.store)
    if clients_of.seen(choice.store, date.today()) is None:
        st.markdown("No week of training is complete yet. From the first full week on, this page says who needs a look.")
        return
    with st.container(horizontal=True, vertical_alignment="bottom"):
        asked = one_in_address("Week", {week.isoformat(): span(week) for week in weeks}, "monday", "The last full week", width=300)
        wanted = st.text_input("Search by name", key="client_name", width=260, max_chars=80)
    at = clients_of.seen(choice.store, date.today(), asked and date.fromisoformat(asked))
    everyone = clients_of.clients(choice.store, at)
    of_all, stale = clients_of.summary(choice.store, everyone, at, date.today())
    st.markdown(escape(f"Week of {span(at.week)}. {of_all}"))
    if stale:
        st.markdown(f"**{escape(stale)}**")
        st.page_link("app_pages/data.py", label="Bring logs in →", query_params=choice.address)
    if aside := told_aside(aside_by_athlete(choice.store)):
        st.markdown(escape(aside))
        st.page_link("app_pages/data.py", label="Mend them →", query_params=choice.address | {"part": "waits"})
    which = one_of_few("Show", SHOW, "clients_shown")
    reports_of_all.show(choice, asked and date.fromisoformat(asked))
    found = clients_of.picked(everyone, which, wanted)
    if found:
        _table(choice, found, at, f"{which}|{wanted}|{asked}")
    else:
        st.markdown("Nobody.")
    remark(ORDER)
    how_to_read(small_weeks.READING)
    how_worked_out(choice.address, WORKED_OUT)


def _table(choice: Choice, found: Sequence[clients_of.Client], at: clients_of.Seen, asked: str) -> None:
    """A page of them; another question begins on the first page."""
    pages = clients_of.pages(found)
    number = st.pagination(len(pages), key=f"client_page_{asked}") if len(pages) > 1 else 1
    everyone = clients_of.grouped(found)
    groups = {name: client_rows(own, at.today, partial(shown_unit, choice.store)) for name, own in clients_of.grouped(pages[number - 1]).items()}
    client_table.show({group_title(name, len(everyone[name])) if len(everyone) > 1 else "": rows for name, rows in groups.items()}, choice.colours)


if current().athlete:
    show(current())
else:
    empty.show()
