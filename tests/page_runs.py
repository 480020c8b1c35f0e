"""What a page shows, as a test reads it."""

from __future__ import annotations

import re

from streamlit.testing.v1 import AppTest


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


def unescaped(text: str) -> str:
    """The text as a reader sees it."""
    return re.sub(r"\\(.)", r"\1", text).replace("\u2060", "")
