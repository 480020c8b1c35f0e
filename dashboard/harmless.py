"""Text that only says something: what came out of a log is printed, drawn and put into documents, and must command none of them."""

from __future__ import annotations

import base64
import hashlib
import re
from typing import Any, TextIO

# What a terminal obeys, apart from tab and the end of a line, and what turns the direction of text.
COMMANDS = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")


def harmless(text: str) -> str:
    """The text with every character that a terminal would obey as its escape, which is the same character in JSON.

    A log may come from anybody, and its names are printed.
    """
    return COMMANDS.sub(lambda found: f"\\u{ord(found[0]):04x}", text)


class Harmless:
    """A stream that writes text `harmless`, and is otherwise the stream that it stands for."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def write(self, text: str) -> int:
        self._stream.write(harmless(text))
        return len(text)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


def policy_source(text: str) -> str:
    """What a Content-Security-Policy says of an inline script or style sheet of this text: CSP Level 3, section 2.3.1, 'sha256-...'."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"
