"""The ways of leaving words out of a name: each phrase of name_words.csv that may say nothing about which exercise it is.

Whether a phrase may be left out of the name of the exercise that remains is decided in `fits`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import combinations

from etl.names.words import Words, phrases

MOST = 5  # [D] phrases left out of one name: more than any sensible name holds
MOST_WORDS = 12  # [D] a longer text is a sentence, not a name, and its ways grow without bound
KINDS = ("modifier", "side", "limb", "equipment", "handle", "muscle", "flat", "hold", "filler", "added_load", "belt")


@dataclass(frozen=True)
class Phrase:
    start: int
    size: int
    kind: str
    read_as: str


Choice = tuple[Phrase, ...]


def ways(words: Words) -> Iterator[tuple[int, Words, Choice]]:
    """(words left out, the words that remain, the phrases left out), fewest words left out first."""
    found = _occurrences(words) if len(words) <= MOST_WORDS else []
    chosen = [c for size in range(1, MOST + 1) for c in combinations(found, size) if _apart(c) and _size(c) < len(words)]
    for choice in sorted(chosen, key=_size):
        gone = {at for phrase in choice for at in range(phrase.start, phrase.start + phrase.size)}
        yield len(gone), tuple(word for at, word in enumerate(words) if at not in gone), choice


def _occurrences(words: Words) -> list[Phrase]:
    spans = ((at, size) for size in _sizes() for at in range(len(words) - size + 1))
    return [Phrase(at, size, *meaning) for at, size in spans if (meaning := phrases(*KINDS).get(words[at : at + size]))]


@cache
def _sizes() -> range:
    return range(1, max(map(len, phrases(*KINDS))) + 1)


def _apart(choice: Choice) -> bool:
    ordered = sorted(choice, key=lambda phrase: phrase.start)
    return all(a.start + a.size <= b.start for a, b in zip(ordered, ordered[1:], strict=False))


def _size(choice: Choice) -> int:
    return sum(phrase.size for phrase in choice)
