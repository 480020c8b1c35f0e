"""Where each part of the body is, in everyday words: they stand beside the trade's and the anatomical names."""

from __future__ import annotations

from collections.abc import Iterable

from dashboard.sentences.numbers import begun

# Part id -> its place. A test holds that every part of the catalogue has one.
PLACES = {
    "deltoid_clavicular": "front of the shoulder", "deltoid_acromial": "side of the shoulder", "deltoid_spinal": "back of the shoulder",
    "cuff_external_rotators": "deep in the shoulder", "subscapularis": "deep in the shoulder",
    "biceps": "front of the upper arm", "brachialis": "front of the upper arm", "brachioradialis": "top of the forearm",
    "triceps_brachii_long_head": "back of the upper arm", "triceps_lateral_medial": "back of the upper arm",
    "wrist_flexors": "palm side of the forearm", "wrist_extensors": "back of the forearm", "pronators": "forearm",
    "supinators": "forearm", "finger_flexors": "fingers, closing the hand", "finger_extensors": "fingers, opening the hand",
    "pectoralis_major_clavicular_head": "below the collarbone", "chest_sternal": "middle and lower chest", "serratus_anterior": "ribs below the armpit",
    "lats": "sides of the back", "trapezius_descending": "between neck and shoulder", "mid_back": "between the shoulder blades",
    "trapezius_ascending": "below the shoulder blades", "spinal_erectors": "along the spine", "rectus_abdominis": "front of the belly",
    "obliques": "sides of the waist", "neck_flexors": "front of the neck", "neck_extensors": "back of the neck", "gluteus_maximus": "buttocks",
    "hip_abductors": "outer hip", "hip_flexors": "front of the hip", "hip_adductors": "inner thigh", "rectus_femoris": "front of the thigh",
    "vasti": "front of the thigh", "hamstrings_two_joint": "back of the thigh", "biceps_femoris_short_head": "back of the thigh",
    "gastrocnemius": "upper half of the calf", "soleus": "lower half of the calf", "tibialis_anterior": "front of the lower leg",
    "fibulares": "outer side of the lower leg", "tibialis_posterior": "inner side of the lower leg",
}


def with_place(subject: str, name: str) -> str:
    """The name with its place behind it where the subject is a part; another subject's as it is.

    >>> with_place("hip_abductors", "hip abductors"), with_place("push_up", "push-up")
    ('hip abductors (outer hip)', 'push-up')
    """
    return f"{name} ({PLACES[subject]})" if subject in PLACES else name


def to_find(subject: str, name: str, muscle: str) -> str:
    """A part for a list that is searched by its words: with the muscle that heads it on the shelf, where nothing else says it, and its place.

    >>> to_find("finger_flexors", "grip", "forearm"), to_find("wrist_flexors", "wrist flexors", "forearm"), to_find("biceps", "biceps", "elbow flexors")
    ('grip (forearm: fingers, closing the hand)', 'wrist flexors (palm side of the forearm)', 'biceps (elbow flexors: front of the upper arm)')
    """
    told = with_place(subject, name)
    return told if muscle in told else told.replace("(", f"({muscle}: ", 1)


def placed(text: str, subject: str, name: str) -> str:
    """A text that begins with the name of a part, with the part's place behind it.

    >>> placed("Lats: add 2 sets.", "lats", "lats"), placed("Push-up: hold.", "push_up", "push-up")
    ('Lats (sides of the back): add 2 sets.', 'Push-up: hold.')
    """
    return text.replace(begun(name), begun(with_place(subject, name)), 1)


def places(parts: Iterable[tuple[str, str]]) -> str:
    """Where parts are, by id and name, in one line; '' where nothing is known of any.

    >>> places([("lats", "lats"), ("hip_abductors", "hip abductors")]), places([])
    ('Lats: sides of the back; hip abductors: outer hip.', '')
    """
    told = "; ".join(f"{name}: {PLACES[part]}" for part, name in parts if part in PLACES)
    return f"{begun(told)}." if told else ""
