"""An exercise as somebody wrote it -> the catalogue's exercise, or suggestions. No database."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from etl import tables
from etl.names import left_out
from etl.names.index import Alias, by_key, suggestions
from etl.names.words import Words, key_of, normalise_name, words_of


@dataclass(frozen=True)
class Match:
    """What a written name stands for.

    exercise: the catalogue's id, None while nothing fits exactly. modifiers: 'k=v;k=v', what the name says
    beside the exercise. side: '', left, right or both. assumed: '' or a sentence on what was taken for granted.
    suggestions: up to three ids that are like it, for a person to choose from.
    """

    name: str
    exercise: str | None = None
    modifiers: str = ""
    side: str = ""
    assumed: str = ""
    suggestions: tuple[str, ...] = ()


class Matcher:
    """Matches names exactly, after the spelling is evened out. Nothing near is ever taken without asking."""

    def __init__(self, decisions: Mapping[str, tuple[str, str]]) -> None:
        self._decisions = decisions
        self._exercises = frozenset(tables.exercises()["exercise_id"])

    @classmethod
    def from_catalogue(cls, decisions: Mapping[str, tuple[str, str]] | None = None) -> Matcher:
        """decisions: normalised name -> (exercise id, modifiers) that a person chose earlier; they go first."""
        return cls(dict(decisions or {}))

    def match(self, names: Iterable[str]) -> list[Match]:
        """One Match per name, in the same order."""
        return [self._match(str(name)) for name in names]

    def _match(self, name: str) -> Match:
        exercise, modifiers = self._decisions.get(normalise_name(name), ("", ""))
        if exercise in self._exercises:
            return Match(name, *tables.same_exercise(exercise, modifiers))
        words = words_of(name)
        return _exact(name, words) or _without_some_words(name, words) or Match(name, suggestions=suggestions(words))


def _exact(name: str, words: Words) -> Match | None:
    alias = by_key().get(key_of(words))
    return _found(name, alias, left_out.Said()) if alias else None


def _without_some_words(name: str, words: Words) -> Match | None:
    for rest, choice in left_out.ways(words):
        alias = by_key().get(key_of(rest))
        told = left_out.said(choice, alias.exercise) if alias else None
        if alias and told is not None:
            return _found(name, alias, told)
    return None


def _found(name: str, alias: Alias, told: left_out.Said) -> Match:
    pairs = tables.modifier_pairs(alias.modifiers) | told.modifiers
    exercise, modifiers = tables.same_exercise(alias.exercise, tables.modifier_text(pairs))
    assumed = f"'{name}' read as {_called(exercise)}" if alias.family_default else ""
    return Match(name, exercise, modifiers, told.side, assumed)


def _called(exercise_id: str) -> str:
    table = tables.exercises()
    return str(table.loc[table["exercise_id"] == exercise_id, "name"].iloc[0])
