"""Lines of text inside a picture: how long they are at most, and broken for screens of which only the least width is known.

A picture does not know the font of the system that shows it, so each letter is taken as wide as in a wide common one.
"""

from __future__ import annotations

ROOM = 296.0  # pixels of a line that a narrow screen holds
BOLD = 1.2  # a bold letter at 13 pixels, of a plain one at 12
WIDTHS = ((" .,:;'’|!ijl()[]·", 4.6), ("frt-", 5.2), ("mwMW@%", 11.8))  # pixels at 12
CAPITAL, LETTER, WIDE = 8.6, 7.5, 12.0  # of capitals and figures, of other letters, of scripts with wide ones
WIDE_FROM = "\u1100"
STEP = 6.0


def long(text: str) -> float:
    """Pixels that a line takes at most, at a size of 12.

    >>> long("ill") < long("see") < long("SEE") < long("mmm")
    True
    """
    return sum(map(_letter, text))


def wrapped(text: str, room: float = ROOM) -> list[str]:
    """The text in as few lines of at most `room` pixels as it needs, about alike in length; a longer word is broken.

    >>> wrapped("opens at 3 × 20 with one or more in reserve, in two sessions")
    ['opens at 3 × 20 with one or more', 'in reserve, in two sessions']
    """
    lines = _filled(text, room)
    less = long(text) / max(1, len(lines))
    while less < room and len(_filled(text, less)) > len(lines):
        less += STEP
    return _filled(text, min(less, room))


def _filled(text: str, room: float) -> list[str]:
    lines: list[str] = []
    for word in text.split():
        if lines and long(f"{lines[-1]} {word}") <= room:
            lines[-1] = f"{lines[-1]} {word}"
            continue
        lines += _broken(word, room)
    return lines


def _broken(word: str, room: float) -> list[str]:
    """A word, in pieces where it is longer than a line."""
    pieces = [""]
    for letter in word:
        if pieces[-1] and long(pieces[-1] + letter) > room:
            pieces.append("")
        pieces[-1] += letter
    return pieces


def _letter(letter: str) -> float:
    if letter >= WIDE_FROM:
        return WIDE
    known = next((width for letters, width in WIDTHS if letter in letters), None)
    return known or (CAPITAL if letter.isupper() or letter.isdigit() else LETTER)
