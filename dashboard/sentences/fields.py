"""What a column of a log may be, in words for the person who brings it in."""

from __future__ import annotations

NOT_USED = "not used"

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


def field_words(field: str | None) -> str:
    """The words for a field; for None, that the column is not used."""
    return FIELD_WORDS[field] if field else NOT_USED
