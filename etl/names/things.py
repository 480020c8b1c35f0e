"""What a text says that an exercise is done with: a cell of a column for it, or the header of a column of loads."""

from __future__ import annotations

from etl.names.facts import exercise_of, used
from etl.names.words import phrases, words_of

MOST_WORDS = 12  # [D] a longer text is a sentence, not what something is done with
# What tells two exercises of one bare name apart: "row" is done with each of them. A bench or a rack does not.
THINGS = ("dumbbell", "barbell", "kettlebell", "cable", "machine", "bodyweight")


def named_thing(text: str) -> str:
    """The one of THINGS that a text names, in any language of the catalogue; "" for none, or more than one.

    >>> named_thing("DB weight (kg)"), named_thing("Kurzhantel"), named_thing("rack, barbell"), named_thing("cable or machine"), named_thing("kg")
    ('dumbbell', 'dumbbell', 'barbell', '', '')
    """
    words, known = words_of(text)[:MOST_WORDS], phrases("equipment")
    runs = {words[at : at + size] for size in range(1, 1 + max(map(len, known))) for at in range(len(words) - size + 1)}
    named = {known[run][1] for run in runs if run in known} & set(THINGS)
    return named.pop() if len(named) == 1 else ""


def done_with(exercise_id: str, thing: str) -> bool:
    """Whether an exercise can be done with one of THINGS."""
    exercise = exercise_of(exercise_id)
    if thing == "bodyweight":
        return exercise.load_basis == "body"
    # A cable station is a machine, and many call it one.
    return bool({"cable", "machine"} & used(exercise)) if thing in ("cable", "machine") else thing in used(exercise)
