"""Words that may be left out of a name - equipment, grip, stance, side - and when each of them may.

A name is never matched to something near: a word is left out only if it says nothing else about the exercise
that remains. 'cable bench press' is no barbell bench press; 'single-leg curl' is no arm curl.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cache
from itertools import combinations

import pandas as pd

from etl import tables
from etl.names.words import Words, phrases

MOST = 5  # [D] phrases left out of one name: more than any sensible name holds
MOST_WORDS = 12  # [D] a longer text is a sentence, not a name, and its ways grow without bound
KINDS = ("modifier", "side", "limb", "equipment", "filler", "added_load")
ONE_LOAD = {"barbell", "ez_bar", "bodyweight"}  # loads that one side alone cannot lift as the other does
FREE_PRESS_OR_LEGS = {"squat", "lunge", "hinge", "horizontal push", "incline push", "hip extension"}


@dataclass(frozen=True)
class Phrase:
    start: int
    size: int
    kind: str
    read_as: str


@dataclass(frozen=True)
class Said:
    """What the words that were left out said."""

    modifiers: dict[str, str] = field(default_factory=dict)
    side: str = ""


def ways(words: Words) -> Iterator[tuple[Words, tuple[Phrase, ...]]]:
    """(the words that remain, the phrases left out), fewest words left out first."""
    found = _occurrences(words) if len(words) <= MOST_WORDS else []
    chosen = [c for size in range(1, MOST + 1) for c in combinations(found, size) if _apart(c) and _size(c) < len(words)]
    for choice in sorted(chosen, key=_size):
        gone = {at for phrase in choice for at in range(phrase.start, phrase.start + phrase.size)}
        yield tuple(word for at, word in enumerate(words) if at not in gone), choice


def said(choice: tuple[Phrase, ...], exercise_id: str) -> Said | None:
    """What the phrases say about this exercise; None if one of them cannot be left out of its name."""
    exercise, told = _exercises().loc[exercise_id], Said()
    for phrase in choice:
        rule = {"modifier": _modifier, "side": _side, "limb": _limb, "equipment": _equipment}.get(phrase.kind)
        if rule is None:
            fits = phrase.kind == "filler" or exercise["load_basis"] == "body"
            more = told if fits else None
        else:
            more = rule(phrase.read_as, exercise, told)
        if more is None:
            return None
        told = more
    return told


def _modifier(read_as: str, exercise: pd.Series, told: Said) -> Said | None:
    name, value = read_as.split("=")
    if name == "width":
        name = "stance_width" if not _uses_arms(exercise["exercise_id"]) else _width_name(exercise)
    if name == "stance" and not _stance_fits(value, exercise):
        return None
    if value == "reversed":
        usual = tables.modifier_pairs(exercise["default_modifiers"]).get("grip", "")
        value = "supinated" if usual != "supinated" else "pronated"
    if name in told.modifiers:
        return None
    return replace(told, modifiers=told.modifiers | {name: value})


def _width_name(exercise: pd.Series) -> str:
    return "hand_width" if exercise["load_basis"] == "body" and "push" in exercise["movement_pattern"] else "grip_width"


def _stance_fits(value: str, exercise: pd.Series) -> bool:
    """Sitting or kneeling changes how an outer load is lifted; with one's own weight it is another exercise."""
    if exercise["load_basis"] == "body":
        return False
    return value == "standing" or "machine" in exercise["equipment"] or exercise["movement_pattern"] not in FREE_PRESS_OR_LEGS


def _side(read_as: str, exercise: pd.Series, told: Said) -> Said | None:
    if told.side or (read_as != "both" and not _one_side_fits(exercise)):
        return None
    return replace(told, side=read_as)


def _one_side_fits(exercise: pd.Series) -> bool:
    return exercise["laterality"] != "bilateral" or (exercise["load_basis"] == "external" and not _one_load_only(exercise))


def _limb(read_as: str, exercise: pd.Series, told: Said) -> Said | None:
    """One arm or leg at a time. With one's own weight that is another exercise, so it may not be left out."""
    as_usual = {"alternating": "alternating"}.get(read_as, "unilateral")
    if read_as in ("arm", "leg") and (read_as == "arm") != _uses_arms(exercise["exercise_id"]):
        return None
    if exercise["laterality"] == as_usual:
        return told
    if exercise["load_basis"] == "body" or _one_load_only(exercise):
        return None
    return replace(told, modifiers=told.modifiers | {"laterality": as_usual})


def _equipment(read_as: str, exercise: pd.Series, told: Said) -> Said | None:
    if read_as == "bodyweight":
        return told if exercise["load_basis"] == "body" else None
    used = {thing.removesuffix("s") for option in tables.equipment_options(exercise["equipment"]) for thing in option}
    return told if read_as in used else None


def _one_load_only(exercise: pd.Series) -> bool:
    return all(option & ONE_LOAD for option in tables.equipment_options(exercise["equipment"]))


@cache
def _exercises() -> pd.DataFrame:
    return tables.exercises().set_index("exercise_id", drop=False)


@cache
def _uses_arms(exercise_id: str) -> bool:
    """Whether a prime mover acts on the upper limb."""
    direct = tables.credits().query("credit == 1 and exercise_id == @exercise_id")["head_id"]
    region = tables.heads().set_index("head_id")["region"]
    return bool((region.loc[direct] == "upper limb").any())


def _occurrences(words: Words) -> list[Phrase]:
    table = phrases(*KINDS)
    sizes = range(1, max(map(len, table)) + 1)
    spans = ((at, size) for size in sizes for at in range(len(words) - size + 1))
    return [Phrase(at, size, *table[words[at : at + size]]) for at, size in spans if words[at : at + size] in table]


def _apart(choice: tuple[Phrase, ...]) -> bool:
    ordered = sorted(choice, key=lambda phrase: phrase.start)
    return all(a.start + a.size <= b.start for a, b in zip(ordered, ordered[1:], strict=False))


def _size(choice: tuple[Phrase, ...]) -> int:
    return sum(phrase.size for phrase in choice)
