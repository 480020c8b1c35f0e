"""Pain that a note tells of in words: the place and, where it is given, a score of 10. Decided here; common practice, no source.

Only what is plain is read. A clause counts with a word of pain, or with a joint beside a score or a word of soreness; one that says that there is none, or that
it is gone, does not. Soreness of a muscle is ordinary and no pain.
"""

from __future__ import annotations

import re
from typing import NamedTuple

import pandas as pd

from etl.notation.blanks import by_distinct

NOT_SAID = "place not said"
CLAUSE = re.compile(r"[.;,!?\n]+(?!\d)| but | aber | though ", re.IGNORECASE)
PAIN = re.compile(r"\b(?:pain(?:s|ful)?|hurts?|hurting|twinges?|niggl(?:e|es|ing)|schmerz(?:en|t|te|haft)?|\w+schmerz(?:en)?|tut weh|tat weh)\b", re.IGNORECASE)
SORE = re.compile(r"\b(?:sore|soreness|ach(?:e|es|y|ing)|tweaked|irritated|inflamed|gereizt)\b", re.IGNORECASE)
NONE = re.compile(r"\b(?:if|unless|until|falls|bis|no|not|none|without|zero|never|free|less|gone|away|fine|kein\w*|ohne|nicht|weg|vorbei|schmerzfrei|painless)\b|n['’]t\b|\bpain[- ]?free\b", re.IGNORECASE)
SIDE = r"(?:(?:left|right|both|lower|upper|inner|outer|front|li(?:nke\w*|\.)|re(?:chte\w*|\.)|beide\w*)\s+){0,2}"
JOINTS = (r"shoulders?|elbows?|wrists?|knees?|hips?|ankles?|back|neck|thumbs?|fingers?|hands?|foot|feet|heels?|achilles|shins?|groin|ribs?|"
          r"schultern?|ell(?:en)?bogen|handgelenke?|knien?|hüften?|rücken|nacken|sprunggelenke?|leiste")
MUSCLES = (r"hamstrings?|biceps|triceps|forearms?|cal(?:f|ves)|chest|pecs?|lats?|quads?|glutes?|thighs?|traps?|delts?|adductors?|abs|"
           r"unterarme?|wade[n]?|brust|oberschenkel|bizeps|trizeps")
# What makes of a place the name of an exercise, or of a day.
EXERCISE = r"(?!\s*-?\s*(?:press(?:es)?|thrusts?|squats?|raises?|extensions?|rows?|days?|curls?|fl(?:y|ies|yes)|pumps?|workout|dips?|bridges?|rolls?|rotations?|shrugs?|tucks?|drops?|off)\b)"
JOINT = re.compile(rf"\b{SIDE}(?:{JOINTS})\b{EXERCISE}", re.IGNORECASE)
PLACE = re.compile(rf"\b{SIDE}(?:{JOINTS}|{MUSCLES})\b{EXERCISE}", re.IGNORECASE)
SCORE = re.compile(r"\b(\d{1,2}(?:[.,]\d)?)\s*(?:/|of|von|out of)\s*10\b", re.IGNORECASE)
MOST = 10.0
HINT = "pain|hurt|twinge|niggl|schmerz|weh|10|sore|ach|tweak|irrit|inflam|gereizt"  # one of these is in each note that tells of pain


class Hurt(NamedTuple):
    """place: as written, NOT_SAID where the note does not say it. score: 0 to 10, NaN where it is not said."""

    place: str
    score: float


NO_PAIN = Hurt("", float("nan"))


def pain_in(note: str) -> Hurt | None:
    """What a note says of pain; None where it says nothing plain. Of several clauses the first that hurts; a place that it lacks is looked for in those beside it.

    >>> pain_in("left elbow 4/10"), pain_in("knee hurts on the way up"), pain_in("sharp pain in the right shoulder, 6 of 10")
    (Hurt(place='left elbow', score=4.0), Hurt(place='knee', score=nan), Hurt(place='right shoulder', score=6.0))
    >>> pain_in("no pain today"), pain_in("elbow pain gone"), pain_in("legs sore from Monday"), pain_in("shoulder press 8/10"), pain_in("back squat felt good")
    (None, None, None, None, None)
    """
    clauses = CLAUSE.split(note)
    for i, clause in enumerate(clauses):
        if NONE.search(clause) or not (PAIN.search(clause) or JOINT.search(clause) and (SCORE.search(clause) or SORE.search(clause))):
            continue
        beside = [clause, *clauses[i + 1 : i + 2], *clauses[max(i - 1, 0) : i]]  # "sharp pain, right shoulder", "left knee, hurts"
        score = next((_score(one) for one in beside[:2] if SCORE.search(one)), float("nan"))
        if score != 0:
            return Hurt(next(filter(None, map(_places, beside)), NOT_SAID), score)
    return None


def _places(clause: str) -> str:
    """The places that a clause names, each once; '' for none."""
    return " and ".join(dict.fromkeys(" ".join(found[0].split()) for found in PLACE.finditer(clause)))


def _score(clause: str) -> float:
    found = SCORE.search(clause)
    value = float(found[1].replace(",", ".")) if found else float("nan")
    return value if value <= MOST else float("nan")


def pains_in(notes: pd.Series) -> pd.DataFrame:
    """`pain_in` of each note: columns place ('' for none) and score, with the index of `notes`."""
    found = by_distinct(notes, lambda note: pain_in(note) or NO_PAIN, "object")
    return pd.DataFrame({"place": [one.place for one in found], "score": [one.score for one in found]}, index=notes.index)
