"""From a written name to its words: what is compared when two names are compared."""

from __future__ import annotations

import re
import unicodedata
from functools import cache

from etl import tables

Words = tuple[str, ...]

APOSTROPHES = re.compile(r"['’`´]")
NOT_A_WORD = re.compile(r"[^\w]+|_+", re.UNICODE)
KEPT_S = ("ss", "us", "is")  # press, cross: no plurals


def normalise_name(text: str) -> str:
    """The name in small letters, without accents, punctuation or double spaces; the words stay in their order.

    This is the identity of a name in the store and the key of a decision, so it uses no table: a later word
    list must not turn a name that is already stored into another one.

    >>> normalise_name("  Farmer's  Walk (L) ")
    'farmers walk l'
    """
    plain = unicodedata.normalize("NFKD", str(text)).casefold()
    plain = "".join(c for c in plain if not unicodedata.combining(c))
    words = NOT_A_WORD.sub(" ", APOSTROPHES.sub("", plain)).strip()
    return words or str(text).strip().casefold()


def words_of(text: str) -> Words:
    """The words of a name, with the trade's abbreviations and spellings written out, in the singular."""
    words = tuple(_singular(word) for word in normalise_name(text).split())
    return tuple(word for word in _replace(words, _spellings()) if word not in _stop_words())


def key_of(words: Words) -> Words:
    """The words in alphabetical order: 'curl, dumbbell' and 'dumbbell curl' are one name."""
    return tuple(sorted(words))


def phrases(*kinds: str) -> dict[Words, tuple[str, str]]:
    """Phrase -> (kind, what it is read as), of the given kinds of name_words.csv, both orders of two words."""
    table = tables.name_words()
    found: dict[Words, tuple[str, str]] = {}
    for row in table[table["kind"].isin(kinds)].itertuples():
        words = tuple(_singular(word) for word in row.written.split())
        found[words] = found[words[::-1]] = (row.kind, row.read_as)
    return found


def _singular(word: str) -> str:
    if word.endswith(("ches", "shes", "sses", "xes")):
        return word[:-2]
    if len(word) > 2 and word.endswith("s") and not word.endswith(KEPT_S):
        return word[:-1]
    return word


@cache
def _spellings() -> dict[Words, Words]:
    table = tables.name_words()
    rows = table[table["kind"] == "spelling"]
    return {tuple(_singular(w) for w in row.written.split()): tuple(row.read_as.split()) for row in rows.itertuples()}


@cache
def _stop_words() -> frozenset[str]:
    table = tables.name_words()
    return frozenset(table.loc[table["kind"] == "stop", "written"])


def _replace(words: Words, by: dict[Words, Words]) -> Words:
    """Each phrase replaced once, from the left, the longest phrase first."""
    done: list[str] = []
    longest = max(map(len, by), default=0)
    at = 0
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
