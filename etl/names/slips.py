"""A written name without its typing slips: a guess, for suggestions only. No slip is ever taken silently."""

from __future__ import annotations

from functools import cache, lru_cache

from rapidfuzz import process
from rapidfuzz.distance import OSA, JaroWinkler

from etl.names.words import Words, known_words, readings, tokens

SHORTEST = 4  # [D] letters of a word in which a slip can be told from another word
LIKENESS_MIN = 0.8  # [D] of 1: mean likeness by edits with swapped neighbours and by Jaro-Winkler, which trusts the first letters
KEPT = 10_000  # [D] words that are kept with what they were taken for


def mended(text: str) -> list[Words]:
    """`readings` of the name with each unknown word taken for the known one that is likest to it.

    >>> mended("dumbel curll")
    [('dumbbell', 'curl')]
    """
    return readings(" ".join(_likest(word) for word in tokens(text)))


@lru_cache(maxsize=KEPT)
def _likest(word: str) -> str:
    if word in known_words() or len(word) < SHORTEST:
        return word
    alike = sum(process.cdist([word], _known(), scorer=scorer)[0] for scorer in (OSA.normalized_similarity, JaroWinkler.similarity)) / 2
    return _known()[alike.argmax()] if alike.max() >= LIKENESS_MIN else word


@cache
def _known() -> list[str]:
    return sorted(known_words())
