"""The table of all clients: a line each, whose name opens that athlete's week; on a narrow screen the cells stand below each other.

Names are the dashboard's own links, so that a visit stays what it is; the rest of a line is one element, so that fifty lines are drawn at once.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape as as_text
from typing import Any

import streamlit as st

from dashboard.app_pages.page import escape
from dashboard.charts import small_weeks
from dashboard.charts.client_rows import HEADINGS
from dashboard.look import Look

NAME = "clients"
NARROW = 760  # pixels of the window below which cells stand below each other
STYLE = """
<style>
[class*="st-key-{name}-"] {{ display: grid; grid-template-columns: minmax(8rem, 11rem) minmax(0, 1fr); column-gap: 0; row-gap: 0 }}
[class*="st-key-{name}-"] > div {{ width: 100%; min-width: 0; margin: 0 !important; padding: .4rem 0; border-top: 1px solid {line}; align-self: stretch }}
[class*="st-key-{name}-"] > div:nth-child(-n+2) {{ border-top: 0; padding-bottom: .2rem }}
[class*="st-key-{name}-"] a, [class*="st-key-{name}-"] a:hover {{ padding: 0; min-height: 0; background: none }}
[class*="st-key-{name}-"] a p {{ font-weight: 600; line-height: 1.4; overflow-wrap: anywhere; color: {link}; text-decoration: underline; text-underline-offset: .2em }}
.client {{ display: grid; grid-template-columns: 8.5rem 9rem 8.5rem minmax(0, 1fr); column-gap: 1rem }}
.client p {{ margin: 0; font-size: .875rem; line-height: 1.4; overflow-wrap: anywhere }}
.client .why p + p {{ margin-top: .15rem; color: {soft} }}
.client .first {{ font-weight: 600 }}
.client.later .why p {{ color: {soft} }}
.client.later .first {{ font-weight: 400 }}
.client img {{ display: block }}
.client .head, .headed {{ color: {soft}; font-size: .8rem }}
@media (max-width: {narrow}px) {{
  [class*="st-key-{name}-"] {{ grid-template-columns: minmax(0, 1fr) }}
  [class*="st-key-{name}-"] > div:nth-child(even) {{ border-top: 0; padding-top: 0 }}
  [class*="st-key-{name}-"] > div:nth-child(-n+2) {{ display: none }}
  .client {{ grid-template-columns: minmax(0, 1fr) auto; row-gap: .1rem }}
  .client .why {{ grid-column: 1 / -1 }}
  .client .small {{ grid-row: 1 / span 2; grid-column: 2 }}
}}
</style>
"""


def show(groups: Mapping[str, Sequence[dict[str, Any]]], colours: Look) -> None:
    """groups: what stands above each group of lines, '' for nothing -> rows of `charts.client_rows`. What comes after the first group is quieter."""
    st.html(STYLE.format(name=NAME, line=colours.line, soft=colours.soft, link=colours.done, narrow=NARROW))
    with st.container(key=NAME, gap=None):
        for i, (title, rows) in enumerate(groups.items()):
            if title:
                st.header(escape(title), anchor=False)
            with st.container(key=f"{NAME}-{i}", gap=None):
                st.html('<div class="headed">Name</div>')
                st.html('<div class="client">' + "".join(f'<div class="head">{word}</div>' for word in HEADINGS.values()) + "</div>")
                for row in rows:
                    st.page_link("app_pages/this_week.py", label=escape(row["name"]), query_params={"athlete": row["name"], "week": row["opens"]})
                    st.html(_line(row, colours, "client later" if i else "client"))


def _line(row: dict[str, Any], colours: Look, looks: str) -> str:
    why = "".join(f"<p>{f'<span class=first>{as_text(title)}.</span> ' if title else ''}{as_text(text)}</p>" for title, text in row["why"])
    picture = f'<img src="{small_weeks.as_image(row["weeks"], colours)}" alt="{as_text(small_weeks.in_words(row["weeks"]))}">'
    return (f'<div class="{looks}"><p>{as_text(row["trained"])}</p><p>{as_text(row["done"])}</p><div class="small">{picture}</div><div class="why">{why}</div></div>')
