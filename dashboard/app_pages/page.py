"""What the pages share: escaping of text that came from a file, pictures with a text alternative, lists, the foot."""

from __future__ import annotations

import html
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

import altair as alt
import pandas as pd
import streamlit as st

from dashboard.look import spec
from dashboard.app_pages.taking import take_picture
from dashboard.sentences.cautions import FOOT
from dashboard.sentences.decimal_mark import POINT, mark, told
from dashboard.sentences.plain_parts import placed
from dashboard.standing.refresh import refresh
from etl.refusal import Refusal

if TYPE_CHECKING:
    from dashboard.app_pages.picking import Leading, Picked

MARKUP = re.compile(r"([\\`*_{}\[\]()#+\-.!|<>$:~^=&@\"'/])")
WORD_JOINER = "\u2060"
ADDRESS = re.compile(r"(?=://|@)|(?<=www)(?=\.)|(?<=mailto)(?=:)", re.IGNORECASE)
DOI = re.compile(r"doi:(10\.\d{4,}/[^\s,;()]*[^\s,;().:])")
SAID, UNDO = "said", "said_undo"
TOLD_BESIDE = "Picture: what it shows is told in words right after it"
UNSEEN = "unseen"  # the class of a text that a screen reader tells and the eye does not see
NAME_WORDS = 6  # of its text alternative, where a picture's files have no name of their own
TAKEN_BACK_SHOWN = 50  # decisions that one list shows: the newest
LEVELS = {"alert": "Look at this first", "review": "Worth a look", "note": "For your notes"}


def escape(text: object) -> str:
    """Text as it stands, on one line, with no Markdown, formula, colour, image or link read into it.

    An address is parted by an invisible word joiner: a bare one is made into a link after Markdown has been read.
    """
    plain = " ".join(str(text).split())
    return MARKUP.sub(r"\\\1", ADDRESS.sub(WORD_JOINER, plain))


def picture(chart: alt.LayerChart | alt.Chart, words: str, rows: Callable[[], pd.DataFrame] | None = None, name: str = "", of: object = "",
            picked: Picked | Leading | None = None, reading: str = "", alone: bool = False) -> None:
    """A chart as wide as its place, with `words` as its text alternative; below it a button to take it along, and how to read it. Parameters: of `drawn`."""
    drawn(chart, name or " ".join(words.split()[:NAME_WORDS]), picked)(words, rows, of, reading, alone)


def drawn(chart: alt.LayerChart | alt.Chart, name: str, picked: Picked | Leading | None = None) -> Callable[..., None]:
    """Draw a chart, and return what draws the rest of its `picture`: so a page can send all its charts before what stands below them.

    name: one for each picture of a page, the same in every week. picked: what a click on a mark picks, or where it leads (`picking`).

    Of what is returned: words, the text alternative. rows: makes the numbers that are drawn, with readable headings, when its CSV is asked for; None without one. Its
    files are called by the name and by `of`. reading: how to read it, a fixed text of the program, as Markdown. alone: without buttons.

    The words stand beside the chart for those who cannot see it, not in it: a chart whose own description changes is built anew by the browser,
    which takes five times as long as to draw other rows.
    """
    place = st.container(gap=None)
    with place:
        if picked is None:
            st.vega_lite_chart(spec=spec(chart), width="stretch", theme=None, alt=TOLD_BESIDE)
        else:
            picked.draw(chart, TOLD_BESIDE, name)

    def rest(words: str, rows: Callable[[], pd.DataFrame] | None = None, of: object = "", reading: str = "", alone: bool = False) -> None:
        with place:
            st.html(f'<p class="{UNSEEN}">{html.escape(words)}</p>')
            if not alone:
                with st.container(horizontal=True, gap="small"):
                    take_picture(chart, rows, name, of)
                    if reading:
                        how_to_read(reading)

    return rest


def remark(text: str) -> None:
    """A quiet line, still dark enough to read. The text is Markdown: escape what came from a file."""
    st.markdown(f":gray[:small[{text}]]")


def how_to_read(text: str) -> None:
    """A fixed text of the program, as Markdown."""
    with st.popover(":gray[:small[How to read this picture]]", type="tertiary"):
        st.markdown(told(text))


def with_links(text: str) -> str:
    """The text escaped, but each DOI in it a short link."""
    return "".join(f"[doi](https://doi.org/{part})" if i % 2 else _spaced(part) for i, part in enumerate(DOI.split(text)))


def _spaced(text: str) -> str:
    """Escaped, with the blank that it begins or ends with."""
    return " " * text.startswith(" ") + escape(text) + " " * (text.endswith(" ") and bool(text.strip()))


def table(rows: pd.DataFrame, words: str, linked: bool = False) -> None:
    """A short table of text and numbers, all of it escaped; linked: with each DOI a link."""
    plain = rows.rename(columns=escape).map(with_links if linked else escape)
    st.table(plain, hide_index=True, border="horizontal", alt=words)


def grid(rows: pd.DataFrame, words: str, **settings: Any) -> None:
    """A long table in a frame of its own that scrolls; cells are shown as they are, never read as Markdown."""
    config = decimal_columns(rows) | settings.pop("column_config", {})
    st.dataframe(rows, hide_index=True, width="stretch", alt=words, column_config=config, **settings)


def decimal_columns(rows: pd.DataFrame, headings: Mapping[str, str] = MappingProxyType({})) -> dict[str, Any]:
    """Settings by which the browser writes a table's decimal numbers with the reader's mark; none where that is the point."""
    decimals = [] if mark() == POINT else rows.select_dtypes("float").columns
    return {name: st.column_config.NumberColumn(headings.get(name), format="localized") for name in decimals}


def flag_list(flags: pd.DataFrame) -> None:
    """Flags by level, each with its message."""
    for level, title in LEVELS.items():
        these = flags[flags["level"] == level]
        if not these.empty:
            st.markdown(f"**{title}**\n" + "\n".join(f"- {escape(message)}" for message in these["message"]))


def how_worked_out(address: Mapping[str, str], measures: Mapping[str, str]) -> None:
    """A quiet line of links to the formulas of what stands above. address: the choice's; measures: id of a measure -> its word here.

    One text, for each element costs the browser time; a link in a text opens beside the page, which stays as it was read.
    """
    links = [f"[{escape(word)}](methods?{_asked(address)}&measure={identifier})" for identifier, word in measures.items()]
    st.markdown(f":small[:gray[How this is worked out:] {' · '.join(links)}]")


def _asked(address: Mapping[str, str]) -> str:
    """An address as it may stand in Markdown: also what a URL may hold and Markdown reads is written as a code."""
    return urlencode(address).replace("_", "%5F").replace("~", "%7E")


def folded(title: str, lines: Iterable[tuple[str, str]]) -> None:
    """A list that is folded up until it is asked for: of each line what it is about, and what is said of it. All of it is shown as it stands.

    Of the browser's own making: it opens without a run of the page, and costs a tenth of an expander.
    """
    items = "".join(f"<li><b>{html.escape(about)}</b>: {html.escape(text)}</li>" for about, text in lines)
    st.html(f"<details><summary>{html.escape(title)}</summary><ul>{items}</ul></details>")


def on_request(name: str, drawn: Mapping[str, Callable[[], None]]) -> bool:
    """What is drawn when it is asked for only; whether any of it is. drawn: its words -> what draws it; name: of this choice among the page's widgets."""
    asked = st.pills("On request", list(drawn), selection_mode="multi", key=f"request_{name}")
    for words in drawn:
        if words in asked:
            drawn[words]()
    return bool(asked)


def changes(following: pd.DataFrame) -> None:
    """What to change, in order, each with its reason; a part with its place in everyday words."""
    st.markdown("\n".join(
        f"{i}. **{escape(placed(row.action, row.subject, row.called))}**  \n   {escape(row.reason)}" for i, row in enumerate(following.itertuples(), 1)))


def taken_back(title: str, made: Mapping[str, str], label: str, name: str, take_back: Callable[[str], str]) -> None:
    """What a person decided so far, each with a button that takes it back.

    made: key -> what was decided, in words. name: of this list among the page's widgets. take_back: key -> what is said then.
    """
    with st.expander(title):
        for key, words in list(made.items())[:TAKEN_BACK_SHOWN]:
            with st.container(horizontal=True, vertical_alignment="center"):
                st.markdown(escape(words))
                if st.button(label, key=f"{name}_{key}"):
                    say_next(take_back(key))


def worked_out(path: str | Path) -> None:
    """Work out what a change has made stale in the store at `path`, with a bar."""
    bar = st.progress(0.0, "Working out the weeks")
    refresh(path, progress=lambda share, text: bar.progress(share, escape(text)))
    bar.empty()


def figures(shown: Sequence[tuple[str, str, str]]) -> None:
    """Figures beside each other, as many in a row as there is room for: each a label, a number, and what it is to be read against or its unit."""
    cells = "".join(f"<div><dt>{html.escape(label)}</dt><dd><b>{html.escape(value)}</b> <span>{html.escape(beside)}</span></dd></div>" for label, value, beside in shown)
    st.html(f'<dl class="figures">{cells}</dl>')


def foot() -> None:
    st.divider()
    remark(FOOT)


def say_next(message: str, undo: Callable[[], None] | None = None) -> None:
    """Draw the page anew, with this message on it once, and a button that takes the change back."""
    st.session_state[SAID] = message
    st.session_state[UNDO] = undo
    st.rerun()


def said_once() -> None:
    """The message of `say_next`, if there is one, with its button."""
    message, undo = st.session_state.pop(SAID, None), st.session_state.pop(UNDO, None)
    if message:
        with st.container(horizontal=True, vertical_alignment="center", key="said_bar"):
            st.success(escape(message))
            if undo:
                st.button("Undo", key="undo", on_click=_undone, args=(undo,))


def _undone(undo: Callable[[], None]) -> None:
    """What a callback refuses would be a fault of the page: it is said in words like everything else."""
    try:
        undo()
    except Refusal as refusal:
        st.session_state[SAID] = told(str(refusal))
    else:
        st.session_state[SAID] = "Undone."
