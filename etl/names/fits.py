"""When a phrase may be left out of an exercise's name, and what it says then: grip, stance, side, one limb at a time.

A name is never matched to something near: a word is left out only if it says nothing else about the exercise
that remains. 'cable bench press' is no barbell bench press; 'single-leg curl' is no arm curl. These rules are
conventions of the trade [C] unless marked otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cache
from typing import Any

from etl import tables
from etl.names.index import Alias, by_key
from etl.names.left_out import Choice, Phrase
from etl.names.words import Words, key_of, words_of

ONE_LOAD = {"barbell", "ez_bar", "bodyweight"}  # loads that one side alone cannot lift as the other does
FREE_PRESS_OR_LEGS = {"squat", "lunge", "hinge", "horizontal push", "incline push", "hip extension"}
ON_A_BENCH = {"horizontal adduction", "shoulder extension", "elbow extension", "horizontal pull", "horizontal abduction"}
LYING = {"lying", "prone", "supine", "floor"}  # words of names in which nobody sits or stands
HELD_UP = {"vertical pull", "hang"}  # where straps tie the body to a bar; elsewhere a body in straps is suspended
LEVEL = {"horizontal push", "horizontal adduction"}  # patterns with a flat, an inclined and a declined form
TWO_HANDED = ("push", "pull", "elbow", "hang", "scapular", "hinge")  # movements in which the width of the grip is chosen
FREE = {"barbell", "dumbbell", "dumbbells"}  # bent over, nobody sits
HELD_IN_HANDS = {"hinge", "carry"}  # no work of the arms, but a grip
STANCE_CHOSEN = {"squat", "hinge", "hip extension", "plantarflexion"}  # movements with a wide and a narrow stance
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
    exercise = _exercise(alias.exercise)
    name, value = phrase.read_as.split("=")
    default = tables.modifier_pairs(exercise.default_modifiers)
    if name == "hands" and not _uses_arms(exercise.exercise_id):  # a wide grip at a deadlift is no wide stance
        return None
    if name in ("width", "hands"):
        name = _width_name(exercise)
    if not _MODIFIER_FITS.get(name, _always)(value, exercise, alias) or name in told.modifiers:
        return None
    if value in words_of(exercise.name):  # 'standing' is in the exercise's own name
        return told
    if value == "reversed":
        value = "supinated" if default.get("grip", "") != "supinated" else "pronated"
    return replace(told, modifiers=told.modifiers | {name: value})


def _width_name(exercise: Any) -> str:
    if not _uses_arms(exercise.exercise_id):
        return "stance_width"
    return "hand_width" if exercise.load_basis == "body" and "push" in exercise.movement_pattern else "grip_width"


def _always(_value: str, _exercise: Any, _alias: Alias) -> bool:
    return True


def _grip_fits(value: str, exercise: Any, _alias: Alias) -> bool:
    """Where the hands hold something; no straight bar can be held with the palms facing each other."""
    if not _uses_arms(exercise.exercise_id) and exercise.movement_pattern not in HELD_IN_HANDS:
        return False
    return value != "neutral" or not all(option & {"barbell", "ez_bar"} for option in _options(exercise))


def _grip_width_fits(value: str, exercise: Any, _alias: Alias) -> bool:
    """Only where the hands hold something apart; dumbbells have no width, unless the catalogue says what it does.

    A bench press with the hands close is an exercise of its own, at any angle of the bench.
    """
    if value == "narrow" and exercise.movement_pattern.endswith("push") and "barbell" in exercise.equipment:
        return False
    free = all(option & {"dumbbells", "dumbbell"} for option in _options(exercise))
    chosen = not free and any(movement in exercise.movement_pattern for movement in TWO_HANDED)
    return chosen or exercise.exercise_id in _known_widths()


def _stance_fits(value: str, exercise: Any, alias: Alias) -> bool:
    """Sitting or kneeling changes how an outer load is lifted; with one's own weight it is another exercise."""
    default = tables.modifier_pairs(exercise.default_modifiers).get("stance", "")
    machine = "machine" in exercise.equipment
    if value == default:
        return True
    if exercise.load_basis == "body" or LYING & set(words_of(exercise.name)) or exercise.movement_pattern == "knee flexion":
        return False
    if machine and default:  # another machine
        return False
    if exercise.movement_pattern == "horizontal pull" and any(option & FREE for option in _options(exercise)):
        return False
    if alias.family_default and exercise.movement_pattern == "vertical push":  # seated, dumbbells are as usual as a bar
        return False
    if "bench" in exercise.equipment and (value != "seated" or exercise.movement_pattern in ON_A_BENCH):
        return False
    return value == "standing" or machine or exercise.movement_pattern not in FREE_PRESS_OR_LEGS


def _angle_fits(_value: str, exercise: Any, _alias: Alias) -> bool:
    return exercise.movement_pattern == "incline push" and "bench" in exercise.equipment


def _stance_width_fits(_value: str, exercise: Any, _alias: Alias) -> bool:
    return exercise.movement_pattern in STANCE_CHOSEN


def _bar_position_fits(_value: str, exercise: Any, _alias: Alias) -> bool:
    return exercise.movement_pattern == "squat" and "barbell" in exercise.equipment


def _straps_fit(_value: str, exercise: Any, _alias: Alias) -> bool:
    return exercise.load_basis == "external" or exercise.movement_pattern in HELD_UP


def _side(phrase: Phrase, alias: Alias, _rest: Words, told: Said) -> Said | None:
    exercise = _exercise(alias.exercise)
    fits = exercise.laterality != "bilateral" or (exercise.load_basis == "external" and not _one_load_only(exercise))
    if told.side or (phrase.read_as != "both" and not fits):
        return None
    return replace(told, side=phrase.read_as)


def _limb(phrase: Phrase, alias: Alias, _rest: Words, told: Said) -> Said | None:
    """One arm or leg at a time, or both. With one's own weight that is another exercise, so it may not be left out."""
    exercise, read_as = _exercise(alias.exercise), phrase.read_as
    together = read_as.startswith("both")
    limb = read_as.removeprefix("both_")
    as_usual = "bilateral" if together else {"alternating": "alternating"}.get(read_as, "unilateral")
    if limb in ("arm", "leg") and (limb == "arm") != _uses_arms(exercise.exercise_id):
        return None
    if exercise.laterality == as_usual:
        return told
    if together or exercise.load_basis == "body" or _one_load_only(exercise):
        return None
    return replace(told, modifiers=told.modifiers | {"laterality": as_usual})


def _equipment(phrase: Phrase, alias: Alias, _rest: Words, told: Said) -> Said | None:
    exercise, wanted = _exercise(alias.exercise), set(tables.listed(phrase.read_as))
    if wanted == {"bodyweight"}:
        return told if exercise.load_basis == "body" else None
    used = {thing.removesuffix("s") for option in _options(exercise) for thing in option}
    return told if wanted & (used | (CARRIED if "added_load" in used else set())) else None


def _handle(phrase: Phrase, alias: Alias, rest: Words, told: Said) -> Said | None:
    """What hangs at the cable. A rope turns the hands to each other where the exercise has a usual grip."""
    exercise = _exercise(alias.exercise)
    if exercise.equipment != "cable":  # 'bar row' may hang under the bar or lift it
        return None if alias.family_default else _equipment(phrase, alias, rest, told)
    if phrase.read_as == "rope" and "grip" in tables.modifier_pairs(exercise.default_modifiers):
        return replace(told, modifiers=told.modifiers | {"grip": "neutral"}) if "grip" not in told.modifiers else None
    return told


def _muscle(phrase: Phrase, alias: Alias, rest: Words, told: Said) -> Said | None:
    """'biceps' says nothing more of a curl that trains the biceps; of a leg curl it would. A bare name gets no muscle."""
    movements, muscles = (set(tables.listed(part)) for part in phrase.read_as.split("="))
    silent = movements & set(rest) and muscles & _direct_muscles(alias.exercise) and not alias.family_default
    return told if silent else None


def _flat(_phrase: Phrase, alias: Alias, _rest: Words, told: Said) -> Said | None:
    exercise = _exercise(alias.exercise)
    level = exercise.movement_pattern in LEVEL and "bench" in exercise.equipment
    return told if level and not {"incline", "decline"} & set(words_of(exercise.name)) else None


def _hold(_phrase: Phrase, alias: Alias, _rest: Words, told: Said) -> Said | None:
    exercise = _exercise(alias.exercise)
    return told if exercise.mode == "hold" and exercise.movement_pattern != "carry" else None


def _filler(_phrase: Phrase, _alias: Alias, _rest: Words, told: Said) -> Said | None:
    return told


def _added_load(_phrase: Phrase, alias: Alias, _rest: Words, told: Said) -> Said | None:
    """Load on top of the body is in the log's load, unless the catalogue has the loaded form as one of its own."""
    exercise = _exercise(alias.exercise)
    return told if exercise.load_basis == "body" and key_of(("weighted", *words_of(exercise.name))) not in by_key() else None


def _belt(_phrase: Phrase, alias: Alias, _rest: Words, told: Said) -> Said | None:
    """A lifting belt says nothing; with one's own weight a belt carries a load."""
    return told if _exercise(alias.exercise).load_basis == "external" else None


_RULES = {
    "modifier": _modifier, "side": _side, "limb": _limb, "equipment": _equipment, "handle": _handle, "muscle": _muscle,
    "flat": _flat, "hold": _hold, "filler": _filler, "added_load": _added_load, "belt": _belt,
}  # fmt: skip
_MODIFIER_FITS = {
    "bench_angle": _angle_fits, "bar_position": _bar_position_fits, "grip": _grip_fits, "grip_width": _grip_width_fits, "stance": _stance_fits,
    "stance_width": _stance_width_fits, "straps": _straps_fit,
}  # fmt: skip


@cache
def _exercises() -> dict[str, Any]:
    return {row.exercise_id: row for row in tables.exercises().itertuples()}


def _exercise(exercise_id: str) -> Any:
    return _exercises()[exercise_id]


def _options(exercise: Any) -> list[frozenset[str]]:
    return tables.equipment_options(exercise.equipment)


def _one_load_only(exercise: Any) -> bool:
    return all(option & ONE_LOAD for option in _options(exercise))


@cache
def _known_widths() -> frozenset[str]:
    rows = tables.variants().query("modifier == 'grip_width'").itertuples()
    return frozenset(exercise for row in rows for exercise in tables.listed(row.applies_to))


@cache
def _direct_heads() -> dict[str, list[str]]:
    return tables.credits().query("credit == 1").groupby("exercise_id")["head_id"].agg(list).to_dict()


@cache
def _direct_muscles(exercise_id: str) -> frozenset[str]:
    muscles = tables.heads().set_index("head_id")["muscle"]
    return frozenset(muscles[_direct_heads().get(exercise_id, [])])


@cache
def _uses_arms(exercise_id: str) -> bool:
    """Whether a prime mover acts on the upper limb."""
    region = tables.heads().set_index("head_id")["region"]
    return bool((region[_direct_heads().get(exercise_id, [])] == "upper limb").any())
