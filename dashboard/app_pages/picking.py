"""What a visitor picks in a picture filters the rest of the page; a list beside it says and does the same, for the keyboard.

The choice stands in the address under its name, so that a link opens it; where a page has a usual one, that one need not. A new address wins.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import altair as alt
import streamlit as st

from dashboard import choices
from dashboard.app_pages.page import escape
from dashboard.charts.picked import KEY, PICKED
from dashboard.look import spec

ASTRAY = "astray_{}"


@dataclass(frozen=True)
class Picked:
    """One choice: `name` in the address and among the widgets, key -> words of what there is, what holds now, and what holds unpicked; written:
    the address holds the usual one too.
    """

    name: str
    options: Mapping[str, str]
    value: str | None
    usual: str | None
    written: bool

    def draw(self, chart: alt.TopLevelMixin, words: str, name: str) -> None:
        """The chart as `page.picture` draws it; a click on a mark picks its key, a second one lets go of it. name: of this picture."""
        # A picture of its own for each choice: else it would keep a click that the list has overruled, and not hear the next one.
        key = f"{name}_{self.name}_{self.value}"
        _drawn(chart, words, key, lambda: self._clicked(key))

    def choose(self, label: str, placeholder: str = "", width: int | str = 420) -> None:
        """The list that does the same. placeholder: what it says while nothing is picked."""
        st.selectbox(label, list(self.options), index=0 if self.usual else None, key=self.name, format_func=self.options.__getitem__, placeholder=placeholder, width=width)
        astray = st.session_state.get(ASTRAY.format(self.name))
        if astray and self.value == self.usual:
            st.warning(escape(f'The address asks for "{astray}", which is not among these.'))
        _write(self.name, None if self.value == self.usual and not self.written else self.value)

    def _clicked(self, key: str) -> None:
        clicked = _clicked_on(key)
        if clicked in self.options:
            st.session_state[self.name] = self.usual if clicked == self.value else clicked


@dataclass(frozen=True)
class Leading:
    """A picture whose marks lead on: a click on one goes where its key says. What else leads there stands elsewhere on the page, for the keyboard."""

    go: Callable[[str], None]

    def draw(self, chart: alt.TopLevelMixin, words: str, name: str) -> None:
        """The chart as `page.picture` draws it. name: of this picture."""
        # After each click it is a picture of its own: else it would not hear a second click on the same mark.
        clicks = f"{name}_clicks"
        key = f"{name}_{st.session_state.get(clicks, 0)}"
        _drawn(chart, words, key, lambda: self._clicked(key, clicks))

    def _clicked(self, key: str, clicks: str) -> None:
        if (clicked := _clicked_on(key)) is not None:
            st.session_state[clicks] = st.session_state.get(clicks, 0) + 1
            self.go(clicked)


def _drawn(chart: alt.TopLevelMixin, words: str, key: str, clicked: Callable[[], None]) -> None:
    st.vega_lite_chart(spec=spec(chart), width="stretch", theme=None, alt=words, key=key, on_select=clicked, selection_mode=PICKED)


def _clicked_on(key: str) -> str | None:
    """The key of the mark that was clicked in the picture of that widget's key."""
    points = st.session_state[key]["selection"].get(PICKED) or [{}]
    return points[0].get(KEY)


def picking(name: str, options: Mapping[str, str], usual: str | None = None, written: bool = False) -> Picked:
    """What is picked under `name` now: as the address asks, else as it was, else the usual one (a key of `options`, or None: everything)."""
    asked = st.query_params.get(name)
    if choices.asks_anew(name):
        st.session_state[name] = asked
        st.session_state[ASTRAY.format(name)] = asked if asked not in options else None
    value = st.session_state.get(name)
    if value not in options:
        value = st.session_state[name] = usual
    return Picked(name, options, value, usual, written)


def _write(name: str, value: str | None) -> None:
    if value is None:
        st.query_params.pop(name, None)
    elif st.query_params.get(name) != value:
        st.query_params[name] = value
    st.session_state[choices.written(name)] = value
