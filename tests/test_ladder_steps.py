"""Ladders: whole from the first step to the last, and each step says what lets a person on it and off it."""

import pandas as pd
import pytest

from dashboard.standing.next_week import next_step
from etl import tables

EXERCISES = tables.exercises().set_index("exercise_id", drop=False)
STEPS = tables.ladder_steps().set_index("exercise_id", drop=False)
LADDERS = tables.ladders()
ON = EXERCISES[EXERCISES["ladder_id"] != ""]
AMOUNTS = ("sets", "reps", "s")
DIRECTIONS = ("horizontal", "vertical")

# README.md, "ladders.csv": holds 3 x 20-30 s, lowering only 3 x 5, else the top of the usual range on three sets.
SETS, HOLD_S, LOWERING_REPS = 3, (20, 30), 5


def entries() -> list[tuple[str, str]]:
    """(step, one of the exercises from which it is entered)."""
    return [(row.exercise_id, below) for row in STEPS.itertuples() for below in tables.listed(row.enter_from)]


def asked(row: pd.Series, side: str) -> tuple[float, ...]:
    """(sets, repetitions, seconds) of `enter` or `leave`, -1 where there is none."""
    return tuple(-1.0 if pd.isna(value := row[f"{side}_{amount}"]) else float(value) for amount in AMOUNTS)


def height(exercise: str) -> tuple[str, float]:
    return EXERCISES.loc[exercise, "ladder_id"], EXERCISES.loc[exercise, "ladder_step"]


def main_line(ladder: str) -> list[str]:
    """The exercises of a ladder from its first step on, for as long as each is entered from the one before."""
    own = ON[ON["ladder_id"] == ladder].sort_values("ladder_step")["exercise_id"].tolist()
    line = own[:1]
    for exercise in own[1:]:
        if line[-1] not in tables.listed(STEPS.loc[exercise, "enter_from"]):
            break
        line.append(exercise)
    return line


def test_every_step_has_its_rules_and_no_other_exercise_has():
    assert set(STEPS.index) == set(ON.index)


@pytest.mark.parametrize("ladder", LADDERS["ladder_id"])
def test_a_ladder_starts_at_one_and_has_no_gap(ladder):
    steps = sorted(ON.loc[ON["ladder_id"] == ladder, "ladder_step"])
    assert len(steps) > 1 and steps == list(range(1, len(steps) + 1))


def test_every_ladder_says_what_it_leads_to():
    assert (LADDERS[["name", "aim", "source_id", "where_in_source"]] != "").all(axis=None)
    assert LADDERS["name"].is_unique and LADDERS["aim"].is_unique


def test_a_step_is_entered_from_an_earlier_one_or_from_a_step_of_another_ladder():
    for exercise, below in entries():
        assert below in STEPS.index, (exercise, below)
        (ladder, step), (other, lower) = height(exercise), height(below)
        assert ladder != other or lower < step, (exercise, below)


def test_only_first_steps_have_nothing_below_them():
    bare = STEPS.index[STEPS["enter_from"] == ""]
    assert (EXERCISES.loc[bare, "ladder_step"] == 1).all()
    assert STEPS.loc[bare, [f"enter_{amount}" for amount in AMOUNTS]].isna().all(axis=None)


def test_no_ladder_bites_its_own_tail():
    """Going down from any step comes to an end: no two steps wait for one another, through whichever ladders."""
    below = {exercise: set(tables.listed(STEPS.loc[exercise, "enter_from"])) for exercise in STEPS.index}
    settled: set[str] = set()
    while ready := {exercise for exercise, needs in below.items() if needs <= settled} - settled:
        settled |= ready
    assert settled == set(STEPS.index)


def test_what_lets_a_person_on_is_what_lets_them_off_the_step_below():
    """Of several exercises below, the amounts are those of the first; where another's differ, `enter_also` says them."""
    for exercise, below in entries():
        step, lower = STEPS.loc[exercise], STEPS.loc[below]
        same, first = asked(step, "enter") == asked(lower, "leave"), tables.listed(step["enter_from"])[0]
        assert same or (below != first and f"3 x {lower['leave_reps']:.0f}" in step["enter_also"]), (exercise, below)
        assert lower["leave_also"] in step["enter_also"], (exercise, below)


def test_a_step_that_leads_on_says_when_and_a_last_one_does_not():
    led_from = {below for _, below in entries()}
    has_leave = STEPS["leave_sets"].notna()
    assert set(STEPS.index[has_leave]) == led_from
    assert set(STEPS.loc[~has_leave, "leave_also"]) <= {"", "add load"}


@pytest.mark.parametrize("side", ["enter", "leave"])
def test_holds_are_managed_in_seconds_and_the_rest_in_repetitions(side):
    rows = STEPS[STEPS[f"{side}_sets"].notna()]
    reps, seconds = rows[f"{side}_reps"].notna(), rows[f"{side}_s"].notna()
    assert (reps != seconds).all()
    managed = rows["exercise_id"] if side == "leave" else rows["enter_from"].str.split("|").str[0]
    assert ((EXERCISES.loc[managed, "mode"] == "hold").to_numpy() == seconds.to_numpy()).all()
    assert STEPS.loc[STEPS[f"{side}_sets"].isna(), [f"{side}_reps", f"{side}_s"]].isna().all(axis=None)


def test_steps_are_left_at_the_top_of_the_range_by_one_rule():
    for exercise, row in STEPS[STEPS["leave_sets"].notna()].iterrows():
        known = EXERCISES.loc[exercise]
        assert row["leave_sets"] == SETS, exercise
        if known["mode"] == "hold":
            assert HOLD_S[0] <= row["leave_s"] <= HOLD_S[1], exercise
        else:
            assert row["leave_reps"] == (LOWERING_REPS if known["mostly_eccentric"] == "yes" else known["reps_high"]), exercise


def test_each_rule_has_its_mark_and_source():
    assert set(STEPS["mark"]) <= {"P", "C", "D"}
    assert (STEPS["where_in_source"] != "").all()
    assert (STEPS.loc[STEPS["mark"] == "C", "source_id"] == "trade_convention").all()
    assert (STEPS.loc[STEPS["mark"] == "D", "source_id"] == "catalogue_decision").all()


@pytest.mark.parametrize("ladder", ["push_up", "close_push_up", "handstand_push_up", "bodyweight_triceps", "horizontal_pull"])
def test_the_load_never_falls_on_the_way_up(ladder):
    """Ebben 2011, doi:10.1519/JSC.0b013e31820c8587 (second hand): hands 61 cm up 41 % of body mass, on the knees 49, hands 30 cm up
    55, floor 64, feet 30 and 61 cm up 70 and 74. So a push-up on the knees comes after one with the hands 61 cm up and before the
    lower edge. Melrose & Dawes 2015 (abstract) for rows; the others are estimates in the same order.
    """
    shares = EXERCISES.loc[main_line(ladder), "bodymass_share"]
    once = shares[~EXERCISES.loc[shares.index, "laterality"].isin(["unilateral", "alternating"])]
    assert once.is_monotonic_increasing and len(once) > 1


def test_the_push_up_ladder_stands_in_the_order_of_ebben_2011():
    order = "wall_push_up incline_push_up knee_push_up low_incline_push_up push_up low_feet_elevated_push_up feet_elevated_push_up".split()
    assert main_line("push_up") == order
    assert EXERCISES.loc[order, "bodymass_share"].is_monotonic_increasing


@pytest.mark.parametrize("ladder", LADDERS["ladder_id"])
def test_no_ladder_mixes_horizontal_and_vertical(ladder):
    patterns = set(ON.loc[ON["ladder_id"] == ladder, "movement_pattern"])
    assert len({direction for direction in DIRECTIONS for pattern in patterns if direction in pattern}) <= 1


def test_pushing_and_pulling_meet_in_the_muscle_up_only():
    """Straight arms apart: from a hang behind the back the arms first pull and then press."""
    bent = ON[~ON["movement_pattern"].str.contains("straight-arm")]
    for ladder, patterns in bent.groupby("ladder_id")["movement_pattern"]:
        both = {word for word in ("push", "pull") if patterns.str.contains(word).any()}
        assert len(both) < 2 or ladder == "muscle_up", ladder


@pytest.mark.parametrize(
    ("ladder", "order"),
    # The order of the trade [C].
    [
        ("vertical_pull", "dead_hang scapular_pull_up band_assisted_pull_up negative_pull_up pull_up weighted_pull_up archer_pull_up "
                          "one_arm_pull_up"),
        ("muscle_up", "chest_to_bar_pull_up negative_muscle_up muscle_up"),
        ("front_lever", "tuck_front_lever advanced_tuck_front_lever one_leg_front_lever straddle_front_lever front_lever"),
        ("back_lever", "german_hang skin_the_cat tuck_back_lever advanced_tuck_back_lever straddle_back_lever back_lever"),
        ("planche", "planche_lean tuck_planche advanced_tuck_planche straddle_planche full_planche"),
        ("l_sit", "foot_supported_l_sit tuck_l_sit one_leg_l_sit l_sit v_sit"),
        ("handstand_push_up", "pike_push_up elevated_pike_push_up partial_handstand_push_up negative_handstand_push_up "
                              "wall_handstand_push_up freestanding_handstand_push_up"),
        ("handstand", "elevated_pike_hold wall_handstand_hold chest_to_wall_handstand freestanding_handstand"),
        ("dip", "bench_dip straight_bar_support_hold band_assisted_dip negative_dip dip ring_dip"),
        ("nordic", "sliding_leg_curl band_assisted_nordic_curl nordic_negative nordic_curl"),
        ("shrimp_squat", "assisted_shrimp_squat skater_squat shrimp_squat two_hand_shrimp_squat"),
        ("chin_up", "band_assisted_chin_up negative_chin_up chin_up weighted_chin_up one_arm_chin_up"),
        ("dragon_flag", "tuck_dragon_flag one_leg_dragon_flag negative_dragon_flag dragon_flag"),
        ("squat_to_pistol", "box_squat_bodyweight bodyweight_squat assisted_pistol_squat single_leg_box_squat pistol_squat "
                            "weighted_pistol_squat"),
    ],
)  # fmt: skip
def test_the_steps_stand_in_the_usual_order(ladder, order):
    named = order.split()
    assert (EXERCISES.loc[named, "ladder_id"] == ladder).all()
    assert EXERCISES.loc[named, "ladder_step"].is_monotonic_increasing


def test_loaded_forms_are_ends_of_their_ladder_or_branches():
    """A weighted form comes after the same exercise without a load."""
    for exercise in ON.index[ON.index.str.startswith("weighted_")]:
        (below,) = tables.listed(STEPS.loc[exercise, "enter_from"])
        assert below == exercise.removeprefix("weighted_"), exercise


def test_the_planner_goes_up_where_a_step_says_that_it_is_entered_from():
    """A branch (rings, added load) leads nowhere by itself, and the step with the next number is not always the next."""
    assert next_step("push_up") == "low_feet_elevated_push_up"
    assert next_step("ring_push_up") == "" and next_step("no_ladder_at_all") == ""
    for row in STEPS.itertuples():
        above = next_step(row.exercise_id)
        assert not above or row.exercise_id in tables.listed(STEPS.set_index("exercise_id").loc[above, "enter_from"])
