"""Taking a picture along: as SVG, as PNG, or what it is drawn from as CSV. Nothing is made before it is asked for."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from functools import partial

import altair as alt
import pandas as pd
import streamlit as st

from dashboard.rendered import png, svg
from dashboard.sentences.decimal_mark import POINT, written_with
from dashboard.spreadsheet import csv

WIDE = 900  # pixels of a picture that is as wide as its place
NO_NAME = re.compile(r"[^0-9a-z]+")


def take_picture(chart: alt.TopLevelMixin, rows: Callable[[], pd.DataFrame] | None, name: str, of: object) -> None:
    """A quiet button below a picture. name: one for each picture of a page, of its files with `of`. rows: makes what is drawn, for reading; None without
    CSV."""
    menu = _menu("Take this picture", name)
    if not menu.open:
        return
    file = f"{name} {of}"
    with menu:
        _file("SVG, for print", partial(svg, chart, WIDE), file, "svg", "image/svg+xml")
        _file("PNG, for a message", partial(png, chart, WIDE), file, "png", "image/png")
        if rows is not None:
            _file("CSV, its numbers", lambda: csv(_with_point(rows)), file, "csv", "text/csv")


def take_table(rows: Callable[[], pd.DataFrame], name: str) -> None:
    """A quiet button below a table. rows: makes it when the file is asked for, with the decimal point, whatever mark the page has; for programs.
    name: of the file, one for each table of a page.
    """
    with st.container(key=f"take_{file_name(name)}"):
        _file(":gray[:small[Take this table as CSV]]", lambda: csv(_with_point(rows)), name, "csv", "text/csv", "tertiary")


def file_name(*words: object) -> str:
    """What a file is called, without its ending: words in small letters, days as they are.

    >>> file_name("Hard sets", "rear delt", date(2026, 3, 9))
    'hard-sets-rear-delt-2026-03-09'
    """
    return NO_NAME.sub("-", " ".join(map(str, words)).lower()).strip("-")


def _with_point(rows: Callable[[], pd.DataFrame]) -> pd.DataFrame:
    with written_with(POINT):
        return rows()


def _menu(label: str, name: str):
    return st.popover(f":gray[:small[{label}]]", type="tertiary", key=f"take_{file_name(name)}", on_change="rerun")


def _file(label: str, make, name: str, ending: str, mime: str, kind: str = "secondary") -> None:
    st.download_button(label, make, f"{file_name(name)}.{ending}", mime, key=f"take_{file_name(name)}_{ending}", on_click="ignore", type=kind,
                       width="content" if kind == "tertiary" else "stretch")
