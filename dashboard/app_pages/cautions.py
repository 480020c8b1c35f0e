"""Cautions in plain words, each shown where it applies and no oftener."""

from __future__ import annotations

NEW_WORK = (
    "After a hard session of something new, some soreness is ordinary. Very dark urine, marked swelling or weakness is not: "
    "have it seen the same day."
)
COMING_BACK = (
    "Coming back after a break, the usual loads often feel light before the tissues are used to them again. After illness "
    "or surgery, ask the person who treats you first."
)
PAIN = "Pain above 5 of 10, or pain that has lasted two weeks: have it seen by a qualified professional."
ACHE = "Where an elbow, wrist or shoulder aches two sessions running, people commonly hold or lighten the load, or turn the grip to neutral."
PAIN_HIGH = 5
BY_KIND = {"large_spike": NEW_WORK, "session_spike": NEW_WORK, "new_area": NEW_WORK, "return": COMING_BACK}


def caution_for(kind: str) -> str | None:
    """The caution that belongs to a flag of this kind, if one does."""
    return BY_KIND.get(kind)


def caution_for_pain(highest: float) -> str:
    """What to say where pain of up to `highest` (0-10) was noted in a week."""
    return PAIN if highest > PAIN_HIGH else ACHE
