"""An exercise as somebody wrote it -> the catalogue's exercise, or suggestions. No database."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from etl import tables
from etl.names.fits import Said, said
from etl.names.index import Alias, by_key, offered, said_twice
from etl.names.left_out import ways
from etl.names.slips import mended
from etl.names.things import done_with, named_thing
from etl.names.suggest import SUGGESTED, suggestions, sure
from etl.names.words import KEPT, Words, key_of, normalise_name, readings

IN_MANY = 20  # [D] exercises of the catalogue whose names hold a word: so many share it that it does not tell which of them is meant


@dataclass(frozen=True)
class Match:
    """What a written name stands for.

    exercise: the catalogue's id, None while nothing fits exactly. modifiers: 'k=v;k=v', what the name says
    beside the exercise. side: '', left, right or both. assumed: '' or a sentence on what was taken for granted.
    suggestions: up to three ids that are like it, for a person to choose from. sure: whether the first of them is hardly doubtful.
    settled: a person said what it is, or that the catalogue does not have it, so that it waits for nothing.
    """

    name: str
    exercise: str | None = None
    modifiers: str = ""
    side: str = ""
    assumed: str = ""
    suggestions: tuple[str, ...] = ()
    sure: bool = False
    settled: bool = False


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
            return Match(name, settled=True)
        if exercise in self._exercises:
            return Match(name, *tables.same_exercise(exercise, modifiers), settled=True)
        read = readings(name)
        found = {(m.exercise, m.modifiers): m for words in read if (m := _read(name, words))}
        if len({exercise for exercise, _ in found}) == 1:
            return next(iter(found.values()))
        without_slips = [words for words in mended(name) if words not in read]
        suggested = _suggested(name, read, without_slips, [exercise for exercise, _ in found])
        return Match(name, suggestions=suggested, sure=bool(suggested) and sure(suggested[0], *read, *without_slips))


@tables.per_catalogue(maxsize=KEPT)
def with_thing(match: Match, thing: str) -> Match:
    """What a name stands for where the file says beside it what it was done with: a bench press with a dumbbell is no barbell's.

    thing: as written; "" for nothing. An exercise that is done with it stays, and so does what a person decided on the name. A bare name
    that is usually done with something else waits, where no exercise is known that is done with this.
    """
    named = "" if match.settled else named_thing(thing)
    if not named or (match.exercise and not match.assumed and done_with(match.exercise, named)):
        return match
    (found,) = Matcher({}).match([f"{named} {match.name}"])
    if found.exercise:
        return replace(found, name=match.name, assumed=found.assumed and f"'{match.name}' with '{named}' read as {_called(found.exercise)}")
    if match.exercise and (not match.assumed or done_with(match.exercise, named)):
        return match
    return replace(found, name=match.name, suggestions=found.suggestions or match.suggestions)


def _read(name: str, words: Words) -> Match | None:
    return next((m for read_as in (_alias, said_twice) if (m := _exact(name, words, read_as) or _without_some_words(name, words, read_as))), None)


def _alias(words: Words) -> Alias | None:
    return by_key().get(key_of(words))


def _suggested(name: str, read: list[Words], without_slips: list[Words], found: list[str]) -> tuple[str, ...]:
    """What the name may stand for, the likeliest first: what it was found to be, what it would be without slips, what is like it."""
    likely = [m.exercise for words in without_slips if (m := _read(name, words)) and m.exercise]
    usual = [exercise for words in (*read, *without_slips) for exercise in offered().get(key_of(words), [])]
    return tuple(dict.fromkeys([*found, *likely, *usual, *suggestions(*read, *without_slips)]))[:SUGGESTED]


def _exact(name: str, words: Words, read_as: Callable[[Words], Alias | None]) -> Match | None:
    alias = read_as(words)
    return _found(name, alias, Said()) if alias else None


def _without_some_words(name: str, words: Words, read_as: Callable[[Words], Alias | None]) -> Match | None:
    """The match that leaves the fewest words out, and keeps the most of what they say; None where two of them are not one exercise."""
    found: list[Match] = []
    fewest = len(words)
    for size, rest, choice in ways(words):
        if size > fewest:
            break
        alias = read_as(rest)
        told = said(choice, alias, rest) if alias else None
        if alias and told is not None:
            found.append(_found(name, alias, told))
            fewest = size
    return max(found, key=lambda match: match.modifiers.count("=")) if len({m.exercise for m in found}) == 1 else None


def _found(name: str, alias: Alias, told: Said) -> Match:
    pairs = tables.modifier_pairs(alias.modifiers) | told.modifiers
    exercise, modifiers = tables.same_exercise(alias.exercise, tables.modifier_text(pairs)) if pairs else (alias.exercise, "")
    assumed = f"'{name}' read as {_called(exercise)}" if alias.family_default or _called_otherwise(name, exercise) else ""
    return Match(name, exercise, modifiers, told.side, assumed)


def _called_otherwise(name: str, exercise_id: str) -> bool:
    """Whether a name shares no word with its exercise's own that tells it from many others: "Zottman curl", "skull crusher"; not "barbell biceps curl"."""
    own, usual = _words_of_names()
    written = {word for words in readings(name) for word in words}
    return not own[exercise_id] <= written and not (own[exercise_id] & written) - (usual if written - usual else set())


@tables.per_catalogue
def _words_of_names() -> tuple[dict[str, frozenset[str]], frozenset[str]]:
    """The words of each exercise's own name, and those that stand in many such names, as "curl" and "dumbbell" do."""
    table = tables.exercises()
    own = {exercise: frozenset(word for words in readings(name) for word in words) for exercise, name in zip(table["exercise_id"], table["name"], strict=True)}
    counts = Counter(word for words in own.values() for word in words)
    return own, frozenset(word for word, count in counts.items() if count >= IN_MANY)


def _called(exercise_id: str) -> str:
    table = tables.exercises()
    return str(table.loc[table["exercise_id"] == exercise_id, "name"].iloc[0])
