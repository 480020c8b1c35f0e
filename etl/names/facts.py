"""What the catalogue says about an exercise, as the rules for its names ask for it."""

from __future__ import annotations

from functools import cache
from typing import Any

from etl import tables

ONE_LOAD = {"barbell", "ez_bar", "bodyweight"}  # loads that one side alone cannot lift as the other does


@tables.per_catalogue
def _exercises() -> dict[str, Any]:
    return {row.exercise_id: row for row in tables.exercises().itertuples()}


def exercise_of(exercise_id: str) -> Any:
    """The row of exercises.csv."""
    return _exercises()[exercise_id]


def usual(exercise: Any, modifier: str) -> str:
    """The value that the credits assume; "" for none."""
    return tables.modifier_pairs(exercise.default_modifiers).get(modifier, "")


def options(exercise: Any) -> list[frozenset[str]]:
    """The sets of things of which any one is enough to do it with."""
    return tables.equipment_options(exercise.equipment)


def used(exercise: Any) -> set[str]:
    """The things that any way of doing it needs, in the singular."""
    return {thing.removesuffix("s") for option in options(exercise) for thing in option}


def in_pairs(exercise: Any) -> bool:
    """Whether it may be done with a dumbbell in each hand."""
    return any("dumbbells" in option for option in options(exercise))


def one_load_only(exercise: Any) -> bool:
    """Whether both sides always share one load."""
    return all(option & ONE_LOAD for option in options(exercise))


@cache
def known_widths() -> frozenset[str]:
    """Exercises that variants.csv knows a width of the grip of."""
    rows = tables.variants().query("modifier == 'grip_width'").itertuples()
    return frozenset(exercise for row in rows for exercise in tables.listed(row.applies_to))


@cache
def known_variants(exercise_id: str, pattern: str) -> frozenset[tuple[str, str]]:
    """(modifier, value) of the rows of variants.csv for the exercise or its pattern."""
    rows = tables.variants().itertuples()
    return frozenset((row.modifier, row.value) for row in rows if {exercise_id, f"pattern:{pattern}"} & set(tables.listed(row.applies_to)))


@tables.per_catalogue
def _direct_heads() -> dict[str, list[str]]:
    return tables.credits().query("credit == 1").groupby("exercise_id")["head_id"].agg(list).to_dict()


@tables.per_catalogue
def direct_muscles(exercise_id: str) -> frozenset[str]:
    """The muscles that it trains directly."""
    muscles = tables.heads().set_index("head_id")["muscle"]
    return frozenset(muscles[_direct_heads().get(exercise_id, [])])


@tables.per_catalogue
def uses_arms(exercise_id: str) -> bool:
    """Whether a prime mover acts on the upper limb."""
    region = tables.heads().set_index("head_id")["region"]
    return bool((region[_direct_heads().get(exercise_id, [])] == "upper limb").any())
