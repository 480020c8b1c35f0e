"""Which grip, width, stance, angle or cue in a name fits an exercise without making another one of it.

Conventions of the trade [C] unless marked otherwise.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from etl.names.facts import known_variants, known_widths, options, used, uses_arms, usual
from etl.names.index import Alias
from etl.names.words import words_of

FREE_PRESS_OR_LEGS = {"squat", "lunge", "hinge", "horizontal push", "incline push", "hip extension"}
ON_A_BENCH = {"horizontal adduction", "shoulder extension", "elbow extension", "horizontal pull", "horizontal abduction"}
STANCES = {"seated", "standing", "kneeling"}
LYING = {"lying", "prone", "supine", "floor"}  # words of names in which nobody sits or stands
HELD_UP = {"vertical pull", "hang"}  # where straps tie the body to a bar; elsewhere a body in straps is suspended
TWO_HANDED = ("push", "pull", "elbow", "hang", "scapular", "hinge")  # movements in which the width of the grip is chosen
FREE = {"barbell", "dumbbell", "dumbbells"}  # bent over, nobody sits
REACHING = ("push", "vertical pull")  # movements in which the hands are in front of the face or above it
HELD_IN_HANDS = {"hinge", "carry"}  # no work of the arms, but a grip
STRAPPED = ("pull", "hinge", "hang", "carry", "scapular elevation")  # movements in which the grip may give out first
STANCE_CHOSEN = {"squat", "hinge", "hip extension", "plantarflexion"}  # movements with a wide and a narrow stance


def modifier_fits(name: str, value: str, exercise: Any, alias: Alias) -> bool:
    """Whether the modifier may stand beside this exercise, which the alias names."""
    return _FITS.get(name, _always)(value, exercise, alias)


def _always(_value: str, _exercise: Any, _alias: Alias) -> bool:
    return True


def _grip_fits(value: str, exercise: Any, _alias: Alias) -> bool:
    """Where the hands hold something; no straight bar can be held with the palms facing each other.

    Palms that face away are pronated where the arms reach up or forward; with the arms hanging they would be supinated.
    """
    if not uses_arms(exercise.exercise_id) and exercise.movement_pattern not in HELD_IN_HANDS:
        return False
    if value == "away":
        return any(movement in exercise.movement_pattern for movement in REACHING)
    return value != "neutral" or not all(option & {"barbell", "ez_bar"} for option in options(exercise))


def _grip_width_fits(value: str, exercise: Any, _alias: Alias) -> bool:
    """Only where the hands hold something apart; dumbbells have no width, unless the catalogue says what it does.

    A bench press with the hands close is an exercise of its own, at any angle of the bench. Close hands where wide ones
    are usual take another handle, which may turn the palms.
    """
    if value == "narrow" and usual(exercise, "grip_width") == "wide":
        return False
    if value == "narrow" and exercise.movement_pattern.endswith("push") and "barbell" in exercise.equipment:
        return False
    free = all(option & {"dumbbells", "dumbbell"} for option in options(exercise))
    chosen = not free and any(movement in exercise.movement_pattern for movement in TWO_HANDED)
    return chosen or exercise.exercise_id in known_widths()


def _stance_fits(value: str, exercise: Any, alias: Alias) -> bool:
    """Sitting or kneeling changes how an outer load is lifted; with one's own weight it is another exercise."""
    default = usual(exercise, "stance")
    machine = "machine" in exercise.equipment
    if value == default:
        return True
    if alias.family_default and exercise.movement_pattern == "vertical push":  # seated, dumbbells are as usual as a bar
        return False
    if ("stance", value) in known_variants(exercise.exercise_id, exercise.movement_pattern):
        return True
    if STANCES & set(words_of(exercise.name)) - {value}:  # a seated cable row, standing
        return False
    if exercise.load_basis == "body" or LYING & set(words_of(exercise.name)) or exercise.movement_pattern == "knee flexion":
        return False
    if machine and default:  # another machine
        return False
    if exercise.movement_pattern == "horizontal pull" and any(option & FREE for option in options(exercise)):
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


def _known_to_matter(modifier: str) -> Callable[[str, Any, Alias], bool]:
    """Fits only where variants.csv knows what it does: elsewhere it may be a cue, or make another exercise of it."""
    return lambda value, exercise, _alias: (modifier, value) in known_variants(exercise.exercise_id, exercise.movement_pattern)


def _straps_fit(_value: str, exercise: Any, _alias: Alias) -> bool:
    """Straps tie the hands to what they pull or carry; a body that hangs in straps does another exercise, unless it is that one."""
    body_hung = exercise.load_basis == "body" and exercise.movement_pattern not in HELD_UP
    return "strap" in used(exercise) or (not body_hung and any(movement in exercise.movement_pattern for movement in STRAPPED))


_FITS: dict[str, Callable[[str, Any, Alias], bool]] = {
    "bench_angle": _angle_fits, "bar_position": _bar_position_fits, "grip": _grip_fits, "grip_width": _grip_width_fits, "stance": _stance_fits,
    "stance_width": _stance_width_fits, "straps": _straps_fit,
    **{name: _known_to_matter(name) for name in ("elbow_path", "fingers", "humerus_rotation")},
}  # fmt: skip
