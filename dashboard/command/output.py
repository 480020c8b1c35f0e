"""What a command writes: text that only says something, one JSON object, or a file that was not there before."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TextIO

from etl.refusal import Refusal


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


def json_text(report: Any) -> str:
    """One JSON object. A number that is none (NaN) is no JSON and is a fault of the caller."""
    return json.dumps(report, ensure_ascii=False, allow_nan=False)


@contextmanager
def new_file(path: Path) -> Iterator[TextIO]:
    """A new CSV file to write to. The mark at its beginning tells spreadsheets that it is UTF-8. Refusal where there is a file already."""
    try:
        with path.open("x", encoding="utf-8-sig", newline="") as out:
            yield out
    except FileExistsError:
        raise Refusal("There is a file of that name already", str(path), "Name another one: nothing is written over.") from None
    except OSError as error:
        raise Refusal(f"The file cannot be written: {error.strerror}", str(path), "Check the folder, and try again.") from error
