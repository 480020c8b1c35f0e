"""The catalogue: whole and without contradictions."""

import doctest
import re
from pathlib import Path

import pytest

from etl import tables
from etl.names.words import key_of, words_of
from etl.refusal import Refusal

EXERCISES = tables.exercises().set_index("exercise_id", drop=False)
HEADS = tables.heads().set_index("head_id", drop=False)
CREDITS = tables.credits()

LOADERS = {
    "heads": tables.heads, "parts": tables.parts, "exercises": tables.exercises, "aliases": tables.aliases,
    "credits": tables.credits, "variants": tables.variants, "equivalents": tables.equivalents, "ladders": tables.ladders,
    "ladder_steps": tables.ladder_steps, "forearm_groups": tables.forearm_groups, "evidence": tables.evidence, "name_words": tables.name_words,
    "weight_on_wrists": tables.weight_on_wrists, "sources": tables.sources,
}
KEYS = {
    "heads": ["head_id"], "parts": ["part_id"], "exercises": ["exercise_id"], "aliases": ["alias"], "sources": ["source_id"],
    "credits": ["exercise_id", "head_id"], "variants": ["variant_id"], "ladders": ["ladder_id"], "evidence": ["claim_id"],
    "equivalents": ["exercise_id", "modifier", "value"], "forearm_groups": ["group_id", "head_id"],
    "name_words": ["written", "kind"], "weight_on_wrists": ["exercise_id"], "ladder_steps": ["exercise_id"],
}
ALLOWED = {
    "laterality": {"bilateral", "unilateral", "alternating"}, "mode": {"reps", "hold"}, "load_basis": {"external", "body"},
    "bodymass_share_mark": {"P", "C", "D", "E"}, "per_hand": {"yes", "no"}, "long_end": {"lower", "upper", "none"},
    "level": {"beginner", "intermediate", "advanced"}, "inverted": {"yes", "no"}, "mostly_eccentric": {"yes", "no"},
    "strength_estimate": {"yes", "no"}, "confidence": {"A", "B", "C"},
}


@pytest.mark.parametrize("name", KEYS)
def test_each_table_has_its_grain(name):
    assert not LOADERS[name]().duplicated(KEYS[name]).any()


@pytest.mark.parametrize("name", [name for name, load in LOADERS.items() if "source_id" in load().columns and name != "sources"])
def test_every_row_names_a_source_that_exists(name):
    assert set(LOADERS[name]()["source_id"]) <= set(tables.sources()["source_id"])


def test_the_other_source_columns_exist_too():
    known = set(tables.sources()["source_id"])
    assert set(EXERCISES["bodymass_share_source_id"]) <= known
    for column in ("volume_source_id", "architecture_source_id"):
        assert set(HEADS[column]) - {""} <= known


def test_every_source_says_what_it_is_and_how_far_it_was_read():
    sources = tables.sources()
    assert (sources[["citation", "licence"]] != "").all(axis=None)
    assert set(sources["checked"]) <= {"full_text", "abstract", "second_hand", "memory", "none"}
    doi = sources.loc[sources["doi"] != "", "doi"]
    assert doi.str.fullmatch(r"10\.\d{4,9}/\S+").all()


@pytest.mark.parametrize("column", ALLOWED)
def test_exercise_columns_hold_allowed_values_only(column):
    assert set(EXERCISES[column]) <= ALLOWED[column]


def test_every_exercise_has_a_prime_mover():
    direct = set(CREDITS.loc[CREDITS["credit"] == 1, "exercise_id"])
    assert set(EXERCISES.index) - direct == set()


def test_credits_join_known_exercises_and_heads_in_three_tiers():
    assert set(CREDITS["exercise_id"]) == set(EXERCISES.index)
    assert set(CREDITS["head_id"]) <= set(HEADS.index)
    assert set(CREDITS["credit"]) == {1.0, 0.5, 0.25}
    assert set(CREDITS["grade"]) == {"A", "B", "C"}


def test_grade_a_rests_on_a_statement_about_that_head():
    evidence = tables.evidence()
    claims = evidence.set_index("claim_id")["head_resolution"]
    for row in CREDITS[CREDITS["grade"] == "A"].itertuples():
        claim = re.match(r"E\d+", row.note)
        assert claim and not claims[claim[0]].startswith("whole"), (row.exercise_id, row.head_id)


def test_parts_hold_each_head_once_and_lie_in_their_heads_region():
    parts = tables.parts()
    members = [(row.region, head) for row in parts.itertuples() for head in tables.listed(row.heads)]
    assert len({head for _, head in members}) == len(members)
    assert all(HEADS.loc[head, "region"] == region for region, head in members)
    assert set(parts["size"]) == {"main", "small"}


def test_every_main_part_has_an_exercise_of_which_it_is_the_prime_mover():
    direct = set(CREDITS.loc[CREDITS["credit"] == 1, "head_id"])
    assert all(direct.intersection(tables.listed(heads)) for heads in tables.parts()["heads"])


def test_variants_equivalents_and_evidence_refer_to_what_exists():
    patterns = {f"pattern:{pattern}" for pattern in EXERCISES["movement_pattern"]}
    for row in tables.variants().itertuples():
        assert set(tables.listed(row.applies_to)) <= patterns | set(EXERCISES.index), row.variant_id
        assert row.head_id in HEADS.index and row.effect_type in ("recruitment", "response")
        assert 0 < row.multiplier <= 2
    equal = tables.equivalents()
    assert set(equal["exercise_id"]) | set(equal["same_as"]) <= set(EXERCISES.index)
    evidence = tables.evidence()
    named = {ref.split("@")[0] for ref in [*evidence["catalogue_ref_a"], *evidence["catalogue_ref_b"]]} - {""}
    assert named <= set(EXERCISES.index) and set(evidence["head_id"]) <= set(HEADS.index)


def test_no_equivalent_contradicts_the_exercise_it_leads_to():
    """Otherwise the same words would mean two things: an exercise led to by grip=neutral has that grip."""
    for row in tables.equivalents().itertuples():
        default = tables.modifier_pairs(EXERCISES.loc[row.same_as, "default_modifiers"])
        assert default.get(row.modifier, row.value) == row.value, (row.exercise_id, row.same_as)


def test_no_alias_means_two_exercises():
    meant: dict = {}
    for row in tables.aliases().itertuples():
        assert meant.setdefault(key_of(words_of(row.alias)), row.exercise_id) == row.exercise_id, row.alias


def test_every_exercise_has_exactly_one_name_and_only_defaults_are_assumed():
    aliases = tables.aliases()
    names = aliases[aliases["kind"] == "name"].set_index("exercise_id")["alias"]
    assert names.index.is_unique and names.to_dict() == EXERCISES["name"].to_dict()
    assert set(aliases["kind"]) == {"name", "alias", "family_default"}
    assert set(aliases["exercise_id"]) == set(EXERCISES.index)


def test_ladders_have_no_gaps_and_no_doubles():
    on = EXERCISES[EXERCISES["ladder_id"] != ""]
    assert set(on["ladder_id"]) == set(tables.ladders()["ladder_id"])
    for ladder, steps in on.groupby("ladder_id")["ladder_step"]:
        assert sorted(steps) == list(range(1, len(steps) + 1)), ladder


def test_weight_on_the_wrists_is_body_weight_and_of_exercises_that_exist():
    resting = tables.weight_on_wrists()["exercise_id"]
    assert set(resting) <= set(EXERCISES.index)
    assert (EXERCISES.loc[resting, "load_basis"] == "body").all()


def test_shares_of_body_mass_lie_between_nothing_and_a_little_more_than_all():
    assert EXERCISES["bodymass_share"].between(0, 1.1).all()
    external = EXERCISES[EXERCISES["load_basis"] == "external"]
    assert (external["bodymass_share"] == 0).all() and (external["bodymass_share_source_id"] == "as_written").all()


def test_loads_per_hand_are_pairs_of_dumbbells():
    """A doubled system load would double the body mass with it."""
    per_hand = EXERCISES["per_hand"] == "yes"
    by_body = EXERCISES[per_hand & (EXERCISES["load_basis"] == "body")]
    assert len(by_body) and by_body["equipment"].str.contains("dumbbells").all()
    assert EXERCISES.loc[["dumbbell_bench_press", "hammer_curl", "farmers_carry"], "per_hand"].eq("yes").all()


def test_bands_lowering_only_and_holds_give_no_strength_estimate():
    only_band = EXERCISES["equipment"].str.fullmatch(r"(.*\+)?band")
    none = only_band | (EXERCISES["mostly_eccentric"] == "yes") | (EXERCISES["mode"] == "hold")
    assert (EXERCISES.loc[none, "strength_estimate"] == "no").all()
    assert EXERCISES.loc["swing", "strength_estimate"] == "no"


def test_repetition_ranges_stand_where_repetitions_are_counted():
    counted = EXERCISES["mode"] == "reps"
    assert (EXERCISES.loc[counted, "reps_low"] < EXERCISES.loc[counted, "reps_high"]).all()
    assert EXERCISES.loc[~counted, ["reps_low", "reps_high"]].isna().all(axis=None)


def test_the_readme_explains_every_column():
    text = (Path(tables.__file__).parent / "catalogue" / "README.md").read_text("utf-8")
    columns = {column for load in LOADERS.values() for column in load().columns}
    assert not sorted(column for column in columns if f"`{column}`" not in text)


def test_confidence_is_that_of_the_studies_that_the_credits_rest_on():
    sources = tables.sources().set_index("source_id")
    studied = ~CREDITS["source_id"].isin(["textbook_kinesiology", *sources.index[sources["checked"] == "none"]])
    for exercise, own in CREDITS.assign(studied=studied).groupby("exercise_id"):
        row, count = EXERCISES.loc[exercise], int(own["studied"].sum())
        if count:
            said = f"{count} of {len(own)} credits rest on a study of the exercise"
            assert (row["confidence"], row["confidence_basis"]) == (own.loc[own["studied"], "grade"].min(), said), exercise
        else:
            assert row["confidence"] in ("B", "C") and "rest on a study" not in row["confidence_basis"], exercise


# --- credits as they were done --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("exercise", "modifiers", "same"),
    [
        ("dumbbell_curl", "grip=neutral", "hammer_curl"),
        ("dumbbell_curl", "grip=pronated", "dumbbell_reverse_curl"),
        ("barbell_curl", "grip=pronated", "reverse_curl"),
        ("hammer_curl", "grip=supinated", "dumbbell_curl"),
        ("pull_up", "grip=supinated", "chin_up"),
        ("barbell_bench_press", "grip_width=narrow", "close_grip_bench_press"),
    ],
)
def test_one_exercise_under_two_names_trains_the_same(exercise, modifiers, same):
    assert tables.same_exercise(exercise, modifiers) == (same, "")
    assert tables.modified_credits(exercise, modifiers) == tables.modified_credits(same)


def test_a_pronated_curl_trains_the_wrist_extensors():
    assert "extensor_carpi_radialis_longus" not in tables.modified_credits("barbell_curl")
    assert tables.modified_credits("barbell_curl", "grip=pronated")["extensor_carpi_radialis_longus"] == 0.5


@pytest.mark.parametrize("width", ["narrow", "wide"])
def test_curl_width_changes_nothing_as_there_is_no_evidence_of_a_difference(width):
    assert tables.modified_credits("barbell_curl", f"grip_width={width}") == tables.modified_credits("barbell_curl")
    rows = tables.variants().query("modifier == 'grip_width' and value == @width and applies_to.str.contains('barbell_curl')")
    assert len(rows) and rows["note"].str.startswith("no evidence of a difference").all()


def test_a_multiplier_counts_only_where_the_modifier_differs_from_the_default():
    plain = tables.modified_credits("standing_barbell_overhead_press")
    assert tables.modified_credits("standing_barbell_overhead_press", "stance=standing") == plain
    seated = tables.modified_credits("standing_barbell_overhead_press", "stance=seated")
    assert seated["deltoid_acromial"] == pytest.approx(0.9 * plain["deltoid_acromial"])


def test_no_credit_passes_one_or_appears_from_nothing():
    variants = tables.variants()
    said = {f"{row.modifier}={row.value}" for row in variants.itertuples()}
    for exercise in ("push_up", "dumbbell_bench_press", "incline_dumbbell_curl", "standing_calf_raise", "upright_row"):
        for modifier in said:
            as_done, _ = tables.same_exercise(exercise, modifier)
            changed, plain = tables.modified_credits(exercise, modifier), tables.modified_credits(as_done)
            assert set(changed) == set(plain) and max(changed.values()) <= 1


def test_length_and_range_change_no_credit():
    """Response rows (Maeo 2023, Pedrosa 2023, Kubo 2019) tell how growth answered; range counts once, in the set."""
    plain = tables.modified_credits("barbell_back_squat")
    assert tables.modified_credits("barbell_back_squat", "range=upper_half") == plain


def test_an_unknown_exercise_is_refused_in_words():
    with pytest.raises(Refusal, match="no_such_exercise"):
        tables.modified_credits("no_such_exercise")


def test_a_caller_cannot_change_the_table_of_the_next():
    table = tables.heads()
    table["muscle"] = "changed"
    assert "changed" not in set(tables.heads()["muscle"])


def test_the_examples_in_the_docstrings():
    result = doctest.testmod(tables)
    assert result.attempted > 0 and result.failed == 0
