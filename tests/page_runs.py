"""What a page shows, as a test reads it."""

from __future__ import annotations

import html
import re

from streamlit.testing.v1 import AppTest


UNSEEN = re.compile(r'<p class="unseen">(.*?)</p>', re.DOTALL)
FOLDED = re.compile(r"<li><b>(.*?)</b>: (.*?)</li>", re.DOTALL)
MEASURE = re.compile(r"\(methods\?[^)]*measure=(\w+)\)")
FIGURE = re.compile(r"<dt>(.*?)</dt><dd><b>(.*?)</b> <span>(.*?)</span></dd>")


def all_text(run: AppTest) -> str:
    return "\n".join(block.value for block in [*run.title, *run.header, *run.markdown, *run.caption])


def nodes(block):
    """All elements of a block, wherever they stand, from top to bottom."""
    for child in getattr(block, "children", {}).values():
        yield child
        yield from nodes(child)


def charts(run: AppTest) -> list:
    """The messages of all charts, wherever they stand."""
    return [node.proto for node in nodes(run.main) if node.type == "vega_lite_chart"]


def told(run: AppTest) -> list[str]:
    """The words beside each picture, from top to bottom."""
    return [html.unescape(found[1]) for node in nodes(run.main) if node.type == "html" and (found := UNSEEN.search(node.proto.body))]


def folded(run: AppTest) -> list[str]:
    """The lines that a page holds folded up."""
    found = [FOLDED.findall(node.proto.body) for node in nodes(run.main) if node.type == "html"]
    return [html.unescape(f"{about}: {text}") for some in found for about, text in some]


def measures(run: AppTest) -> list[str]:
    """The measures that a page links to, from top to bottom."""
    return [one for node in nodes(run.main) if node.type == "markdown" for one in MEASURE.findall(node.value)]


def figures(run: AppTest) -> dict[str, tuple[str, str]]:
    """Label -> number and what stands beside it."""
    found = [FIGURE.findall(node.proto.body) for node in nodes(run.main) if node.type == "html"]
    return {html.unescape(label): (html.unescape(value), html.unescape(beside)) for some in found for label, value, beside in some}


def unescaped(text: str) -> str:
    """The text as a reader sees it."""
    return re.sub(r"\\(.)", r"\1", text).replace("\u2060", "")
