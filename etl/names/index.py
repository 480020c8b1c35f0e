"""Every name and alias of the catalogue by its words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
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


@tables.per_catalogue
def by_key() -> dict[Words, Alias]:
    """Words in alphabetical order -> the alias, the first of those with the same words."""
    found: dict[Words, Alias] = {}
    for row in tables.aliases().itertuples():
        words = words_of(row.alias)
        found.setdefault(key_of(words), Alias(row.exercise_id, row.alias, row.kind == "family_default", row.modifiers, words))
    return found


@cache
def offered() -> dict[Words, list[str]]:
    """Words of a bare trade name that coaches read differently -> the exercises to choose from, the most usual first."""
    table = tables.name_words()
    return {key_of(words_of(row.written)): tables.listed(row.read_as) for row in table[table["kind"] == "offered"].itertuples()}


def said_twice(words: Words) -> Alias | None:
    """The exercise that a name gives in two ways at once, as in 'OAC (one-arm chin-up)'; None for anything else.

    Each word belongs to a whole alias within the name, all of them of one exercise and none against another's modifiers.
    """
    inside = list(_aliases_within(frozenset(words)))
    return next((said for exercise in dict.fromkeys(alias.exercise for alias in inside) if (said := _together(exercise, inside, words))), None)


def _together(exercise: str, inside: list[Alias], words: Words) -> Alias | None:
    own = [alias for alias in inside if alias.exercise == exercise]
    own = [alias for alias in own if not any(set(alias.words) < set(other.words) for other in own)]
    pairs = {pair for alias in own for pair in tables.modifier_pairs(alias.modifiers).items()}
    if len(dict(pairs)) < len(pairs) or not Counter(words) <= Counter(word for alias in own for word in set(alias.words)):
        return None
    longest = max(own, key=lambda alias: len(alias.words))
    return Alias(exercise, longest.written, longest.family_default, tables.modifier_text(dict(pairs)), words)


def _aliases_within(words: frozenset[str]) -> Iterator[Alias]:
    return (alias for word in words for key, alias in _by_first_word().get(word, []) if key <= words)


@tables.per_catalogue
def _by_first_word() -> dict[str, list[tuple[frozenset[str], Alias]]]:
    found: dict[str, list[tuple[frozenset[str], Alias]]] = {}
    for key, alias in by_key().items():
        found.setdefault(key[0], []).append((frozenset(key), alias))
    return found
