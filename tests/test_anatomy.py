"""The heads against published anatomy, and every prime mover against what its exercise asks of the joints."""

import pytest

from etl import tables
from tests import joint_actions

HEADS = tables.heads().set_index("head_id", drop=False)
EXERCISES = tables.exercises().set_index("exercise_id", drop=False)
CREDITS = tables.credits()
DIRECT = CREDITS[CREDITS["credit"] == 1]

# Terminologia Anatomica, 1998, chapter A04: numbers and Latin terms of heads and parts (read in a transcription).
TERMS = {
    "deltoid": {"A04.6.02.003": "pars clavicularis", "A04.6.02.004": "pars acromialis", "A04.6.02.005": "pars spinalis"},
    "biceps brachii": {"A04.6.02.014": "caput longum", "A04.6.02.015": "caput breve"},
    "triceps brachii": {"A04.6.02.020": "caput longum", "A04.6.02.021": "caput laterale", "A04.6.02.022": "caput mediale"},
    "trapezius": {"A04.3.01.002": "pars descendens", "A04.3.01.003": "pars transversa", "A04.3.01.004": "pars ascendens"},
    "pectoralis major": {"A04.4.01.003": "pars clavicularis", "A04.4.01.004": "pars sternocostalis", "A04.4.01.005": "pars abdominalis"},
    "quadriceps femoris": {
        "A04.7.02.018": "musculus rectus femoris", "A04.7.02.021": "musculus vastus lateralis",
        "A04.7.02.022": "musculus vastus intermedius", "A04.7.02.023": "musculus vastus medialis",
    },
    "biceps femoris": {"A04.7.02.033": "caput longum", "A04.7.02.034": "caput breve"},
    "gastrocnemius": {"A04.7.02.045": "caput laterale", "A04.7.02.046": "caput mediale"},
    "erector spinae": {
        "A04.3.02.005": "musculus iliocostalis", "A04.3.02.010": "musculus longissimus", "A04.3.02.015": "musculus spinalis",
    },
}  # fmt: skip

# Moore, Dalley & Agur, Clinically Oriented Anatomy (from memory): the two compartments of the forearm, 8 muscles and 12 with anconeus.
FOREARM = {
    "forearm, anterior compartment": "pronator_teres flexor_carpi_radialis palmaris_longus flexor_carpi_ulnaris "
                                     "flexor_digitorum_superficialis flexor_digitorum_profundus flexor_pollicis_longus pronator_quadratus",
    "forearm, posterior compartment": "brachioradialis extensor_carpi_radialis_longus extensor_carpi_radialis_brevis extensor_digitorum "
                                      "extensor_digiti_minimi extensor_carpi_ulnaris anconeus supinator abductor_pollicis_longus "
                                      "extensor_pollicis_brevis extensor_pollicis_longus extensor_indicis",
}  # fmt: skip

# The same textbook (from memory): who belongs to which group.
GROUPS = {
    "rotator cuff": "supraspinatus infraspinatus teres_minor subscapularis",
    "gluteals": "gluteus_maximus gluteus_medius gluteus_minimus tensor_fasciae_latae",
    "hip adductors": "adductor_magnus adductor_longus adductor_brevis pectineus gracilis",
    "hamstrings": "biceps_femoris_long_head biceps_femoris_short_head semitendinosus semimembranosus",
    "abdominals": "rectus_abdominis external_oblique internal_oblique transversus_abdominis",
    "elbow flexors": "biceps_brachii_long_head biceps_brachii_short_head brachialis",
    "elbow extensors": "triceps_brachii_long_head triceps_brachii_lateral_head triceps_brachii_medial_head",
}  # fmt: skip

# The same textbook (from memory): joints over which a muscle acts, more than one and one only.
TWO_JOINTS = {
    ("hip", "knee"): "rectus_femoris sartorius gracilis biceps_femoris_long_head semitendinosus semimembranosus",
    ("knee", "ankle"): "gastrocnemius_medial_head gastrocnemius_lateral_head",
    ("shoulder", "elbow"): "biceps_brachii_long_head biceps_brachii_short_head triceps_brachii_long_head",
    ("elbow", "forearm"): "biceps_brachii_long_head biceps_brachii_short_head brachioradialis pronator_teres",
    ("wrist", "elbow"): "extensor_carpi_radialis_longus",
    ("finger", "wrist"): "flexor_digitorum_superficialis flexor_digitorum_profundus extensor_digitorum",
    ("scapular", "neck"): "trapezius_descending",
}  # fmt: skip
ONE_JOINT = {
    "knee": "vastus_lateralis vastus_medialis vastus_intermedius biceps_femoris_short_head", "ankle": "soleus",
    "elbow": "brachialis triceps_brachii_lateral_head triceps_brachii_medial_head", "hip": "gluteus_maximus adductor_longus iliacus",
}  # fmt: skip


def joints(head: str) -> set[str]:
    return {action.split()[0] for action in HEADS.loc[head, "main_actions"].split(", ")}


# --- names ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("muscle", TERMS)
def test_heads_are_those_of_terminologia_anatomica_with_their_numbers(muscle):
    own = HEADS[HEADS["muscle"] == muscle].set_index("ta98_id")["ta_latin"]
    assert set(own.index) == set(TERMS[muscle])
    for number, term in TERMS[muscle].items():
        assert own[number].startswith(term)


def test_every_head_has_an_english_a_latin_and_a_coachs_name():
    assert (HEADS[["ta_name", "ta_latin", "ta98_id", "common_name"]] != "").all(axis=None)
    assert HEADS["ta98_id"].str.fullmatch(r"A04\.\d\.\d{2}\.\d{3}").all()
    for column in ("ta_name", "ta_latin", "ta98_id"):
        assert HEADS[column].is_unique, column
    assert HEADS["ta_latin"].str.match("musculus |musculi |caput |pars ").all()
    assert HEADS["common_name"].str.split().str.len().le(2).all()


def test_the_latin_of_a_head_names_its_muscle():
    of_a_muscle = HEADS[HEADS["ta_latin"].str.match("caput |pars ")]
    assert of_a_muscle["ta_latin"].str.contains(" musculi ").all()
    assert (HEADS["ta_name"].str.contains(",") == HEADS["ta_latin"].str.contains(" musculi ")).all()


def test_numbers_of_the_limbs_and_the_trunk_are_in_their_chapters():
    """A04.6 upper limb, A04.7 lower limb, A04.2 neck, A04.3 back, A04.4 thorax, A04.5 abdomen."""
    chapter = HEADS["ta98_id"].str[:5]
    assert (chapter[HEADS["region"] == "lower limb"] == "A04.7").all()
    assert set(chapter[HEADS["region"] == "upper limb"]) == {"A04.3", "A04.4", "A04.6"}
    assert set(chapter[HEADS["region"] == "trunk"]) == {"A04.2", "A04.3", "A04.5"}


# --- counts --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("compartment", FOREARM)
def test_against_the_textbook_the_twenty_muscles_of_the_forearm_are_all_there(compartment):
    assert set(HEADS.index[HEADS["muscle_group"] == compartment]) == set(FOREARM[compartment].split())


def test_twenty_in_all_and_each_does_something_for_a_group_or_is_a_group_of_its_own():
    named = {head for heads in FOREARM.values() for head in heads.split()}
    groups = tables.forearm_groups()
    assert len(named) == 20 and named <= set(groups["head_id"])
    assert set(groups["head_id"]) <= set(HEADS.index)


@pytest.mark.parametrize("group", GROUPS)
def test_against_the_textbook_each_group_has_its_muscles(group):
    assert set(HEADS.index[HEADS["muscle_group"] == group]) == set(GROUPS[group].split())


def test_three_hamstring_muscles_are_four_heads():
    assert HEADS[HEADS["muscle_group"] == "hamstrings"]["muscle"].nunique() == 3


# --- actions -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("pair", TWO_JOINTS, ids=" and ".join)
def test_muscles_over_two_joints_act_on_both(pair):
    for head in TWO_JOINTS[pair].split():
        assert set(pair) <= joints(head), head


@pytest.mark.parametrize("joint", ONE_JOINT)
def test_muscles_over_one_joint_act_on_that_alone(joint):
    for head in ONE_JOINT[joint].split():
        assert joints(head) == {joint}, head


def test_every_movement_pattern_says_what_it_asks_of_the_joints():
    bare = {pattern.removesuffix(" hold") for pattern in EXERCISES["movement_pattern"]}
    assert bare - set(joint_actions.ACTIONS) == set()


def test_every_action_that_is_asked_is_an_action_of_some_head():
    known = set().union(*(joint_actions.strong(actions) for actions in HEADS["main_actions"]))
    asked = set().union(*(joint_actions.worked(pattern) for pattern in joint_actions.ACTIONS))
    assert asked <= known


def test_no_head_is_the_prime_mover_of_what_it_cannot_do():
    """Credit 1 needs an action, not a weak one, that the pattern or the exercise asks for."""
    wrong = []
    for row in DIRECT.itertuples():
        asked = joint_actions.worked(EXERCISES.loc[row.exercise_id, "movement_pattern"]) | joint_actions.asked_beside(row.exercise_id)
        if not asked & joint_actions.strong(HEADS.loc[row.head_id, "main_actions"]):
            wrong.append((row.exercise_id, row.head_id))
    assert wrong == []


def test_every_exception_is_needed_and_has_a_reason():
    for exercise, (actions, reason) in joint_actions.ALSO.items():
        assert len(reason.split()) >= 3 and actions
        if exercise not in EXERCISES.index:
            continue
        assert joint_actions.asked_beside(exercise) - joint_actions.worked(EXERCISES.loc[exercise, "movement_pattern"]), exercise


@pytest.mark.parametrize(
    ("exercise", "never"),
    # By the joints they cross (the same textbook, from memory): what must not be a prime mover, in plain words.
    [
        ("leg_extension", "biceps_femoris_long_head gluteus_maximus soleus"),
        ("seated_leg_curl", "vastus_lateralis gluteus_maximus rectus_femoris"),
        ("seated_calf_raise", "gastrocnemius_medial_head gastrocnemius_lateral_head tibialis_anterior"),
        ("lying_triceps_extension", "biceps_brachii_long_head deltoid_acromial"),
        ("barbell_curl", "triceps_brachii_long_head deltoid_clavicular"), ("palm_up_wrist_curl", "extensor_carpi_ulnaris"),
        ("hip_thrust", "vastus_lateralis soleus"), ("dumbbell_lateral_raise", "latissimus_dorsi"),
    ],
)  # fmt: skip
def test_heads_that_cross_no_joint_of_an_exercise_do_not_lead_it(exercise, never):
    assert set(never.split()).isdisjoint(DIRECT.loc[DIRECT["exercise_id"] == exercise, "head_id"])


# --- sizes ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("muscle", ["deltoid", "pectoralis major", "biceps brachii", "triceps brachii"])
def test_shares_by_force_and_fibre_length_are_worked_out_from_them(muscle):
    own = HEADS[HEADS["muscle"] == muscle]
    product = own["max_isometric_force_n"] * own["optimal_fibre_length_cm"]
    assert (product / product.sum()).to_list() == pytest.approx(own["share_in_muscle"].to_list(), abs=0.011)


@pytest.mark.parametrize("group", ["quadriceps", "hamstrings"])
def test_shares_by_volume_are_worked_out_from_the_volumes(group):
    """Handsfield 2014, regression at 70 kg and 1.75 m (second hand)."""
    own = HEADS[HEADS["muscle_group"] == group]
    assert (own["volume_cm3"] / own["volume_cm3"].sum()).to_list() == pytest.approx(own["share_in_muscle"].to_list(), abs=0.011)


def test_the_deltoid_is_the_share_of_the_limb_that_holzbaur_2007_found():
    """J Biomech 40:742-749 (abstract): 15.2 % of the volume of the upper limb's muscles, which was 1427 to 4426 cm3 in ten people."""
    whole = HEADS.loc["deltoid_acromial", "volume_cm3"] / 0.152
    assert 1427 < whole < 4426
    single = HEADS[(HEADS["volume_source_id"] == "holzbaur_2007")].drop_duplicates("muscle")
    assert single["volume_cm3"].idxmax() == "deltoid_clavicular"  # the largest of all, and its first row stands for the muscle
    assert single["volume_cm3"].sum() < whole * 1.1


def test_gastrocnemius_and_soleus_lie_near_fukunaga_1992():
    """J Orthop Res 10:928-934 (as noted in heads.csv): medial 245, lateral 140, soleus 489 cm3."""
    for head, measured in {"gastrocnemius_medial_head": 245, "gastrocnemius_lateral_head": 140, "soleus": 489}.items():
        assert HEADS.loc[head, "volume_cm3"] == pytest.approx(measured, rel=0.12)
