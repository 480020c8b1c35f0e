"""Pain that a note tells of in words: the place and, where it is given, a score of 10. Decided here; common practice, no source.

Only what is plain is read. A clause counts with a word of pain, or with a joint beside a score or a word of an ache; one that says that there is none, or that
it is gone, does not. Soreness is ordinary and no pain, of a joint as of a muscle, with a score as without.
"""

from __future__ import annotations

import re
from typing import NamedTuple

import pandas as pd

from etl.notation.blanks import by_distinct

NOT_SAID = "place not said"
CLAUSE = re.compile(r"[.;,!?\n]+(?!\d)| but | aber | though ", re.IGNORECASE)
PAIN = re.compile(r"\b(?:pain(?:s|ful)?|hurts?|hurting|twinges?|niggl(?:e|es|ing)|schmerz(?:en|t|te|haft)?|\w+schmerz(?:en)?|tut weh|tat weh)\b", re.IGNORECASE)
ACHE = re.compile(r"\b(?:ach(?:e|es|y|ing)|tweaked|irritated|inflamed|gereizt)\b", re.IGNORECASE)
SORE = re.compile(r"\b(?:sore(?:ness)?|doms|muskelkater|verkatert|courbatur\w*|courbatu|agujetas|indolenzi\w*|spierpijn)\b", re.IGNORECASE)
NONE = re.compile(r"\b(?:if|unless|until|falls|bis|no|not|none|without|zero|never|free|less|gone|away|fine|kein\w*|ohne|nicht|weg|vorbei|schmerzfrei|painless)\b|n['’]t\b|\bpain[- ]?free\b", re.IGNORECASE)
SIDE = r"(?:(?:left|right|both|lower|upper|inner|outer|front|li(?:nke\w*)?|re(?:chte\w*)?|beide\w*|(?-i:[LR]))\s+){0,2}"
# A side behind its place: in brackets, in a German word, or, where nothing follows that makes something else of it ("right after", "R knee"), in English.
_ENDS_THERE = r"(?=\s*(?:$|[)\]:;]|(?:was\s+|is\s+|at\s+|bei\s+|mit\s+)?\d|(?:is\s+|was\s+|a\s+bit\s+|tut\s+)?(?:pain|hurt|twing|niggl|schmerz|weh|sore|ach|tweak|irritat|inflam|gereizt)))"
SIDE_BEHIND = (r"(?:\s*[(\[]\s*(?:left|right|both|links|rechts|li|re|l|r)\s*[)\]]|\s*[-–:]?\s+(?:links|rechts|beidseit\w*|linksseitig|rechtsseitig)\b|"
               rf"\s*[-–:]?\s+(?:left|right|both|li|re|bds|(?-i:[LR]))\b{_ENDS_THERE})?")
SHORT_SIDE = re.compile(r"\b(li|re|bds|(?-i:[LR]))\.(?=\s|$)", re.IGNORECASE)  # its full stop ends no clause
JOINTS = (r"shoulders?|elbows?|wrists?|knees?|hips?|ankles?|back|neck|thumbs?|fingers?|hands?|foot|feet|heels?|achilles|shins?|groin|ribs?|"
          r"schultern?|ell(?:en)?bogen|handgelenke?|knien?|hüften?|rücken|nacken|sprunggelenke?|leiste")
MUSCLES = (r"hamstrings?|biceps|triceps|forearms?|cal(?:f|ves)|chest|pecs?|lats?|quads?|glutes?|thighs?|traps?|delts?|adductors?|abs|"
           r"unterarme?|wade[n]?|brust|oberschenkel|bizeps|trizeps")
# What makes of a place the name of an exercise, or of a day.
EXERCISE = r"(?!\s*-?\s*(?:press(?:es)?|thrusts?|squats?|raises?|extensions?|rows?|days?|curls?|fl(?:y|ies|yes)|pumps?|workout|dips?|bridges?|rolls?|rotations?|shrugs?|tucks?|drops?|off)\b)"
JOINT = re.compile(rf"\b{SIDE}(?:{JOINTS})\b{EXERCISE}", re.IGNORECASE)
PLACE = re.compile(rf"\b{SIDE}(?:{JOINTS}|{MUSCLES})\b{EXERCISE}{SIDE_BEHIND}{EXERCISE}", re.IGNORECASE)
SCORE = re.compile(r"\b(\d{1,2}(?:[.,]\d)?)\s*(?:/|of|von|out of)\s*10\b", re.IGNORECASE)
MOST = 10.0
# [C] Words for a side in the languages of the cell words, where they stand in a place: common practice, no source.
SIDES = {"left": "left l links li linke linker linkes linken linkem linksseitig gauche izquierda izquierdo izq sinistra sinistro sx esquerda esquerdo esq",
         "right": "right r rechts re rechte rechter rechtes rechten rechtem rechtsseitig droite droit derecha derecho destra destro dx direita direito"}
HINT = "pain|hurt|twinge|niggl|schmerz|weh|10|ach|tweak|irrit|inflam|gereizt"  # one of these is in each note that tells of pain
_SIDE_OF = {word: side for side, words in SIDES.items() for word in words.split()}


class Hurt(NamedTuple):
    """place: as written, NOT_SAID where the note does not say it. score: 0 to 10, NaN where it is not said."""

    place: str
    score: float


NO_PAIN = Hurt("", float("nan"))


def pain_in(note: str) -> Hurt | None:
    """What a note says of pain; None where it says nothing plain. Of several clauses the first that hurts; a place that it lacks is looked for in those beside it.

    >>> pain_in("left elbow 4/10"), pain_in("knee hurts on the way up"), pain_in("sharp pain in the right shoulder, 6 of 10")
    (Hurt(place='left elbow', score=4.0), Hurt(place='knee', score=nan), Hurt(place='right shoulder', score=6.0))
    >>> pain_in("no pain today"), pain_in("elbow pain gone"), pain_in("right shoulder a bit sore"), pain_in("shoulder press 8/10"), pain_in("back squat felt good")
    (None, None, None, None, None)
    >>> pain_in("Schulter rechts 4/10").place, pain_in("knee (L) 3/10").place, pain_in("shoulder right after the set 4/10").place
    ('Schulter rechts', 'knee (L)', 'shoulder')
    """
    clauses = CLAUSE.split(SHORT_SIDE.sub(r"\1", note))
    for i, clause in enumerate(clauses):
        if NONE.search(clause) or not _hurts(clause):
            continue
        beside = [clause, *clauses[i + 1 : i + 2], *clauses[max(i - 1, 0) : i]]  # "sharp pain, right shoulder", "left knee, hurts"
        score = next((_score(one) for one in beside[:2] if SCORE.search(one)), float("nan"))
        if score != 0:
            return Hurt(next(filter(None, map(_places, beside)), NOT_SAID), score)
    return None


def _hurts(clause: str) -> bool:
    if PAIN.search(clause):
        return True
    return bool(JOINT.search(clause) and (ACHE.search(clause) or SCORE.search(clause) and not SORE.search(clause)))


def same_place(place: str) -> str:
    """What is alike of two ways to write one place: its side first, in English, and no brackets. A place with no side or two is in small letters only.

    >>> same_place("Schulter rechts"), same_place("rechte Schulter"), same_place("knee (L)"), same_place("Left knee and left hip")
    ('right schulter', 'right schulter', 'left knee', 'left knee and left hip')
    """
    words = re.findall(r"[\w'’]+", place.casefold())
    said = [_SIDE_OF[word] for word in words if word in _SIDE_OF]
    return " ".join([*said, *(word for word in words if word not in _SIDE_OF)]) if len(said) == 1 else " ".join(place.casefold().split())


def may_be_one_place(one: str, other: str) -> bool:
    """Whether two ways to write a place can be of one: alike, or alike but for a side that only one of them says.

    >>> may_be_one_place("knee", "left knee"), may_be_one_place("left knee", "knee (L)"), may_be_one_place("left knee", "right knee")
    (True, True, False)
    """
    (side, words), (other_side, other_words) = (_parted(same_place(place)) for place in (one, other))
    return words == other_words and (side == other_side or not side or not other_side)


def _parted(place: str) -> tuple[str, str]:
    """The side of a place that `same_place` gave, and the rest."""
    side, _, rest = place.partition(" ")
    return (side, rest) if rest and side in _SIDE_OF.values() else ("", place)


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
