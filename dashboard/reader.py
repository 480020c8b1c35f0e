"""The decimal mark of the reader of a page, as the browser says it."""

from __future__ import annotations

import streamlit as st
from streamlit.runtime.scriptrunner import get_script_run_ctx

from dashboard.locales import mark_of
from dashboard.sentences.decimal_mark import POINT, ask, write_with


def write_as_read() -> None:
    """Let this run of a page write numbers as its reader does, and whatever runs beside it, such as a callback, ask for the mark."""
    ask(readers_mark)
    write_with(readers_mark())


def readers_mark() -> str:
    """The mark of whoever looks at the page; the point where nobody does, as while a file is made that was asked for."""
    return POINT if get_script_run_ctx(suppress_warning=True) is None else mark_of(st.context.locale)
