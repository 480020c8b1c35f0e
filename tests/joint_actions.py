"""What each movement pattern asks of the joints: the actions that are worked against the load, as heads.csv names them.

Inferred from the movement itself; the actions of the muscles are in heads.csv (Moore, Dalley & Agur, from memory). "hold" at the
end of a pattern changes nothing here. A pattern of two movements ("squat and press") has the actions of both.
"""

from __future__ import annotations

PUSH = "shoulder horizontal adduction, shoulder flexion, elbow extension, scapular protraction"
PRESS = "shoulder flexion, shoulder abduction, elbow extension, scapular upward rotation, scapular elevation"
DIP = "shoulder flexion, shoulder adduction, shoulder extension, scapular depression, elbow extension"
ROW = "shoulder extension, shoulder horizontal abduction, scapular retraction, elbow flexion"
PULL = "shoulder adduction, shoulder extension, scapular depression, scapular downward rotation, elbow flexion"
CURL_BACK = "shoulder extension, shoulder adduction, scapular depression, trunk flexion, pelvic posterior tilt"
KNEE_HIP = "knee extension, hip extension"
HINGE = "hip extension, trunk extension"
TRUNK_FLEXION = "trunk flexion, pelvic posterior tilt"
GRIP = "finger flexion, thumb flexion, thumb adduction"

ACTIONS = {
    "abdominal hollowing": "abdominal compression",
    "ankle eversion": "foot eversion",
    "ankle inversion": "foot inversion",
    "anti-extension": TRUNK_FLEXION,
    "anti-lateral-flexion": "trunk lateral flexion",
    "anti-rotation": "trunk rotation",
    "carry": f"{GRIP}, scapular elevation, scapular upward rotation, trunk lateral flexion",
    "crawl": f"{PUSH}, {TRUNK_FLEXION}",
    "dorsiflexion": "ankle dorsiflexion",
    "elbow extension": "elbow extension",
    "elbow flexion": "elbow flexion",
    "explosive pull": f"{KNEE_HIP}, {HINGE}, scapular elevation, shoulder abduction",
    "explosive pull and push": f"{KNEE_HIP}, {HINGE}, scapular elevation, {PRESS}",
    "finger extension": "finger extension, thumb extension",
    "finger flexion": GRIP,
    "finger flexion and extension": f"{GRIP}, finger extension, thumb extension",
    "forearm rotation": "forearm pronation, forearm supination",
    "get-up": f"{KNEE_HIP}, {PRESS}, {TRUNK_FLEXION}, trunk rotation",
    "hang": GRIP,
    "high pull": f"{KNEE_HIP}, {HINGE}, scapular elevation, scapular upward rotation, shoulder abduction",
    "hinge": HINGE,
    "hip abduction": "hip abduction",
    "hip adduction": "hip adduction",
    "hip extension": "hip extension",
    "hip external rotation": "hip external rotation",
    "hip flexion": "hip flexion",
    "hip flexion and pelvic tilt": f"hip flexion, {TRUNK_FLEXION}",
    "hip internal rotation": "hip internal rotation",
    "horizontal abduction": "shoulder horizontal abduction, scapular retraction",
    "horizontal adduction": "shoulder horizontal adduction",
    "horizontal pull": ROW,
    "horizontal push": PUSH,
    "incline push": PUSH,
    "jump": f"{KNEE_HIP}, ankle plantarflexion",
    "knee extension": "knee extension",
    "knee flexion": "knee flexion",
    "knee flexion and hip extension": "knee flexion, hip extension",
    "lateral flexion": "trunk lateral flexion",
    "lunge": KNEE_HIP,
    "neck extension": "neck extension",
    "neck flexion": "neck flexion",
    "neck rotation": "neck rotation",
    "neck side flexion": "neck lateral flexion",
    "pinch": GRIP,
    "plantarflexion": "ankle plantarflexion",
    "posterior pelvic tilt": TRUNK_FLEXION,
    "pull from the floor and press": f"{KNEE_HIP}, {HINGE}, scapular elevation, {PRESS}",
    "scapular depression": "scapular depression",
    "scapular elevation": "scapular elevation",
    "scapular protraction": "scapular protraction",
    "scapular retraction": "scapular retraction",
    "scapular upward rotation": "scapular upward rotation",
    "shoulder abduction": "shoulder abduction, scapular upward rotation",
    "shoulder extension": "shoulder extension, shoulder adduction",
    "shoulder external rotation": "shoulder external rotation",
    "shoulder flexion": "shoulder flexion",
    "shoulder internal rotation": "shoulder internal rotation",
    "sled": f"{KNEE_HIP}, ankle plantarflexion",
    "spinal extension": "trunk extension",
    "squat": KNEE_HIP,
    "squat and press": f"{KNEE_HIP}, {PRESS}",
    "static": GRIP,
    "straight-arm pull": CURL_BACK,
    "straight-arm push": "shoulder flexion, shoulder horizontal adduction, scapular protraction",
    "support": "scapular depression, elbow extension",
    "thumb abduction": "thumb abduction",
    "thumb extension": "thumb extension",
    "toe flexion": "toe flexion",
    "trunk flexion": TRUNK_FLEXION,
    "trunk flexion with rotation": f"{TRUNK_FLEXION}, trunk rotation",
    "trunk rotation": "trunk rotation",
    "vertical pull": PULL,
    "vertical pull and push": f"{PULL}, {DIP}",
    "vertical push": PRESS,
    "vertical push (dip)": DIP,
    "wrist deviation": "wrist radial deviation, wrist ulnar deviation",
    "wrist extension": "wrist extension",
    "wrist flexion": "wrist flexion",
    "wrist flexion and extension": "wrist flexion, wrist extension",
}


def worked(pattern: str) -> frozenset[str]:
    """The actions of a pattern. KeyError for one that has none yet: add it above."""
    return frozenset(ACTIONS[pattern.removesuffix(" hold")].split(", "))


def strong(main_actions: str) -> frozenset[str]:
    """The actions of a head without those that it only helps with; what stands in brackets beside an action is left out."""
    listed = [action for action in main_actions.split(", ") if not action.endswith("(weak)")]
    return frozenset(action.split(" (")[0] for action in listed)


# What single exercises ask beside their pattern, and why: (actions, reason). Ids that the catalogue does not have (yet) do no harm.
ARM_OUT = "the upper arm is held out at the side"
ONE_GRIP = "one hand holds the whole body, so the grip is a limit"
STEPS = "walking against a load: the pattern 'carry' stands for moving on, not for what moves"
ALSO = {
    "incline_dumbbell_row_elbows_out": ("shoulder abduction", f"{ARM_OUT}; Sweeney 2014 measured the acromial part as high"),
    "cable_rear_delt_row": ("shoulder abduction", ARM_OUT),
    "cable_y_raise": ("shoulder abduction", "the arms are raised as well as the shoulder blades turned"),
    "prone_w_raise": ("scapular retraction", "the shoulder blades are drawn together as the arms turn out"),
    "one_arm_chin_up": (GRIP, ONE_GRIP), "one_arm_pull_up": (GRIP, ONE_GRIP), "assisted_one_arm_pull_up": (GRIP, ONE_GRIP),
    "negative_one_arm_chin_up": (GRIP, ONE_GRIP), "towel_pull_up": (GRIP, "the towel is held, not hooked over"),
    "sit_up": ("hip flexion", "the trunk is raised off the floor, so the hips bend too"),
    "decline_sit_up": ("hip flexion", "the trunk is raised off the bench, so the hips bend too"),
    "v_up": ("hip flexion", "the legs are raised as well as the trunk"),
    "v_sit": (TRUNK_FLEXION, "the pelvis must be tilted to bring the legs above level"),
    "reverse_hyperextension": ("trunk extension", "the back holds the pelvis while the legs are raised behind"),
    "trap_bar_deadlift": ("knee extension", "the knees bend more than in other hinges"),
    "suitcase_deadlift": ("trunk lateral flexion", "the load hangs on one side"),
    "waiters_carry": (PRESS, "the load is held overhead"), "overhead_carry": (PRESS, "the load is held overhead"),
    "yoke_carry": ("trunk extension", "the load lies across the shoulders"), "rack_carry": ("trunk extension", "the load is held in front"),
    "elbow_held_carry": ("trunk extension", "the load is held in front"),
    "tiptoe_walk": ("ankle plantarflexion", STEPS), "heel_walk": ("ankle dorsiflexion", STEPS),
    "sled_push": (KNEE_HIP, STEPS), "backward_sled_drag": (KNEE_HIP, STEPS), "bear_crawl": (TRUNK_FLEXION, STEPS),
    "plank_shoulder_tap": (TRUNK_FLEXION, "the trunk is held straight as in a plank while it must not turn"),
}  # fmt: skip


def asked_beside(exercise: str) -> frozenset[str]:
    actions, _ = ALSO.get(exercise, ("", ""))
    return frozenset(actions.split(", ")) - {""}
