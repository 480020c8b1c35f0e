"""A cell of shorthand -> tokens. Each kind of token has one definition; the first that fits is taken."""

from __future__ import annotations

import re
from typing import NamedTuple

from etl.notation.blanks import folded
from etl.notation.clock import MINUTE_WORDS, SECOND_WORDS, duration_s
from etl.notation.loads import BODY
from etl.notation.numbers import number
from etl.notation.repetitions import REP_WORDS, SIDE, side_of
from etl.notation.words import KINDS, RANGES, UNIT_WORDS

# Words of a set's kind that stand beside its work. One letter is a kind only for "w", and a set is no kind of set.
KIND_WORDS = {word: kind for word, kind in KINDS.items()
              if (len(word) > 1 or word == "w") and word not in ("amrap", "set", "satz", "serie", "series", "main")}
MASSES = [word for word, unit in UNIT_WORDS.items() if unit != "st"]  # "1st" is no stone
RANGE_WORDS = {word: part for word, part in RANGES.items() if len(word) > 2}
_END = r"(?=x?(?:[^a-z]|$))"  # behind a word: no further letter, but for the sign of multiplication in "60kgx8"
_LETTER_END = r"(?![a-wyz])"
_DECIMAL = r"\d+(?:[.,]\d+)?"


def _any(words) -> str:
    return "|".join(sorted(map(re.escape, words), key=len, reverse=True))


class Token(NamedTuple):
    kind: str  # a name of KINDS_OF_TOKEN
    text: str  # as it stands in the folded cell
    start: int
    end: int
    means: str = ""  # of a side, range or kind: the word of the set log
    tight: bool = False  # of a comma: it stands between two digits


KINDS_OF_TOKEN = {
    "date": r"\d{4}[-/.]\d{1,2}[-/.]\d{1,2}(?!\d)|\d{1,2}[-/.]\d{1,2}[-/.]\d{4}(?!\d)",
    "hold": (rf"\d+:\d\d(?::\d\d)?(?![\d:])|(?:{_DECIMAL}\s?(?:{MINUTE_WORDS})\s?)?{_DECIMAL}\s?(?:{SECOND_WORDS}){_LETTER_END}"
             rf"|\d+\s?(?:{MINUTE_WORDS})\s?\d\d(?![\d.,]|\s?[a-wyz])|(?!\d+\s?m{_LETTER_END}){_DECIMAL}\s?(?:{MINUTE_WORDS}){_LETTER_END}"),
    "metres": rf"\d+\s?m(?:eters?|etres?|eter)?{_END}",
    "number": r"\d+(?:[.,]\d+)*½?|½",
    "reserve": rf"rir{_END}|(?:reps? )?in reserve{_END}",
    "rating": rf"rpe{_END}",
    "side": rf"(?:{SIDE}){_END}",
    "kind": rf"(?!w/[^u])(?:{_any(KIND_WORDS)}){_END}",
    "range": rf"(?:{_any(RANGE_WORDS)}){_END}",
    "open_ended": rf"(?:amrap|max)(?=[\s\d)]|$)",
    "rest": rf"(?:rest|pause|pausa|pauze|repos|descanso|recupero|rust){_END}",
    "sets": rf"(?:sets?|satze?n?|saetze?n?|series?|serien|reeks(?:en)?){_END}",
    "reps": rf"(?:{REP_WORDS})\.?{_END}",
    "body": rf"{BODY.replace('?P<body>', '?:')}{_END}",
    "unit": rf"(?:{_any(MASSES)}){_LETTER_END}\.?",
    "times": r"\*|x(?=[\s\d½(.,]|bw|body|amrap|max|$)",
    "at": rf"@|w/|(?:at|with|mit|a|con|com|met|avec|bei){_END}",
    "of": rf"(?:of|de|da|di|van|von|je){_END}",
    "about": rf"~|(?:ca|circa|about|approx|etwa|around){_END}\.?",
    "holding": rf"(?:hold|holds|holding|isometric|halten){_END}",
    "greater": r"-?>|\u2192",
    "plus": r"\+", "slash": "/", "comma": ",", "colon": ":", "percent": "%", "dash": r"[-\u2013\u2014]", "open": r"[(\[]", "close": r"[)\]]",
    "semicolon": rf"[;|&]|(?:and|then|und|dann|et){_END}",
    "word": r"[^\W\d_]+",
    "other": r"\S",
}
# One group for each kind, and none within a definition: the last group that matched is the kind.
_TOKEN = re.compile("|".join(f"(?P<{kind}>{pattern})" for kind, pattern in KINDS_OF_TOKEN.items()))
_LINE_BREAK = re.compile(r"\s*[\r\n]\s*")


def prepared(cell: str) -> str:
    """The cell folded, a line break in it as a semicolon, without a full stop or comma at its end."""
    return folded(_LINE_BREAK.sub("; ", cell.strip())).rstrip(" .,;")


def tokens(text: str, mark: str, parted: bool) -> list[Token]:
    """The tokens of a prepared cell.

    parted: whether one comma between two numbers ("10,5") stands between two sets; else it is a decimal comma. Two or
    more ("8,8,6") always stand between sets.
    """
    found: list[Token] = []
    for m in _TOKEN.finditer(text):
        kind, said = str(m.lastgroup), m[0]
        if kind == "number":
            found += _numbers(m, mark, parted)
        elif kind == "hold" and duration_s(said) != duration_s(said):
            found.append(Token("other", said, m.start(), m.end()))
        else:
            found.append(Token(kind, said, m.start(), m.end(), _meaning(kind, said)))
    return found


def _meaning(kind: str, word: str) -> str:
    if kind == "side":
        return side_of(word)
    return {"kind": KIND_WORDS, "range": RANGE_WORDS}.get(kind, {}).get(word, "")


def _numbers(m: re.Match, mark: str, parted: bool) -> list[Token]:
    """One number, or several with their commas between them."""
    text, place, found = m[0], m.start(), []
    commas = text.count(",")
    split = commas and "." not in text and (commas > 1 or parted)
    for part in text.split(",") if split else [text]:
        if found:
            found.append(Token("comma", ",", place - 1, place, tight=True))
        good = number(part, mark) == number(part, mark)
        found.append(Token("number" if good else "other", part, place, place + len(part)))
        place += len(part) + 1
    return found
