"""The id of a head, a part or an exercise that somebody wrote by its id, its anatomical name or the coach's word for it."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from rapidfuzz import fuzz, process

from etl import tables
from etl.own.what import OwnExercise
from etl.refusal import Refusal

OFFERED, LIKENESS_MIN = 3, 55  # [D] names that are offered for one that is not known, and how like it they must be, of 100
Words = dict[str, str]  # word in small letters -> id; words that stand for several ids are not among them


def head(written: str, where: str) -> str:
    """The id of a head. Raises Refusal, with the heads that are like it, for one that does not exist."""
    table = tables.heads()
    return _found(written, where, "head", _words(zip(table["head_id"], table["ta_name"], table["common_name"], strict=True)), "heads.csv")


def part(written: str, where: str) -> str:
    """The id of a part that has a band."""
    table = tables.parts()
    return _found(written, where, "part", _words(zip(table["part_id"], table["coach_word"], strict=True)), "parts.csv")


def exercise(written: str, where: str, more: Iterable[OwnExercise] = ()) -> str:
    """The id of an exercise of the catalogue in use, or of `more`."""
    table = tables.exercises()
    rows = [*zip(table["exercise_id"], table["name"], strict=True), *((one.exercise_id, one.name) for one in more)]
    return _found(written, where, "exercise", _words(rows), "exercises.csv")


def one_of(written: str, where: str, what: str, allowed: Iterable[str]) -> str:
    """One of a column's allowed values."""
    return _found(written, where, what, _words((value,) for value in allowed), "etl/catalogue/README.md")


def _words(rows: Iterable[tuple[str, ...]]) -> Words:
    found: dict[str, set[str]] = {}
    for identifier, *words in rows:
        for word in (identifier, *words):
            found.setdefault(word.casefold(), set()).add(identifier)
    return {word: next(iter(ids)) for word, ids in found.items() if len(ids) == 1}


def _found(written: str, where: str, what: str, words: Words, table: str) -> str:
    said = " ".join(written.split()).casefold()
    for key in (said, said.replace(" ", "_")):
        if key in words:
            return words[key]
    shown = written.strip()[:80]
    like = _like(said, words)
    raise Refusal(f"There is no {what} '{shown}'" if shown else f"No {what} is named", where,
                  f"Did you mean {_listed(like)}?" if like else f"{table} lists what there is.")


def _like(said: str, words: Words, scorer: Callable[..., float] = fuzz.token_set_ratio) -> list[str]:
    near = process.extract(said.replace("_", " "), {word: word.replace("_", " ") for word in words}, scorer=scorer, limit=OFFERED * 3,
                           score_cutoff=LIKENESS_MIN) if said else []
    return list(dict.fromkeys(words[word] for _, _, word in near))[:OFFERED]


def _listed(texts: list[str]) -> str:
    return texts[0] if len(texts) == 1 else f"{', '.join(texts[:-1])} or {texts[-1]}"
