"""The catalogue as a whole: nothing that can be trained is left bare, and one movement is credited one way."""

import re

import pytest

from etl import tables

EXERCISES = tables.exercises().set_index("exercise_id", drop=False)
CREDITS = tables.credits()
PARTS = tables.parts().set_index("part_id", drop=False)
LEAST = {"main": 5, "small": 2}  # decided: exercises of which a part is the prime mover, so that equipment leaves a choice
REASON_WORDS = 3
# Words of a name that change with what it is done with, on how many limbs and with what added, and not with the movement. Rings and
# straps are not among them (they move), nor is the body as the load (it takes the place of a bench or a bar).
SAME_MOVEMENT = re.compile(
    r"\b(band-assisted|machine-assisted|barbell|dumbbells?|kettlebells?|cable|machine|banded|band|ez-bar|plate|guided-bar|weighted|loaded|"
    r"single-arm|one-arm|single-leg|one-leg|alternating)\b"
)
# Where the tool brings another posture or path with it, and so another movement under a like name.
ANOTHER = {
    "dumbbell_row": "the free hand is propped, so the back does not hold the trunk",
    "kettlebell_row": "the free hand is propped, as in a dumbbell row",
    "machine_row": "the chest rests on a pad, so the back does not hold the trunk",
    "machine_curl": "the arms lie on a pad, as in a preacher curl",
    "barbell_hack_squat": "the bar is lifted from the floor behind the legs", "kettlebell_deadlift": "the weight stands between the feet",
    "machine_back_extension": "the trunk moves against a pad while sitting", "machine_hip_abduction": "done sitting, hips bent",
    "machine_hip_adduction": "done sitting, hips bent", "kettlebell_snatch": "one arm, from a swing and not from the floor",
}  # fmt: skip


def own_credits(exercise: str) -> dict[str, float]:
    rows = CREDITS[CREDITS["exercise_id"] == exercise]
    return dict(zip(rows["head_id"], rows["credit"], strict=True))


def bare_name(name: str) -> str:
    """'single-arm cable row' as 'row': what is left is the movement, as far as words can tell."""
    return " ".join(SAME_MOVEMENT.sub(" ", name.casefold()).split())


def together(column: str) -> dict[str, list[str]]:
    """Value of a column -> the exercises that have it, where they are two or more."""
    groups = EXERCISES.groupby(column)["exercise_id"].agg(list)
    return {value: ids for value, ids in groups.items() if len(ids) > 1 and value}


@pytest.mark.parametrize("part", PARTS["part_id"])
def test_every_part_has_exercises_enough_of_which_it_is_the_prime_mover(part):
    direct = CREDITS[(CREDITS["credit"] == 1) & CREDITS["head_id"].isin(tables.listed(PARTS.loc[part, "heads"]))]["exercise_id"].nunique()
    assert direct >= LEAST[PARTS.loc[part, "size"]]


def test_no_exercise_is_without_a_prime_mover():
    assert set(EXERCISES.index) == set(CREDITS.loc[CREDITS["credit"] == 1, "exercise_id"])


def test_every_exercise_says_which_movement_it_is():
    assert (EXERCISES["movement"] != "").all()


def test_one_movement_has_one_set_of_credits_unless_it_says_why():
    """Without a reason all of a movement agree; with one they differ from all that have none."""
    wrong = []
    for movement, ids in together("movement").items():
        plain = [exercise for exercise in ids if not EXERCISES.loc[exercise, "differs_because"]]
        wrong += [(movement, plain[0], other) for other in plain[1:] if own_credits(other) != own_credits(plain[0])]
    assert wrong == []


def test_where_a_reason_stands_the_credits_do_differ():
    idle = []
    for exercise in EXERCISES.index[EXERCISES["differs_because"] != ""]:
        alike = EXERCISES[(EXERCISES["movement"] == EXERCISES.loc[exercise, "movement"]) & (EXERCISES["differs_because"] == "")]
        idle += [(exercise, other) for other in alike["exercise_id"] if own_credits(other) == own_credits(exercise)]
        idle += [(exercise, "alone in its movement")] if alike.empty else []
    assert idle == []


def test_a_reason_is_a_sentence_and_not_a_word():
    reasons = EXERCISES.loc[EXERCISES["differs_because"] != "", "differs_because"]
    assert reasons.str.split().str.len().ge(REASON_WORDS).all()


def test_names_that_differ_only_in_equipment_sides_or_load_are_one_movement():
    named: dict[str, list[str]] = {}
    for exercise, name in EXERCISES["name"].items():
        if exercise not in ANOTHER:
            named.setdefault(bare_name(name), []).append(exercise)
    apart = {name: ids for name, ids in named.items() if EXERCISES.loc[ids, "movement"].nunique() > 1}
    assert apart == {}


@pytest.mark.parametrize("exercise", sorted(set(ANOTHER) & set(EXERCISES.index)))
def test_another_movement_under_a_like_name_has_a_reason(exercise):
    assert len(ANOTHER[exercise].split()) >= REASON_WORDS


@pytest.mark.parametrize(
    ("name", "left"),
    [
        ("single-arm cable row", "row"), ("Weighted pull-up", "pull-up"), ("band-assisted Nordic curl", "nordic curl"),
        ("ring push-up", "ring push-up"),
    ],
)  # fmt: skip
def test_a_name_is_stripped_to_its_movement(name, left):
    assert bare_name(name) == left
