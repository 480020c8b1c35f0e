"""The id of a head, a part or an exercise that somebody wrote by its id, its anatomical name or the coach's word for it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cache

from rapidfuzz import fuzz, process

from etl import tables
from etl.names import Matcher
from etl.own.what import OwnExercise
from etl.refusal import Refusal

OFFERED, LIKENESS_MIN = 3, 55  # [D] names that are offered for one that is not known, and how like it they must be, of 100
FEW = 12  # [D] values that a message lists whole
SHOWN = 80  # [D] letters of what was written that a message repeats
Words = dict[str, str]  # word in small letters -> id; words that stand for several ids are not among them


def head(written: str, where: str) -> str:
    """The id of a head. Raises Refusal, with the heads that are like it, for one that does not exist, and for a part that has several."""
    table = tables.parts()
    of_part = dict(zip(table["part_id"], table["heads"], strict=True)).get(_parts().get(_plain(written), ""), "")
    if "|" in of_part and _plain(written) not in _heads():
        raise Refusal(f"'{written.strip()[:SHOWN]}' has several heads", where, f"Name one of them: {', '.join(tables.listed(of_part))}.")
    return _found(written, where, "head", _heads(), "The page Exercises lists the heads")


@cache
def _heads() -> Words:
    table, parts = tables.heads(), tables.parts()
    words = zip(table["head_id"], table["ta_name"], table["common_name"], strict=True)
    alone = ((heads, word) for heads, word in zip(parts["heads"], parts["coach_word"], strict=True) if "|" not in heads)
    return _words([*words, *alone])


def part(written: str, where: str) -> str:
    """The id of a part that has a band."""
    return _found(written, where, "part", _parts(), "The page Balance lists the parts")


@cache
def _parts() -> Words:
    table = tables.parts()
    return _words(zip(table["part_id"], table["coach_word"], strict=True))


def part_or_exercise(written: str, where: str) -> str:
    """The id of a part or of an exercise; a word for both is the part's. Raises Refusal as `exercise` does."""
    return _parts().get(_plain(written)) or exercise(written, where)


def exercise(written: str, where: str, more: tuple[OwnExercise, ...] = ()) -> str:
    """The id of an exercise of the catalogue in use, or of `more`: by its id or name, or written as a log may write it."""
    try:
        return _found(written, where, "exercise", _exercises(more), "The page Exercises lists them")
    except Refusal as refusal:
        (match,) = Matcher.from_catalogue().match([written])
        if match.exercise and not match.modifiers and not match.side:
            return match.exercise
        like = [match.exercise] if match.exercise else list(match.suggestions)
        raise Refusal(refusal.what, where, f"Did you mean {_listed(like)}?") if like else refusal from None


@tables.per_catalogue(maxsize=2)  # without more, and with those of the table that is being read
def _exercises(more: tuple[OwnExercise, ...]) -> Words:
    table = tables.exercises()
    return _words([*zip(table["exercise_id"], table["name"], strict=True), *((one.exercise_id, one.name) for one in more)])


def modifiers(written: str, where: str) -> str:
    """Modifiers as the store keeps them: 'k=v;k=v', keys in alphabetical order."""
    if any("=" not in pair for pair in written.split(";") if pair.strip()):
        raise Refusal(f"'{written[:SHOWN]}' is not of the form key=value;key=value", where, "Write, for instance, grip=neutral.")
    return tables.modifier_text(tables.modifier_pairs(written))


def one_of(written: str, where: str, what: str, allowed: Iterable[str]) -> str:
    """One of a column's allowed values. Raises Refusal that lists them, or those that are like what was written."""
    values = sorted(allowed)
    listed = f"It is one of: {', '.join(values)}" if len(values) <= FEW else f"Such as: {', '.join(values[:: len(values) // FEW])}"
    return _found(written, where, what, _words((value,) for value in values), listed)


def _words(rows: Iterable[tuple[str, ...]]) -> Words:
    found: dict[str, set[str]] = {}
    for identifier, *words in rows:
        for word in (identifier, *words):
            found.setdefault(word.casefold(), set()).add(identifier)
    return {word: next(iter(ids)) for word, ids in found.items() if len(ids) == 1}


def _plain(written: str) -> str:
    return " ".join(written.split()).casefold()


def _found(written: str, where: str, what: str, words: Words, where_listed: str) -> str:
    said = _plain(written)
    for key in (said, said.replace(" ", "_"), said.removesuffix("s")):
        if key in words:
            return words[key]
    shown = written.strip()[:SHOWN]
    like = _like(said, words)
    raise Refusal(f"There is no {what} '{shown}'" if shown else f"No {what} is named", where,
                  f"Did you mean {_listed(like)}?" if like else f"{where_listed}.")


def _like(said: str, words: Words, scorer: Callable[..., float] = fuzz.token_set_ratio) -> list[str]:
    near = process.extract(said.replace("_", " "), {word: word.replace("_", " ") for word in words}, scorer=scorer, limit=OFFERED * 3,
                           score_cutoff=LIKENESS_MIN) if said else []
    return list(dict.fromkeys(words[word] for _, _, word in near))[:OFFERED]


def _listed(texts: list[str]) -> str:
    return texts[0] if len(texts) == 1 else f"{', '.join(texts[:-1])} or {texts[-1]}"
