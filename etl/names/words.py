"""From a written name to its words: what is compared when two names are compared."""

from __future__ import annotations

import re
import unicodedata
from functools import cache, lru_cache
from typing import Any

from etl import tables
from etl.names.marks import plain

Words = tuple[str, ...]

APOSTROPHES = re.compile(r"['’`´]")
NOT_A_WORD = re.compile(r"[^\w]+|_+", re.UNICODE)
KEPT_S = ("ss", "us", "is")  # press, plus: no plurals
INITIALS = re.compile(r"[^aeiou]{3,}us")  # hspus: several of what is written by its initials
SIDES = ("left", "right")
KEPT = 20_000  # [D] texts whose words are kept: those of the catalogue are asked for twice
JOINED_MIN = 4  # [D] letters: 'lsit' may be 'l sit', a shorter word is an abbreviation


def normalise_name(text: str) -> str:
    """The name in small letters, without accents, punctuation or double spaces; the words stay in their order.

    This is the identity of a name in the store and the key of a decision, so it uses no table: a later word
    list must not turn a name that is already stored into another one.

    >>> normalise_name("  Farmer's  Walk (L) ")
    'farmers walk l'
    """
    folded = str(text).casefold()
    if not folded.isascii():
        folded = unicodedata.normalize("NFKD", str(text)).casefold()
        folded = "".join(c for c in folded if not unicodedata.combining(c))
    words = NOT_A_WORD.sub(" ", APOSTROPHES.sub("", folded)).strip()
    return words or str(text).strip().casefold()


def words_of(text: str) -> Words:
    """The words of a name, with the trade's abbreviations and spellings written out, in the singular.

    >>> words_of("B2 - SA DB Row, slow")
    ('single', 'arm', 'dumbbell', 'row')
    """
    return _spelled(tokens(text), _spellings())


def readings(text: str) -> list[Words]:
    """`words_of` the name, and after it each other way to read an abbreviation that stands for two things.

    >>> readings("SA pulldown")
    [('single', 'arm', 'pulldown'), ('straight', 'arm', 'pulldown')]
    """
    written = tokens(text)
    others = [{phrase: read_as} for phrase, read_as in _other_readings() if _holds(written, phrase)]
    return [_spelled(written, _spellings()), *(_spelled(written, _spellings() | other) for other in others)]


def tokens(text: str) -> Words:
    """The words of a name as they are written, in the singular and spaced as the catalogue spaces them."""
    return _spaced(_tokens(plain(str(text))))


def known_words() -> frozenset[str]:
    """Every word of the shipped names and word list, as `tokens` has them."""
    return _vocabulary()[0]


def key_of(words: Words) -> Words:
    """The words in alphabetical order: 'curl, dumbbell' and 'dumbbell curl' are one name.

    A word that is said twice counts once ('DB row, dumbbell'), but not a movement: 'deadlift / RDL' are two exercises.
    """
    return tuple(sorted([*(set(words) - _movements()), *(word for word in words if word in _movements())]))


@cache
def _movements() -> frozenset[str]:
    return frozenset(word for phrase in phrases("movement") for word in phrase)


@cache
def phrases(*kinds: str) -> dict[Words, tuple[str, str]]:
    """Phrase -> (kind, what it is read as), of the given kinds of name_words.csv, both orders of two words."""
    found: dict[Words, tuple[str, str]] = {}
    for row in _rows(*kinds):
        words = _tokens(row.written)
        found[words] = found[words[::-1]] = (row.kind, row.read_as)
    return found


@lru_cache(maxsize=KEPT)
def _tokens(text: str) -> Words:
    return tuple(_singular(word) for word in normalise_name(text).split())


def _singular(word: str) -> str:
    if len(word) > 4 and word.endswith("ies"):
        return word[:-3] + "y"
    if word.endswith(("ches", "shes", "sses", "xes", "iones")):  # the last one Spanish: elevaciones, flexiones
        return word[:-2]
    if len(word) > 2 and word.endswith("s") and (not word.endswith(KEPT_S) or INITIALS.fullmatch(word)):
        return word[:-1]
    return word


def _spaced(words: Words) -> Words:
    """The words spaced as the catalogue spaces them: 'deadhang' and 'dead hang', 'free standing' and 'freestanding'.

    Nothing but the space is changed, and nothing that the catalogue writes itself. A side stays a word: 'push up, right' is not upright.
    """
    single, side_by_side = _vocabulary()
    apart = words if single.issuperset(words) else tuple(
        part for word in words for part in ((word,) if word in single else side_by_side.get(word, (word,))))
    done: list[str] = []
    for word in apart:
        joined = done[-1] + word if done and word not in SIDES else ""
        if joined in single and joined not in side_by_side:
            done[-1] = joined
        else:
            done.append(word)
    return tuple(done)


@cache
def _vocabulary() -> tuple[frozenset[str], dict[str, Words]]:
    """Every word of the shipped names and word list, and every two or three that stand side by side, by their joined form.

    The words of one's own exercises are not among them: one called 'Deadhang twist' must not change what 'Deadhang' is.
    """
    texts = [*tables.SHIPPED.table("aliases")["alias"], *(row.written for row in _rows()), *(row.read_as for row in _rows("spelling", "reading"))]
    listed = {_tokens(text) for text in texts}
    side_by_side = {
        "".join(part): part
        for words in listed for size in (3, 2) for at in range(len(words) - size + 1)
        if len("".join(part := words[at : at + size])) >= JOINED_MIN
    }  # fmt: skip
    return frozenset(word for words in listed for word in words), side_by_side


def _spelled(words: Words, by: dict[Words, Words]) -> Words:
    return tuple(word for word in _replace(words, by) if word not in _stop_words())


@cache
def _spellings() -> dict[Words, Words]:
    """A note ('slow', 'heavy') is a spelling of nothing: it never counts."""
    written_out = {_tokens(row.written): _read_as(row) for row in _rows("spelling")}
    return written_out | {_tokens(row.written): () for row in _rows("note")}


@cache
def _other_readings() -> list[tuple[Words, Words]]:
    return [(_tokens(row.written), _read_as(row)) for row in _rows("reading")]


def _read_as(row: Any) -> Words:
    return tuple(_singular(word) for word in row.read_as.split())


@cache
def _stop_words() -> frozenset[str]:
    return frozenset(row.written for row in _rows("stop"))


def _rows(*kinds: str) -> list[Any]:
    """The rows of name_words.csv of these kinds, of all kinds where none is named."""
    table = tables.name_words()
    return list((table[table["kind"].isin(kinds)] if kinds else table).itertuples())


def _holds(words: Words, phrase: Words) -> bool:
    return any(words[at : at + len(phrase)] == phrase for at in range(len(words) - len(phrase) + 1))


def _replace(words: Words, by: dict[Words, Words]) -> Words:
    """Each phrase replaced once, from the left, the longest phrase first."""
    done: list[str] = []
    longest, at = _longest(), 0
    while at < len(words):
        for size in range(min(longest, len(words) - at), 0, -1):
            if (phrase := words[at : at + size]) in by:
                done += by[phrase]
                at += size
                break
        else:
            done.append(words[at])
            at += 1
    return tuple(done)


@cache
def _longest() -> int:
    return max(map(len, _spellings()))
