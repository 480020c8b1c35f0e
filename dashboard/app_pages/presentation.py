"""One client's weeks, large and quiet, to show or to send: nobody else's name and nothing of the other pages stands here."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import streamlit as st

from dashboard.app_pages import empty
from dashboard.app_pages.page import escape, picture, remark
from dashboard.choices import Choice, current, one_in_address
from dashboard.look import PRINT, Look
from dashboard.queries import presented
from dashboard.queries import stair as stair_of
from dashboard.report.content import MOST_WEEKS, Report, Section, gather_on
from dashboard.report.figures import Figure
from dashboard.report.files import OFFERED, as_bytes, file_names
from dashboard.sentences.decimal_mark import mark, written_with
from dashboard.sentences.numbers import begun
from dashboard.sentences.units import in_unit

# On paper only the client's part is left, in two columns and in letters of paper's size.
STYLE = """<style>
.st-key-client h1 { font-size: 2.8rem; }
.st-key-client p, .st-key-client li { font-size: 1.15rem; line-height: 1.5; }
.st-key-client p:has(> span > small) { line-height: 1.35; }
.st-key-client .st-key-done p { font-size: 1.7rem; line-height: 1.3; }
.st-key-coach { margin-top: 1.5rem; }
@media print {
  .st-key-coach, header { display: none !important; }
  .st-key-client [data-testid="stHorizontalBlock"] { display: grid !important; grid-template-columns: 1fr 1fr; width: 100% !important; gap: 8mm !important; }
  .st-key-client [data-testid="stColumn"] { width: auto !important; min-width: 0 !important; }
  .st-key-client [data-testid="stVerticalBlock"], .st-key-client { gap: 1.5mm !important; }
  .st-key-client h1 { font-size: 22pt; padding: 0 !important; } .st-key-client h2 { font-size: 11pt; padding: 1mm 0 0 !important; }
  .st-key-client p, .st-key-client li { font-size: 9.5pt; line-height: 1.35; margin-bottom: .5mm !important; } .st-key-client p > span > span { font-size: 7.5pt !important; }
  .st-key-client [data-testid="stMarkdownContainer"], .st-key-client ul { margin-bottom: 0 !important; }
  .st-key-client h1, .st-key-client h2 { margin: 0 !important; }
  .st-key-client [data-testid="stVerticalBlock"] > * { flex-shrink: 0 !important; }
  .st-key-client .st-key-done p { font-size: 14pt; }
}
</style>"""


def show(choice: Choice) -> None:
    st.html(STYLE)
    client, coach = st.container(key="client"), st.container(key="coach", horizontal=True, vertical_alignment="bottom")
    with coach:
        which = _stair(choice)  # it stands below what it is chosen for
    report = _gathered(choice, choice.colours, which)
    with client:
        st.title(escape(report.athlete), anchor=False)
        remark(escape(report.title))
        with st.container(key="done"):
            st.markdown(escape(report.done))
        st.markdown(escape(report.over) + (f" **{escape(report.since)}**" if report.since else ""))
        _section(report.gain)
        _pictures(report)
        for i, column in enumerate(st.columns(2, gap="large")):
            with column:
                for section in report.beside[i::2]:
                    _section(section)
        for line in (report.counting, *report.foot[:-1]):  # the last one is every page's
            remark(escape(line))
    with coach:
        _downloads(choice, which)
        st.page_link("app_pages/this_week.py", label="Back to the week", query_params=_in_log(choice), width="content")


def _pictures(report: Report) -> None:
    first, second = st.columns(2, gap="large")
    *left, right = report.figures or (None,)
    with first:
        for one in left:
            _picture(one)
    with second:
        if right:
            _picture(right)
        for section in report.ahead:
            _section(section)


def _picture(figure: Figure) -> None:
    st.header(escape(figure.title), anchor=False)
    picture(figure.chart, figure.words, alone=True)
    remark(escape(figure.reading))


def _section(section: Section) -> None:
    st.header(escape(section.title), anchor=False)
    st.markdown("\n\n".join(("- " if section.listed else "") + escape(line) for line in section.lines))


def _stair(choice: Choice) -> str | None:
    """The id of the stair that the coach chose, of this athlete's; None for the one that is shown by itself."""
    known = stair_of.stairs(choice.store, choice.athlete, choice.week, MOST_WEEKS)
    if not known and "stair" not in st.query_params:
        return None
    return one_in_address("Stair", {one: begun(in_unit(name, choice.unit)) for one, name in known.items()}, "stair", "chosen by the page", width=300, key="clients_stair")


def _downloads(choice: Choice, which: str | None) -> None:
    for label, (kind, paper, mime) in OFFERED.items():
        name = file_names({choice.athlete: choice.week}, kind, paper)[choice.athlete]
        st.download_button(label, _made(choice, kind, paper, which), name, mime, key=f"file_{kind}_{paper}", on_click="ignore")


def _made(choice: Choice, kind: str, paper: str, which: str | None) -> Callable[[], bytes]:
    """What makes the file when it is asked for, on paper's colours whatever the screen's are."""
    made = written_with(mark())(_gathered)  # the file is made outside of the page's run, where no reader is known
    return lambda: as_bytes(made(choice, which=which), kind, paper)


def _gathered(choice: Choice, colours: Look = PRINT, which: str | None = None) -> Report:
    """The report of the week, as of now."""
    return gather_on(choice.store, choice.athlete, choice.week, date.today(), colours=colours, which=which)


def _in_log(choice: Choice) -> dict[str, str]:
    """The address of the week, or of the log's last one where it ends before."""
    return {**choice.address, "week": presented.logged_week(choice.store, choice.athlete, choice.week).isoformat()}


if current().athlete:
    show(current())
else:
    empty.show()
