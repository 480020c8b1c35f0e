"""When a phrase may be left out of an exercise's name, and what it says then: grip, stance, side, one limb at a time.

A name is never matched to something near: a word is left out only if it says nothing else about the exercise
that remains. 'cable bench press' is no barbell bench press; 'single-leg curl' is no arm curl. These rules are
conventions of the trade [C] unless marked otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

from etl import tables
from etl.names.facts import direct_muscles, exercise_of, in_pairs, one_load_only, used, uses_arms, usual
from etl.names.index import Alias, by_key
from etl.names.left_out import Choice, Phrase
from etl.names.modifiers import modifier_fits
from etl.names.words import Words, key_of, words_of

LEVEL = {"horizontal push", "horizontal adduction"}  # patterns with a flat, an inclined and a declined form
CARRIED = {"dumbbell", "kettlebell", "plate"}  # what an exercise with added load may be loaded with


@dataclass(frozen=True)
class Said:
    """What the words that were left out said."""

    modifiers: dict[str, str] = field(default_factory=dict)
    side: str = ""


def said(choice: Choice, alias: Alias, rest: Words) -> Said | None:
    """What the phrases say about this alias' exercise; None if one of them cannot be left out of the name."""
    told: Said | None = Said()
    for phrase in choice:
        told = _RULES[phrase.kind](phrase, alias, rest, told)
        if told is None:
            return None
    return None if alias.family_default and _another(alias, told) else told


def _another(alias: Alias, told: Said) -> bool:
    """A bare trade name with a grip that makes another exercise of it: 'pronated curl' may be any of three."""
    pairs = tables.modifier_text(tables.modifier_pairs(alias.modifiers) | told.modifiers)
    return tables.same_exercise(alias.exercise, pairs)[0] != alias.exercise


def _modifier(phrase: Phrase, alias: Alias, _rest: Words, told: Said) -> Said | None:
    exercise = exercise_of(alias.exercise)
    name, value = phrase.read_as.split("=")
    if name == "straps" and phrase.start == 0:  # a strap row is done in straps, a row with straps is not
        return None
    if name == "hands" and not uses_arms(exercise.exercise_id):  # a wide grip at a deadlift is no wide stance
        return None
    if name in ("width", "hands"):
        name = _width_name(exercise)
    if name in told.modifiers or not modifier_fits(name, value, exercise, alias):
        return None
    if value in words_of(exercise.name) or (name == "straps" and "strap" in used(exercise)):  # 'standing' is in the exercise's own name
        return told
    if value == "reversed":
        value = "supinated" if usual(exercise, "grip") != "supinated" else "pronated"
    if value == "away":
        value = "pronated"
    return replace(told, modifiers=told.modifiers | {name: value})


def _width_name(exercise: Any) -> str:
    if not uses_arms(exercise.exercise_id):
        return "stance_width"
    return "hand_width" if exercise.load_basis == "body" and "push" in exercise.movement_pattern else "grip_width"


def _side(phrase: Phrase, alias: Alias, _rest: Words, told: Said) -> Said | None:
    exercise = exercise_of(alias.exercise)
    fits = exercise.laterality != "bilateral" or (exercise.load_basis == "external" and not one_load_only(exercise))
    if told.side or (phrase.read_as != "both" and not fits):
        return None
    return replace(told, side=phrase.read_as)


def _limb(phrase: Phrase, alias: Alias, _rest: Words, told: Said) -> Said | None:
    """One arm or leg at a time, or both. With one's own weight that is another exercise, so it may not be left out."""
    exercise, read_as = exercise_of(alias.exercise), phrase.read_as
    together = read_as.startswith("both")
    limb = read_as.removeprefix("both_")
    as_usual = "bilateral" if together else {"alternating": "alternating"}.get(read_as, "unilateral")
    if limb in ("arm", "leg") and (limb == "arm") != uses_arms(exercise.exercise_id):
        return None
    if exercise.laterality == as_usual:
        return told
    if together or exercise.load_basis == "body" or one_load_only(exercise):
        return None
    if alias.family_default and as_usual == "unilateral" and in_pairs(exercise):  # one hand is as usual at the cable
        return None
    return replace(told, modifiers=told.modifiers | {"laterality": as_usual})


def _equipment(phrase: Phrase, alias: Alias, _rest: Words, told: Said) -> Said | None:
    exercise, wanted = exercise_of(alias.exercise), set(tables.listed(phrase.read_as))
    if wanted == {"bodyweight"}:
        return told if exercise.load_basis == "body" else None
    things = used(exercise)
    return told if wanted & (things | (CARRIED if "added_load" in things else set())) else None


def _handle(phrase: Phrase, alias: Alias, rest: Words, told: Said) -> Said | None:
    """What hangs at the cable. A rope turns the hands to each other where the exercise has a usual grip."""
    exercise = exercise_of(alias.exercise)
    if exercise.equipment != "cable":  # 'bar row' may hang under the bar or lift it
        return None if alias.family_default else _equipment(phrase, alias, rest, told)
    if phrase.read_as == "rope" and usual(exercise, "grip"):
        return replace(told, modifiers=told.modifiers | {"grip": "neutral"}) if "grip" not in told.modifiers else None
    return told


def _muscle(phrase: Phrase, alias: Alias, rest: Words, told: Said) -> Said | None:
    """'biceps' says nothing more of a curl that trains the biceps; of a leg curl it would. A bare name gets no muscle."""
    movements, muscles = (set(tables.listed(part)) for part in phrase.read_as.split("="))
    silent = movements & set(rest) and muscles & direct_muscles(alias.exercise) and not alias.family_default
    return told if silent else None


def _flat(_phrase: Phrase, alias: Alias, _rest: Words, told: Said) -> Said | None:
    exercise = exercise_of(alias.exercise)
    level = exercise.movement_pattern in LEVEL and "bench" in exercise.equipment
    return told if level and not {"incline", "decline"} & set(words_of(exercise.name)) else None


def _hold(_phrase: Phrase, alias: Alias, _rest: Words, told: Said) -> Said | None:
    exercise = exercise_of(alias.exercise)
    return told if exercise.mode == "hold" and exercise.movement_pattern != "carry" else None


def _filler(_phrase: Phrase, _alias: Alias, _rest: Words, told: Said) -> Said | None:
    return told


def _added_load(_phrase: Phrase, alias: Alias, _rest: Words, told: Said) -> Said | None:
    """Load on top of the body is in the log's load, unless the catalogue has the loaded form as one of its own."""
    exercise = exercise_of(alias.exercise)
    return told if exercise.load_basis == "body" and key_of(("weighted", *words_of(exercise.name))) not in by_key() else None


def _belt(_phrase: Phrase, alias: Alias, _rest: Words, told: Said) -> Said | None:
    """A lifting belt says nothing; with one's own weight a belt carries a load."""
    return told if exercise_of(alias.exercise).load_basis == "external" else None


_RULES = {
    "modifier": _modifier, "side": _side, "limb": _limb, "equipment": _equipment, "handle": _handle, "muscle": _muscle,
    "flat": _flat, "hold": _hold, "filler": _filler, "added_load": _added_load, "belt": _belt,
}  # fmt: skip
