"""An exercise as somebody wrote it -> the catalogue's exercise, or suggestions. No database."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from etl import tables
from etl.names.fits import Said, said
from etl.names.index import Alias, by_key
from etl.names.left_out import ways
from etl.names.suggest import SUGGESTED, suggestions
from etl.names.words import Words, key_of, normalise_name, readings


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
        """decisions: normalised name -> (exercise id, "" for none of the catalogue; modifiers) that a person chose earlier; they go first."""
        return cls(dict(decisions or {}))

    def match(self, names: Iterable[str]) -> list[Match]:
        """One Match per name, in the same order."""
        return [self._match(str(name)) for name in names]

    def _match(self, name: str) -> Match:
        exercise, modifiers = self._decisions.get(normalise_name(name), (None, ""))
        if exercise == "":
            return Match(name)  # a person said that the catalogue does not have it
        if exercise in self._exercises:
            return Match(name, *tables.same_exercise(exercise, modifiers))
        read = readings(name)
        found = {(m.exercise, m.modifiers): m for words in read if (m := _exact(name, words) or _without_some_words(name, words))}
        if len({exercise for exercise, _ in found}) == 1:
            return next(iter(found.values()))
        likely = [exercise for exercise, _ in found]
        return Match(name, suggestions=tuple(dict.fromkeys([*likely, *suggestions(*read)]))[:SUGGESTED])


def _exact(name: str, words: Words) -> Match | None:
    alias = by_key().get(key_of(words))
    return _found(name, alias, Said()) if alias else None


def _without_some_words(name: str, words: Words) -> Match | None:
    """The match that leaves the fewest words out, and keeps the most of what they say; None where two of them are not one exercise."""
    found: list[Match] = []
    fewest = len(words)
    for size, rest, choice in ways(words):
        if size > fewest:
            break
        alias = by_key().get(key_of(rest))
        told = said(choice, alias, rest) if alias else None
        if alias and told is not None:
            found.append(_found(name, alias, told))
            fewest = size
    return max(found, key=lambda match: match.modifiers.count("=")) if len({m.exercise for m in found}) == 1 else None


def _found(name: str, alias: Alias, told: Said) -> Match:
    pairs = tables.modifier_pairs(alias.modifiers) | told.modifiers
    exercise, modifiers = tables.same_exercise(alias.exercise, tables.modifier_text(pairs)) if pairs else (alias.exercise, "")
    assumed = f"'{name}' read as {_called(exercise)}" if alias.family_default else ""
    return Match(name, exercise, modifiers, told.side, assumed)


def _called(exercise_id: str) -> str:
    table = tables.exercises()
    return str(table.loc[table["exercise_id"] == exercise_id, "name"].iloc[0])
