"""What a page shows, as a test reads it."""

from __future__ import annotations

import re

from streamlit.testing.v1 import AppTest


def all_text(run: AppTest) -> str:
    return "\n".join(block.value for block in [*run.title, *run.subheader, *run.markdown, *run.caption])


def unescaped(text: str) -> str:
    """The text as a reader sees it."""
    return re.sub(r"\\(.)", r"\1", text).replace("\u2060", "")
