"""Words for what the catalogue says: credits, how sure they are, and what the keeper of the store changed."""

from __future__ import annotations

from collections.abc import Callable

from dashboard.sentences.decimal_mark import marked
from dashboard.sentences.numbers import number
from etl.own.what import OWN_GRADE, Changes

CREDITS = {1.0: "direct", 0.5: "indirect", 0.25: "explains only", 0.0: "none"}
GRADES = {"A": "measured: a study of this head in this exercise", "B": "from a study of the whole muscle, or from anatomy and movement",
          "C": "common practice, or contested", OWN_GRADE: "said by the keeper of this store"}


def grade_word(grade: str) -> str:
    """A, B or C, or 'yours' for a credit of the visitor's own."""
    return "yours" if grade == OWN_GRADE else grade


def grades_line(grades: set[str]) -> str:
    """What each of the grades means."""
    return " ".join(f"{grade_word(grade)}: {words}." for grade, words in GRADES.items() if grade in grades)


def credit_words(base: float, now: float) -> str:
    """'direct, 1', or what a variant makes of it: 'direct, 0.85 as done'."""
    return f"{CREDITS[base]}, {number(base, 2)}" if base == now else f"{CREDITS[base]}, {marked(f'{now:.2g}')} as done"


def evidence_words(grade: str, note: str, other_reading: float) -> str:
    """The grade, with the other reading of a contested credit and its note."""
    told = f"[{grade_word(grade)}]"
    if other_reading == other_reading:
        told += f" others read {number(other_reading, 2)}"
    return f"{told} {note}".rstrip()


def compared_words(row) -> str:
    """How the credits of a head in two exercises stand to each other. row: credit_a, credit_b, measured, apart."""
    return "alike" if row.credit_a == row.credit_b else "measured so" if row.measured else "differs" if row.apart else "not distinguishable"


def findings_line(verdicts: dict[str, int]) -> str:
    """How the findings and the credits stand to each other. verdicts: the words of a verdict -> how many."""
    return ("; ".join(f"{words}: {count}" for words, count in verdicts.items()) + ". Alike in three tiers is no support, and studies of muscle "
            "activity do not rank growth: look at what was measured.")


def changed_lines(changes: Changes, called: Callable[[str], str]) -> list[str]:
    """One line for each thing that was changed. called: id -> its word."""
    own = {one.exercise_id for one in changes.exercises}
    # The credits of one's own exercise are told one by one only where they are not those of the exercise that it is like.
    credits = [one for one in changes.credits if one.exercise_id not in own or not one.note.startswith("as ")]
    return [
        *(f"exercise  {one.name} ({one.exercise_id})" + (f": {one.note}" if one.note else "") for one in changes.exercises),
        *(f"credit    {called(one.exercise_id)}: {called(one.head_id)} {number(one.credit, 2)}" + (f" ({one.note})" if one.note else "") for one in credits),
        *(f"target    {called(one.part_id)}: {number(one.low)} to {number(one.high)} hard sets a week for {one.athlete or 'everybody'}"
          + (f" ({one.note})" if one.note else "") for one in changes.targets),
        *(f"name      '{one.written}' is {called(one.exercise_id) if one.exercise_id else 'in no catalogue'}" + (f" ({one.modifiers})" if one.modifiers else "")
          for one in changes.names),
    ]
