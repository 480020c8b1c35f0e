"""The decimal mark that numbers are written with: the reader's on pages, in pictures and in reports made there, a point everywhere else.

`mark()` holds for what is being written now. The functions of `numbers` write with it; a text of ours that has its numbers already, because it was
kept or stands in a file of the program, is turned by `told` when it is shown. What is kept, stored or cached is written with the point.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from functools import lru_cache

import pandas as pd

POINT, COMMA = ".", ","
DOI = r"doi:10\.\d{4,}/[^\s,;()]*[^\s,;().:]"
# What stands in a text of ours and is not of ours, or no number: what somebody wrote, in quotes; code; a formula; a DOI; an address.
KEPT = rf"\"[^\"]*\"|(?<!\w)'[^'\n]*'(?!\w)|`[^`]*`|\$[^$]*\$|{DOI}|10\.\d{{4,}}/\S+|\w+://\S+"
# Not a part of a name, a date, a version or an address: those go on with a letter, a further point or a slash.
NUMBER = r"(?:(?<=\d/)|(?<![\w.,/]))(\d[\d\u202f]*)\.(\d+)(?!\w|\.\w|/\D)"

_now: ContextVar[str | None] = ContextVar("decimal_mark", default=None)
_asked: Callable[[], str] = lambda: POINT


def mark() -> str:
    """The mark that holds here: what was set for this run, else what the reader is asked for, else the point."""
    return _now.get() or _asked()


def write_with(one: str) -> None:
    """Let the rest of this thread's run write with the mark."""
    _now.set(one)


@contextmanager
def written_with(one: str) -> Iterator[None]:
    """Inside, and in a function that it decorates, numbers are written with the mark."""
    before = _now.set(one)
    try:
        yield
    finally:
        _now.reset(before)


def ask(reader: Callable[[], str]) -> None:
    """Who knows the reader's mark where none was set: in a callback of a page, or in a part of it that runs alone."""
    global _asked  # noqa: PLW0603 - there is one program, and its readers differ by their threads
    _asked = reader


def marked(text: str) -> str:
    """A number that was written with a point, with the mark that holds."""
    return text if (now := mark()) == POINT else text.replace(POINT, now)


def told(text: str, names: Sequence[str] = ()) -> str:
    """A text of ours with the mark that holds. names: what else stands in it as somebody wrote it, in small or capital letters.

    >>> with written_with(COMMA):
    ...     told("10.5 of 12 (r 0.57, doi:10.1007/s40279-020-01378-6), '1.5 kg' in 1.2.3 by 2026-03-09")
    "10,5 of 12 (r 0,57, doi:10.1007/s40279-020-01378-6), '1.5 kg' in 1.2.3 by 2026-03-09"
    """
    if (now := mark()) == POINT or POINT not in text:
        return text
    return _pattern(tuple(names)).sub(lambda found: found[0] if found[1] is None else found[1] + now + found[2], text)


def told_rows(rows: pd.DataFrame, columns: Sequence[str], names: Sequence[str] = ()) -> pd.DataFrame:
    """A table with the texts of ours in these columns, as far as it has them, with the mark that holds."""
    there = [] if mark() == POINT else [name for name in columns if name in rows]
    return rows.assign(**{name: rows[name].map(lambda text: told(text, names) if isinstance(text, str) else text) for name in there}) if there else rows


@lru_cache(maxsize=16)
def _pattern(names: tuple[str, ...]) -> re.Pattern[str]:
    return re.compile("|".join([*(f"(?i:{re.escape(name)})" for name in sorted(names, key=len, reverse=True)), KEPT, NUMBER]))
