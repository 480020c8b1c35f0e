"""Suggestions for a name that no alias is: what a person chooses from. Nothing here is ever taken without asking."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from rapidfuzz import fuzz, process
from rapidfuzz.distance import OSA

from etl import tables
from etl.names.index import by_key
from etl.names.words import Words, phrases

SUGGESTED = 3  # [D] as many as fit on a line
LIKENESS_MIN = 0.5  # [D] of 1: below it the nearest name is a guess that helps nobody
SURE_MIN = 0.95  # [D] of 1: of 85 first suggestions that were so alike 84 were right, of the other 170 there were 37 (names that the tables have learnt from)
WORD_LIKENESS_MIN = 0.65  # [D] of 1: two spellings of one word, one slip apart in three letters
# [D] What a word of a name weighs: the movement most, then the equipment, then the muscle, then the rest.
WEIGHTS = {"movement": 4.0, "equipment": 2.0, "handle": 2.0, "muscle": 1.5, "modifier": 1.0, "filler": 0.3, "hold": 0.3}
WEIGHT_ELSE = 2.0  # [D] 'goblet', 'spider': words that tell one exercise of a family from the next
WEIGHT_UNKNOWN = 1.0  # [D] a word that is like none of the catalogue's
WHOLE = 0.2  # [D] share of the words of all of an exercise's names in its likeness; the best single name has the rest
LETTERS = 0.2  # [D] share of the letters in a row, which find 'sit-ut' where the words do not
KNOWN = 0.75  # [D] what likeness to another word counts for, if the word itself is one of the catalogue's
USUAL = 0.05  # [D] share of how usual an exercise is: it decides between names that are equally like the written one
USUAL_NAMES = 40  # [D] names in the catalogue from which an exercise counts as usual
MOST_WORDS = 20  # [D] words of a text that are looked at
KEPT = 1000  # [D] words whose likenesses are kept, some 20 kB each
RUN_TOGETHER_MIN = 0.7  # [D] of 1: likeness of two names without their spaces
LETTERS_LOOKED_AT = 60  # [D] of a text without spaces
INITIALS = (3, 5)  # [D] letters of a word that may stand for a name by its initials


@dataclass(frozen=True)
class _Names:
    """vocabulary, known: every word. weights: one for each. telling: false for equipment, which alone makes no two
    exercises alike. aliases, wholes: which words (columns) each alias, each exercise has."""

    vocabulary: list[str]
    known: frozenset[str]
    weights: np.ndarray
    telling: np.ndarray
    aliases: np.ndarray
    texts: list[str]
    alias_weights: np.ndarray
    of_alias: np.ndarray
    wholes: np.ndarray
    exercises: list[str]
    usual: np.ndarray


def suggestions(*read: Words) -> tuple[str, ...]:
    """Up to three exercise ids whose names are like these words, the likest first; for several readings, the best of each."""
    likeness = np.max([_likeness(words) for words in read], axis=0)
    exercises = _names().exercises
    ranked = np.argsort(-likeness, kind="stable")[:SUGGESTED]
    found = [exercises[at] for at in ranked if likeness[at] >= LIKENESS_MIN]
    return tuple(dict.fromkeys([*_by_initials(read[0]), *found, *(() if found else _run_together(read[0]))]))[:SUGGESTED]


def sure(exercise: str, *read: Words) -> bool:
    """Whether the names of an exercise are so like these words, in one of several readings, that it may be offered as chosen."""
    return bool(max(_likeness(words)[_names().exercises.index(exercise)] for words in read) >= SURE_MIN)


def _likeness(words: Words) -> np.ndarray:
    """0-1 for each exercise: its likest alias, with a share for how many of the words any of its names has."""
    names = _names()
    alike = np.array([_word_likeness(word) for word in dict.fromkeys(words[:MOST_WORDS])]).reshape(-1, len(names.vocabulary))
    nearest = alike.max(axis=0, initial=0)
    columns = np.flatnonzero(nearest)
    if not names.telling[columns].any():
        return np.zeros(len(names.exercises))
    own = np.where(alike.any(axis=1), names.weights[alike.argmax(axis=1)], WEIGHT_UNKNOWN)
    of_name = names.aliases[:, columns] @ (names.weights * nearest)[columns] / names.alias_weights
    of_words = _covered(names.aliases, alike, own)
    by_words = 2 * of_name * of_words / np.maximum(of_name + of_words, 1e-9)
    by_letters = process.cdist([" ".join(words)], names.texts, scorer=fuzz.ratio)[0] / 100
    alias = np.where(by_words > 0, (1 - LETTERS) * by_words + LETTERS * by_letters, 0)
    best = np.zeros(len(names.exercises))
    np.maximum.at(best, names.of_alias, alias)
    of_any = WHOLE * _covered(names.wholes, alike, own) + USUAL * names.usual
    return np.where(best > 0, (1 - WHOLE - USUAL) * best + of_any, 0)


def _covered(has: np.ndarray, alike: np.ndarray, own: np.ndarray) -> np.ndarray:
    """The weighted share of the written words (rows of `alike`) that each row of `has` holds."""
    shares = np.zeros(len(has))
    for weight, row in zip(own, alike, strict=True):
        near = np.flatnonzero(row)
        if len(near):
            shares += weight * (has[:, near] * row[near]).max(axis=1)
    return shares / own.sum()


@tables.per_catalogue(maxsize=KEPT)
def _word_likeness(word: str) -> np.ndarray:
    """0-1 for each word of the vocabulary: 1 the same word, 0 not alike. Swapped neighbours are one slip."""
    vocabulary = _names().vocabulary
    slips = process.cdist([word], vocabulary, scorer=OSA.normalized_similarity)[0]
    shared = process.cdist([word], vocabulary, scorer=fuzz.ratio)[0] / 100
    alike = np.maximum(slips, shared)
    if word in _names().known:  # no slip, so another word that is like it is meant less often
        alike = np.where(alike < 1, alike * KNOWN, 1)
    return np.where(alike >= WORD_LIKENESS_MIN, alike**2, 0)


def _run_together(words: Words) -> list[str]:
    """Where no word is like one of the catalogue's: names whose letters without spaces are nearly the same ("goodmornign")."""
    names = _names()
    joined = "".join(words)[:LETTERS_LOOKED_AT]
    alike = process.cdist([joined], [text.replace(" ", "") for text in names.texts], scorer=fuzz.ratio)[0] / 100
    ranked = [at for at in np.argsort(-alike, kind="stable") if alike[at] >= RUN_TOGETHER_MIN][:SUGGESTED * 4]
    return list(dict.fromkeys(names.exercises[names.of_alias[at]] for at in ranked))


def _by_initials(words: Words) -> list[str]:
    least, most = INITIALS
    return _initials().get(words[0], []) if len(words) == 1 and least <= len(words[0]) <= most else []


@tables.per_catalogue
def _initials() -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for alias in by_key().values():
        initials = "".join(word[0] for word in alias.words)
        if alias.exercise not in found.setdefault(initials, []):
            found[initials].append(alias.exercise)
    return found


@tables.per_catalogue
def _names() -> _Names:
    keys = by_key()
    exercises = list(tables.exercises()["exercise_id"])
    place = {exercise: at for at, exercise in enumerate(exercises)}
    vocabulary = sorted({word for key in keys for word in key})
    column = {word: at for at, word in enumerate(vocabulary)}
    aliases = np.zeros((len(keys), len(vocabulary)), dtype="float32", order="F")
    for at, key in enumerate(keys):
        aliases[at, [column[word] for word in key]] = 1
    of_alias = np.array([place[alias.exercise] for alias in keys.values()])
    wholes = np.zeros((len(exercises), len(vocabulary)), dtype="float32", order="F")
    for at, exercise in enumerate(of_alias):
        wholes[exercise] = np.maximum(wholes[exercise], aliases[at])
    for row in tables.exercises().itertuples():
        things = {word.removesuffix("s") for option in tables.equipment_options(row.equipment) for thing in option for word in thing.split("_")}
        wholes[place[row.exercise_id], [column[thing] for thing in things if thing in column]] = 1
    texts = [" ".join(alias.words) for alias in keys.values()]
    weights = np.array([_weight(word) for word in vocabulary])
    usual = np.minimum(np.bincount(of_alias, minlength=len(exercises)) / USUAL_NAMES, 1)
    return _Names(
        vocabulary, frozenset(vocabulary), weights, _telling(vocabulary), aliases, texts, aliases @ weights, of_alias, wholes, exercises, usual
    )


def _telling(vocabulary: list[str]) -> np.ndarray:
    things = (_words_in("equipment") | _words_in("handle")) - _words_in("movement")
    return np.array([word not in things for word in vocabulary])


def _weight(word: str) -> float:
    """By the first kind that has the word, alone or in a phrase ('pull' of 'pull up')."""
    return next((weight for kind, weight in WEIGHTS.items() if word in _words_in(kind)), WEIGHT_ELSE)


@cache
def _words_in(kind: str) -> frozenset[str]:
    return frozenset(word for phrase in phrases(kind) for word in phrase)
