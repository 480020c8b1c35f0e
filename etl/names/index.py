"""Every name and alias of the catalogue by its words, and the suggestions for a name that none of them is."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from rapidfuzz import fuzz

from etl import tables
from etl.names.words import Words, key_of, phrases, words_of

SUGGESTED = 3  # [D] as many as fit on a line
LIKENESS_MIN = 60.0  # [D] of 100: below it the nearest name is a guess that helps nobody
WORD_LIKENESS_MIN = 80.0  # [D] of 100: two spellings of one word, one slip apart in five letters


@dataclass(frozen=True)
class Alias:
    """One way of writing an exercise. family_default: a bare trade name that is read as its usual form."""

    exercise: str
    written: str
    family_default: bool
    modifiers: str


@cache
def by_key() -> dict[Words, Alias]:
    """Words in alphabetical order -> the alias. Two aliases with the same words mean the same exercise."""
    found: dict[Words, Alias] = {}
    for row in tables.aliases().itertuples():
        alias = Alias(row.exercise_id, row.alias, row.kind == "family_default", row.modifiers)
        found.setdefault(key_of(words_of(row.alias)), alias)
    return found


def suggestions(words: Words) -> tuple[str, ...]:
    """Up to three exercise ids whose names are like these words, the likest first. Never taken without asking."""
    best: dict[str, float] = {}
    telling = [word for word in words if word not in _equipment_words()]
    for key, alias in by_key().items():
        if not any(fuzz.ratio(word, other) >= WORD_LIKENESS_MIN for word in telling for other in key):
            continue
        likeness = _likeness(" ".join(key_of(words)), " ".join(key))
        if likeness >= max(LIKENESS_MIN, best.get(alias.exercise, 0)):
            best[alias.exercise] = likeness
    return tuple(sorted(best, key=lambda exercise: -best[exercise])[:SUGGESTED])


def _likeness(one: str, other: str) -> float:
    """0-100. The set ratio finds 'triceps extension' in longer names, the plain one prefers the shorter of them."""
    return (fuzz.token_set_ratio(one, other) + fuzz.ratio(one, other)) / 2


@cache
def _equipment_words() -> frozenset[str]:
    """Words that many exercises share and that make no two of them alike."""
    return frozenset(word for phrase in phrases("equipment") for word in phrase)
