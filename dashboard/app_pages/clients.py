"""All athletes in one table: who needs a look first and why, who has not trained, what changed since the week before."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import streamlit as st

from dashboard.app_pages import client_table, empty
from dashboard.app_pages.page import escape, how_to_read, how_worked_out, remark
from dashboard.charts import small_weeks
from dashboard.charts.client_rows import client_rows
from dashboard.choices import Choice, current, one_in_address, one_of_few, span
from dashboard.queries import clients as clients_of
from dashboard.sentences import clients as say
from etl.settings import RULES

SHOW = {"all": "All", "look": "Need a look", "away": "Not trained"}
WORKED_OUT = {"look_order": "the order", "usual": "usual", "verdict": "verdicts", "band": "bands", "message": "flags", "value_now": "estimates"}
ORDER = ("The order: pain that was noted, no set for a week, an alert, another new flag, a verdict of strength that turned, parts that went short, entries to check; "
         "then news, and at the end those of whom there is none. Within one kind the strongest stands first.")


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
    _summary(choice, everyone, at, weeks)
    which = one_of_few("Show", SHOW, "clients_shown")
    found = clients_of.picked(everyone, which, wanted)
    if found:
        _table(choice, found, at, f"{which}|{wanted}|{asked}")
    else:
        st.markdown("Nobody.")
    remark(ORDER)
    how_to_read(small_weeks.READING)
    how_worked_out(choice.address, WORKED_OUT)


def _summary(choice: Choice, everyone: Sequence[clients_of.Client], at: clients_of.Seen, weeks: list[date]) -> None:
    """Which week, and what there is to say of all."""
    st.markdown(escape(f"Week of {span(at.week)}. " + say.heading(len(everyone), sum(one.asks for one in everyone), sum(one.away for one in everyone), RULES.away_days)))
    newest = clients_of.newest_day(choice.store)
    if not at.today and at.week == weeks[0]:
        remark(escape(say.nobody_since(newest, (date.today() - newest).days)))


def _table(choice: Choice, found: Sequence[clients_of.Client], at: clients_of.Seen, asked: str) -> None:
    """A page of them; another question begins on the first page."""
    pages = clients_of.pages(found)
    number = st.pagination(len(pages), key=f"client_page_{asked}") if len(pages) > 1 else 1
    client_table.show(client_rows(pages[number - 1], at.today), choice.colours)


if current().athlete:
    show(current())
else:
    empty.show()
