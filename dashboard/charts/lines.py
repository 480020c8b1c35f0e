"""Lines of text inside a picture, for screens of which only the least width is known."""

from __future__ import annotations

import textwrap

LETTER, BOLD = 6.9, 7.5  # pixels of a letter at 12 and, bold, at 13 pixels: rather too many, for any system's font
WRAP = 42  # characters of a line that a narrow screen holds


def wrapped(text: str, wide: int = WRAP) -> list[str]:
    """The text in as few lines of at most `wide` characters as it needs, about alike in length; a longer word is broken.

    >>> wrapped("opens at 3 × 20 with one or more in reserve, in two sessions")
    ['opens at 3 × 20 with one or more', 'in reserve, in two sessions']
    """
    lines = textwrap.wrap(text, wide)
    if len(lines) < 2:
        return lines
    return next(found for less in range(len(text) // len(lines), wide + 1) if len(found := textwrap.wrap(text, less)) <= len(lines))
