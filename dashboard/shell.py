"""The page that Streamlit's browser part starts from: told where its server is, with our few lines of script, and the digests of its inline scripts.

Streamlit takes a page's address for a folder that the server may stand under, asks there first, is told 404, waits and
asks at the root. Its page is given the root beforehand, so that a link to a page opens at once and asks once.
"""

from __future__ import annotations

from html.parser import HTMLParser
from pathlib import Path

import streamlit

from dashboard.harmless import policy_source

INDEX = Path(streamlit.__file__).parent / "static" / "index.html"
AT_THE_ROOT = "<script>window.__streamlit = {BACKEND_BASE_URL: window.location.origin}</script>"
OURS = Path(__file__).with_name("page.js")


def shell(index: Path = INDEX) -> str | None:
    """The page with the server's address and our script in its head; None where Streamlit brings no such page."""
    try:
        text = index.read_text("utf-8")
    except OSError:
        return None
    before, head, after = text.partition("<head>")
    return f"{before}{head}\n    {AT_THE_ROOT}<script>{OURS.read_text('utf-8')}</script>{after}" if head else text


def digests(page: str | None) -> list[str]:
    """A Content-Security-Policy source of each inline script of the page.

    Empty for no page, and for one without inline scripts.
    """
    found = _Scripts()
    found.feed((page or "").replace("\r\n", "\n"))
    found.close()
    return [policy_source(text) for text in dict.fromkeys(found.texts)]


class _Scripts(HTMLParser):
    """Collects the text of each script that has no `src`."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=False)
        self.texts: list[str] = []
        self._inside = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._inside = tag == "script" and "src" not in dict(attrs)
        if self._inside:
            self.texts.append("")

    def handle_data(self, data: str) -> None:
        if self._inside:
            self.texts[-1] += data

    def handle_endtag(self, tag: str) -> None:
        self._inside = False
