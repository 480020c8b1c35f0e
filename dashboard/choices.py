"""The one module that reads the widgets and the address, and gives the pages a frozen value.

Athlete and week are chosen once, above every page, and stand in the address as `athlete` and `week` (the Monday),
so that a link opens the same view. A new address wins over the widgets; otherwise the widgets write the address; one
that leads nowhere is said in words. The sample can be looked at in place of one's own store, for this visit alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache
from pathlib import Path
from typing import Any

import streamlit as st

from dashboard.app_pages.page import escape, worked_out
from dashboard.sentences.numbers import day
from dashboard.sentences.units import KG
from dashboard.look import Look, look
from dashboard.queries.kept import Store, hold
from dashboard.queries.presented import last_week, shown_unit
from dashboard.queries.people import athletes, meant_by, week_to_open, weeks
from dashboard.standing.refresh import stale
from etl.importing import Answers
from etl.refusal import Refusal
from etl.store import store_path

ATHLETE, WEEK, WRITTEN, CHOICE, PAGE = "chosen_athlete", "chosen_week", "written_address", "choice", "page_shown"
SAMPLE, ASTRAY, CHECKED = "sample_store", "address_astray", "checked_store"

FILE_TYPES = ["csv", "tsv", "txt"]
UNITS = {"": "as the file says", "kg": "kg", "lb": "lb", "st": "stone"}
DATE_ORDERS = {"": "as the file shows", "day": "day first (31/12)", "month": "month first (12/31)"}
DAY_FIRST = {"day": True, "month": False}


@dataclass(frozen=True)
class Choice:
    """What a page shows: whose log, which week (its Monday), and the colours of the theme. No athlete: an empty store.

    sample: the sample is shown in place of the visitor's own store. unit: in which the athlete's loads are shown.
    """

    store: Store
    athlete: str | None
    week: date | None
    colours: Look
    sample: bool = False
    unit: str = KG

    @property
    def address(self) -> dict[str, str]:
        """The part of the address that leads back here."""
        return {"athlete": self.athlete, "week": self.week.isoformat()} if self.athlete else {}


def choose(bar: bool = True, of_one: bool = False) -> Choice:
    """Draw the bar with athlete and week, and return what was chosen. Raises Refusal where the store cannot be opened.

    bar: False on a page of all athletes, where what was chosen stays as it was, in the address too. of_one: the page is one athlete's, so
    that no bar is drawn, which names the others: the address says who it is, else who was chosen before.
    """
    shown = st.session_state.get(SAMPLE)
    store = _up_to_date(hold(shown or store_path()))
    people = athletes(store)
    if shown and not of_one:
        _say_sample()
    chosen = (None, None) if not people else _chosen_before(store, people) if of_one else _chosen(store, people, bar)
    choice = Choice(store, *chosen, look(st.context.theme.type == "dark"), bool(shown), shown_unit(store, chosen[0]) if chosen[0] else KG)
    st.session_state[CHOICE] = choice
    return choice


def _up_to_date(store: Store) -> Store:
    """The store with every ended week worked out: an import may have come before its week was over."""
    asked = (store, date.today())
    if st.session_state.get(CHECKED) != asked:
        if stale(store.path):
            worked_out(store.path)
            store = hold(store.path)
        st.session_state[CHECKED] = (store, date.today())
    return store


def show_sample(path: str | Path) -> None:
    """Show the store at `path` as the sample for the rest of this visit, or until `leave_sample`."""
    _forget_choice()
    st.session_state[SAMPLE] = str(path)
    st.rerun()


def leave_sample() -> None:
    """Show the visitor's own store again: for a button's `on_click`."""
    _forget_choice()
    st.session_state.pop(SAMPLE, None)


def to_week(monday: str) -> None:
    """Choose the week of that ISO date: for a click on it."""
    _go(date.fromisoformat(monday))


def current() -> Choice:
    """What `choose` gave in this run: for pages, which run after it."""
    return st.session_state[CHOICE]


def one_of(label: str, options: Mapping[Any, str], name: str, width: int) -> Any:
    """A choice of one page: pick a key of `options` by its words; kept in the session under `name`."""
    keys = list(options)
    _settle(name, None, keys, keys[0])
    return st.selectbox(label, keys, key=name, format_func=options.__getitem__, width=width)


def one_in_address(label: str, options: Mapping[str, str], name: str, placeholder: str, width: int | str = "stretch", key: str | None = None) -> str | None:
    """A choice of one page that stands in the address under `name`: a key of `options`, or None while nothing is picked. key: of the widget, where it is not
    `name`, which another page has for its own.

    A new address wins over the widget; one that leads nowhere is said in words.
    """
    asked, key = st.query_params.get(name), key or name
    if asks_anew(name) or key not in st.session_state:
        st.session_state[key] = asked if asked in options else None
    picked = st.selectbox(label, list(options), index=None, key=key, format_func=options.__getitem__, placeholder=placeholder, width=width)
    if asked and asked not in options and not picked:
        st.warning(escape(f'The address asks for "{asked}", which is not among these.'))
        st.session_state[written(name)] = asked
        return None
    if picked and picked != asked:
        st.query_params[name] = picked
    elif asked and not picked:
        del st.query_params[name]
    st.session_state[written(name)] = picked
    return picked


def asks_anew(name: str) -> bool:
    """Whether the address asks for another `name` than the page has written there itself."""
    return st.query_params.get(name) != st.session_state.get(written(name))


def one_of_few(label: str, options: Mapping[str, str], name: str) -> str:
    """A choice between the parts of one page, side by side: a key of `options`, kept in the session under `name`."""
    keys = list(options)
    _settle(name, None, keys, keys[0])
    picked = st.segmented_control(label, keys, key=name, format_func=options.__getitem__, label_visibility="collapsed", required=True,
                                  wrap=False)  # on a narrow screen one row that scrolls, not a ragged second one
    return picked or keys[0]


def import_answers() -> Answers:
    """What the user says about files that are coming in; what is left open is decided from the files or asked."""
    with st.container(horizontal=True, vertical_alignment="bottom"):
        athlete = st.text_input("Athlete, if the file does not say", key="import_athlete", width=260, max_chars=80)
        unit = st.selectbox("Loads are in", list(UNITS), format_func=UNITS.__getitem__, key="import_unit", width=200)
        order = st.selectbox("Dates are written", list(DATE_ORDERS), format_func=DATE_ORDERS.__getitem__, key="import_order", width=260)
        year = year_of_oldest("import_year", "as the file says")
    return Answers(athlete=athlete.strip() or None, unit=unit or None, day_first=DAY_FIRST.get(order), year=year)


def year_of_oldest(key: str, otherwise: str) -> int | None:
    """A field for the year of dates that leave it out; None where it is left open."""
    return st.number_input("Year of the oldest date, if left out", value=None, step=1, format="%d", placeholder=otherwise, key=key, width=260)


def arrived_at(page: str) -> None:
    """Note which page is shown: on another one than before, what the address says of it was asked for, though the last page wrote the same."""
    if st.session_state.get(PAGE) != page:
        st.session_state[PAGE] = page
        for key in [key for key in st.session_state if str(key).startswith(written("")) and key != WRITTEN]:
            st.session_state.pop(key)


def written(name: str) -> str:
    """Where the session keeps what was written into the address under `name`."""
    return f"written_{name}"


def _say_sample() -> None:
    with st.container(horizontal=True, vertical_alignment="center", key="sample_bar"):
        st.markdown(":gray[:small[This is the sample: invented athletes. Your own store is as it was.]]", width="content")
        st.button("Back to my own store", on_click=leave_sample, key="leave_sample")


def _forget_choice() -> None:
    """Let the next store begin with its own first athlete and last week."""
    for key in (ATHLETE, WEEK, WRITTEN, ASTRAY):
        st.session_state.pop(key, None)
    st.query_params.clear()


def _chosen(store: Store, people: list[str], bar: bool) -> tuple[str, date]:
    asked = _asked(store)
    if asked:
        st.session_state[ASTRAY] = asked
    _settle(ATHLETE, asked.get("athlete"), people, people[0])
    if not bar:
        return _kept(store, asked)
    with st.container(horizontal=True, vertical_alignment="bottom", key="choice_bar"):
        athlete = st.selectbox("Athlete", people, key=ATHLETE, width=260, on_change=_somebody_else)
        known = weeks(store, athlete)
        _settle(WEEK, _monday(asked.get("week")), known, week_to_open(store, athlete, date.today()))
        here = known.index(st.session_state[WEEK])
        week = st.selectbox("Week", known[::-1], key=WEEK, format_func=span, width=260, on_change=_arrived)
        with st.container(horizontal=True, width="content", gap="small"):
            st.button("Earlier", on_click=_go, args=(known[max(here - 1, 0)],), disabled=here == 0)
            st.button("Later", on_click=_go, args=(known[min(here + 1, len(known) - 1)],), disabled=here == len(known) - 1)
    _say_astray(people, known, athlete, week)
    _write(athlete, week)
    return athlete, week


def _chosen_before(store: Store, people: list[str]) -> tuple[str, date]:
    """Without the bar. Nobody is shown whom the address does not name and nobody has chosen, but for the only one there is."""
    asked = _asked(store)
    athlete = asked.get("athlete", st.session_state.get(ATHLETE) or (people[0] if len(people) == 1 else None))
    if athlete not in people:
        raise Refusal("Whose page this is has not been chosen", athlete or "", "Go back to the week, choose an athlete there, and come again.")
    known = weeks(store, athlete)
    week, ends = _monday(asked.get("week")) if asked else st.session_state.get(WEEK), last_week(store, athlete, date.today())
    named = week in known or (week is not None and known[-1] < week <= ends)
    week = week if named and (asked or week != week_to_open(store, athlete, date.today())) else ends  # the bar's own last week was chosen by nobody
    _arrived()
    _write(athlete, week)
    st.session_state.pop(WRITTEN)  # the bar of the next page takes the address for asked anew, as its own state has gone by then
    return athlete, week


def _kept(store: Store, asked: dict[str, str]) -> tuple[str, date]:
    """The choice without its widgets; a value that is set anew stays in the session though no widget holds it."""
    athlete = st.session_state[ATHLETE] = st.session_state[ATHLETE]
    _settle(WEEK, _monday(asked.get("week")), weeks(store, athlete), week_to_open(store, athlete, date.today()))
    week = st.session_state[WEEK] = st.session_state[WEEK]
    _write(athlete, week)
    return athlete, week


def _say_astray(people: list[str], known: list[date], athlete: str, week: date) -> None:
    """Say that the address asked for what is not here, until something is chosen."""
    asked = st.session_state.get(ASTRAY, {})
    if "athlete" in asked and asked["athlete"] not in people:
        st.warning(escape(f'The address asks for "{asked["athlete"]}", who is not in this store. This is the log of {athlete}.'))
    elif "week" in asked and _monday(asked["week"]) not in known:
        st.warning(escape(f'The address asks for the week "{asked["week"]}", which is not in the log of {athlete}. This is the week of {day(week)}.'))


def _asked(store: Store) -> dict[str, str]:
    """What the address asks for, if it is not what we wrote there ourselves; an athlete who has another name since then by that one."""
    address = {name: st.query_params[name] for name in ("athlete", "week") if name in st.query_params}
    if address == st.session_state.get(WRITTEN):
        return {}
    return address | ({"athlete": meant_by(store, address["athlete"])} if "athlete" in address else {})


def _settle(key: str, asked: object, options: list, otherwise: object) -> None:
    """Give the widget its value before it is drawn: as asked, else as it was, else the default."""
    if asked in options:
        st.session_state[key] = asked
    elif st.session_state.get(key) not in options:
        st.session_state[key] = otherwise


def _write(athlete: str, week: date) -> None:
    address = {"athlete": athlete, "week": week.isoformat()}
    st.session_state[WRITTEN] = address
    if {name: st.query_params.get(name) for name in address} != address:
        st.query_params.update(address)


def _somebody_else() -> None:
    """Another athlete was chosen: their own last week is shown, not the week of whoever was there before."""
    st.session_state.pop(WEEK, None)
    _arrived()


def _go(week: date) -> None:
    st.session_state[WEEK] = week
    _arrived()


def _arrived() -> None:
    """What the address had asked for no longer matters."""
    st.session_state.pop(ASTRAY, None)


def _monday(text: str | None) -> date | None:
    """The Monday of the week that holds an ISO date, or None for anything else."""
    try:
        when = date.fromisoformat(text or "")
    except ValueError:
        return None
    return when - timedelta(days=when.weekday())


@lru_cache(maxsize=4096)
def span(week: date) -> str:
    """9 – 15 March 2026."""
    end = week + timedelta(days=6)
    start = f"{week.day}" if week.month == end.month else f"{week.day} {week:%b}"
    return f"{start} – {end.day} {end:%b} {end.year}" if week.month != end.month else f"{start} – {day(end)}"
