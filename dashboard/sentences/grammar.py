"""Verbs that agree with the name of a part or an exercise."""

from __future__ import annotations

import re

BESIDE = re.compile(r" (?:of|on|from|at|with|to|in|for) ")  # what stands behind is no part of the subject: 'push-up on knees'
# Names that end in s and are one, and plural ones that do not.
ONE = ("biceps", "triceps", "femoris", "brachialis", "brachioradialis", "subscapularis", "serratus", "press", "abdominis", "plus", "toes")
MANY = ("vasti",)


def plural(name: str) -> bool:
    """Whether a name takes a plural verb. What stands before a comma counts ('calf, upper'), but for heads ('triceps, lateral and medial heads').

    >>> [plural(name) for name in ("lats", "vasti", "biceps", "triceps, lateral and medial heads", "triceps, long head", "calf, upper", "hamstrings, short head")]
    [True, True, False, True, False, False, False]
    """
    whole = name.casefold().strip()
    named = whole.partition(", ")[0] if not whole.endswith((" head", " heads")) else whole
    last = BESIDE.split(named)[0].split(" ")[-1]
    return last in MANY or last.endswith("s") and not last.endswith(ONE)


def agrees(name: str, one: str, many: str) -> str:
    """The name with what is said of it, in the number that it takes.

    >>> agrees("lats", "stands still", "stand still"), agrees("grip", "is rising", "are rising")
    ('lats stand still', 'grip is rising')
    """
    return f"{name} {many if plural(name) else one}"
