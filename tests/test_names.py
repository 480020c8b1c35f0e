"""Exercise names: what must match, what must not, and what a name says beside the exercise."""

import doctest

import pytest

from etl import tables
from etl.names import Matcher, normalise_name, words

MATCHER = Matcher.from_catalogue()


def one(name, decisions=None):
    matcher = Matcher.from_catalogue(decisions) if decisions else MATCHER
    return matcher.match([name])[0]


def test_every_name_and_alias_of_the_catalogue_finds_its_exercise():
    aliases = tables.aliases()
    for row, match in zip(aliases.itertuples(), MATCHER.match(aliases["alias"]), strict=True):
        assert match.exercise == tables.same_exercise(row.exercise_id, row.modifiers)[0], row.alias


@pytest.mark.parametrize(
    ("name", "exercise"),
    [
        ("DB Curl", "dumbbell_curl"), ("curl, dumbbell", "dumbbell_curl"), ("Curl (Dumbbell)", "dumbbell_curl"),
        ("dumbbell curls", "dumbbell_curl"), ("PULL-UPS", "pull_up"), ("pullups", "pull_up"), ("Pull Up", "pull_up"),
        ("Push ups", "push_up"), ("press-ups", "push_up"), ("Chin ups", "chin_up"), ("rdl", "romanian_deadlift"),
        ("DL", "deadlift"), ("Barbell Deadlift", "deadlift"), ("SL RDL", "single_leg_romanian_deadlift"),
        ("KB swings", "swing"), ("Lat pull-downs", "lat_pulldown"), ("Skull-crushers", "lying_triceps_extension"),
        ("Triceps push down", "triceps_pressdown"), ("tricep pushdown", "triceps_pressdown"), ("Cable flyes", "cable_fly"),
        ("Élévation latérale", None), ("Farmer's walk", "farmers_carry"), ("L-Sit", "l_sit"), ("BW squat", "bodyweight_squat"),
        ("Bulgarian split squats", "rear_foot_elevated_split_squat"), ("hämmer curl", "hammer_curl"),
        ("machine leg press", "leg_press"), ("face pull (cable)", "face_pull"), ("strict pull-up", "pull_up"),
    ],
)  # fmt: skip
def test_spelling_word_order_and_abbreviations_do_not_matter(name, exercise):
    assert one(name).exercise == exercise


@pytest.mark.parametrize(
    ("name", "exercise"),
    [
        ("bench press", "barbell_bench_press"), ("squat", "barbell_back_squat"), ("row", "barbell_row"),
        ("overhead press", "standing_barbell_overhead_press"), ("OHP", "standing_barbell_overhead_press"),
        ("bent-over row", "barbell_row"), ("lateral raise", "dumbbell_lateral_raise"), ("biceps curl", "dumbbell_curl"),
        ("curl", "dumbbell_curl"), ("pulldown", "lat_pulldown"),
    ],
)  # fmt: skip
def test_a_bare_trade_name_is_its_usual_form_and_says_so(name, exercise):
    match = one(name)
    assert match.exercise == exercise
    called = tables.exercises().set_index("exercise_id").loc[exercise, "name"]
    assert match.assumed == f"'{name}' read as {called}"


def test_a_full_name_assumes_nothing():
    assert one("barbell bench press").assumed == ""
    assert one("dumbbell curl").assumed == ""


@pytest.mark.parametrize("name", ["triceps extension", "tricep extensions", "leg raise", "kickback", "press", "raise"])
def test_where_the_forms_of_a_family_differ_the_name_waits(name):
    match = one(name)
    assert match.exercise is None and match.assumed == ""


@pytest.mark.parametrize(
    ("name", "never"),
    [
        ("leg curl", "dumbbell_curl"), ("reverse fly", "dumbbell_fly"), ("close-grip bench press", "barbell_bench_press"),
        ("single-leg curl", "dumbbell_curl"), ("cable bench press", "barbell_bench_press"), ("dumbbell squat", "barbell_back_squat"),
        ("seated pull-up", "pull_up"), ("one-arm pull-up", "pull_up"), ("smith machine squat", "barbell_back_squat"),
        ("high to low cable fly", "low_to_high_cable_fly"), ("reverse curl", "barbell_curl"), ("barbell lunge", "forward_lunge"),
        ("wrist curl", "dumbbell_curl"), ("reverse wrist curl", "palm_up_wrist_curl"), ("bench pres", "barbell_bench_press"),
        ("leg press calf raise", "leg_press"), ("band squat", "barbell_back_squat"), ("leg extension", "lying_triceps_extension"),
    ],
)  # fmt: skip
def test_nothing_near_is_taken_silently(name, never):
    assert one(name).exercise != never


@pytest.mark.parametrize(
    ("name", "exercise", "modifiers", "side"),
    [
        ("wide-grip bench press", "barbell_bench_press", "grip_width=wide", ""),
        ("bench press, wide grip", "barbell_bench_press", "grip_width=wide", ""),
        ("Wide grip pull-ups", "pull_up", "grip_width=wide", ""),
        ("seated dumbbell curl", "dumbbell_curl", "stance=seated", ""),
        ("seated barbell overhead press", "standing_barbell_overhead_press", "stance=seated", ""),
        ("mixed-grip deadlift", "deadlift", "grip=mixed", ""),
        ("paused squat", "barbell_back_squat", "pause=yes", ""),
        ("wide-grip curl", "barbell_curl", "grip_width=wide", ""),
        ("reverse-grip bench press", "barbell_bench_press", "grip=supinated", ""),
        ("Dumbbell curl (L)", "dumbbell_curl", "", "left"),
        ("right dumbbell curl", "dumbbell_curl", "", "right"),
        ("dumbbell row each side", "dumbbell_row", "", "both"),
        ("left side plank", "side_plank", "", "left"),
        ("single-arm cable lateral raise right", "cable_lateral_raise", "", "right"),
        ("single-leg leg press", "leg_press", "laterality=unilateral", ""),
        ("alternating hammer curl", "hammer_curl", "laterality=alternating", ""),
    ],
)
def test_grip_stance_and_side_in_a_name_are_kept(name, exercise, modifiers, side):
    match = one(name)
    assert (match.exercise, match.modifiers, match.side) == (exercise, modifiers, side)


@pytest.mark.parametrize(
    ("one_name", "other"),
    [
        ("neutral-grip dumbbell curl", "hammer curl"), ("dumbbell curl, neutral grip", "DB hammer curls"),
        ("pronated barbell curl", "reverse curl"), ("underhand pull-up", "chin-up"), ("narrow push-up", "diamond push-up"),
        ("close grip barbell bench press", "CGBP"), ("reverse-grip pulldown", "underhand lat pulldown"),
    ],
)  # fmt: skip
def test_two_names_of_one_exercise_come_out_as_one(one_name, other):
    first, second = MATCHER.match([one_name, other])
    assert first.exercise is not None
    assert (first.exercise, first.modifiers) == (second.exercise, second.modifiers)


def test_a_typing_slip_is_suggested_and_never_accepted():
    match = one("bench pres")
    assert match.exercise is None and match.suggestions[0] == "barbell_bench_press"


def test_suggestions_are_at_most_three_known_exercises_and_absent_where_nothing_is_like_it():
    known = set(tables.exercises()["exercise_id"])
    for name in ("triceps extension", "dumbbell squat", "seated dip", "lateral rise", "barbell lunge"):
        found = one(name).suggestions
        assert set(found) <= known and 1 <= len(found) <= 3 and len(set(found)) == len(found)
    assert one("running").suggestions == ()


def test_a_decision_goes_first_and_says_nothing_assumed():
    decisions = {normalise_name("Press (bar)"): ("push_press", ""), normalise_name("Squat"): ("front_squat", "pause=yes")}
    assert one("press BAR", decisions).exercise == "push_press"
    squat = one("SQUAT", decisions)
    assert (squat.exercise, squat.modifiers, squat.assumed) == ("front_squat", "pause=yes", "")


def test_a_decision_for_an_exercise_that_is_gone_is_passed_over():
    assert one("deadlift", {"deadlift": ("no_such_exercise", "")}).exercise == "deadlift"


def test_the_normal_form_of_a_name_keeps_word_order_and_other_scripts():
    """It is the identity of a set: two exercises must not fall together, and no word list may change it."""
    assert normalise_name(" Bench-Press ") == normalise_name("bench press") == "bench press"
    assert normalise_name("High to low fly") != normalise_name("Low to high fly")
    assert normalise_name("Приседания") == "приседания"
    assert normalise_name("Développé  couché") == "developpe couche"
    assert normalise_name("--") != normalise_name("++")


def test_odd_names_never_fail():
    for name in ("", " ", "()", "l", "left", "wide grip", "single arm", "💪", "a" * 2000, "wide " * 400, "left right left right l r both sides"):
        assert one(name).exercise is None


def test_one_match_per_name_in_the_same_order():
    names = ["squat", "nothing like it", "squat", "dip"]
    assert [match.name for match in MATCHER.match(names)] == names


def test_the_examples_in_the_docstrings():
    result = doctest.testmod(words)
    assert result.attempted > 0 and result.failed == 0
