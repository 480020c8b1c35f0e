"""Turns of phrase that sentences on what was taken for granted share, so that the places that order or reword them know them by more than a copy of their words."""

from __future__ import annotations

LOOK = "LOOK: "  # how a sentence begins that a person has to look at
# What a column of a log may be: an id of a field is for the command's options and for programs.
FIELD_WORDS = {
    "athlete": "athlete", "date": "date", "time": "time of day", "session": "session", "exercise": "exercise", "set_no": "number of the set",
    "set_count": "how many sets", "round_no": "number of the round", "round_count": "how many rounds", "year": "year of the date", "segment_no": "part of a set", "reps": "repetitions", "load": "load",
    "assistance": "assistance, taken off the load", "unit": "unit of the load", "hold": "seconds held", "work": "work done, in one cell",
    "rpe": "effort as RPE", "rir": "repetitions in reserve", "kind": "kind of set", "side": "side", "range": "range of motion",
    "limited_by": "what ended the set", "pain_place": "place of pain", "pain_score": "pain, 0 to 10", "body_mass": "body mass",
    "session_rpe": "effort of the session", "minutes": "length of the session", "rest": "rest", "tempo": "tempo", "note": "note",
    "planned": "planned or done", "grip": "grip", "stance": "stance", "equipment": "equipment", "modifiers": "modifiers, k=v",
    "plan": "work planned, in one cell", "done": "what was done of the plan", "weekday": "day of the week",
    "exercise_id": "exercise id", "kind_source": "kind logged or assumed", "load_estimated": "load was a guess",
}
NO_LOADS = "so every load is empty"  # in each sentence that says so


def otherwise(option: str) -> str:
    """How a sentence ends that an option of the command would make another one.

    >>> otherwise("unit")
    '(--unit says otherwise)'
    """
    return f"(--{option} says otherwise)"


def which(field: str) -> str:
    """How a sentence asks for the column of a field.

    >>> which("load")
    'say which: --columns "load=HEADER"'
    """
    return f'say which: --columns "{field}=HEADER"'


def the(field: str) -> str:
    """A field within a sentence.

    >>> the("round_no"), the("set_count")
    ('the number of the round', 'how many sets')
    """
    words = FIELD_WORDS[field]
    return words if words.startswith("how ") else f"the {words}"


def chosen(field: str, header: str) -> str:
    """How a sentence says what a person chose for a field. header: "-" for none.

    >>> chosen("load", "Kg"), chosen("round_no", "-")
    ('"Kg" as the load', 'no column as the number of the round')
    """
    return f"no column as {the(field)}" if header == "-" else f'"{header}" as {the(field)}'
