"""Every name and alias of the catalogue by its words."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from etl import tables
from etl.names.words import Words, key_of, words_of


@dataclass(frozen=True)
class Alias:
    """One way of writing an exercise. family_default: a bare trade name that is read as its usual form."""

    exercise: str
    written: str
    family_default: bool
    modifiers: str
    words: Words


@cache
def by_key() -> dict[Words, Alias]:
    """Words in alphabetical order -> the alias. Two aliases with the same words mean the same exercise."""
    found: dict[Words, Alias] = {}
    for row in tables.aliases().itertuples():
        words = words_of(row.alias)
        found.setdefault(key_of(words), Alias(row.exercise_id, row.alias, row.kind == "family_default", row.modifiers, words))
    return found
