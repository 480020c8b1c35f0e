"""What a person said beside the log, as a client reads it: goals, blocks, decisions, notes, pain and body mass."""

from __future__ import annotations

from datetime import date

import pandas as pd

from dashboard.sentences.numbers import day, number, past
from dashboard.sentences.units import from_kg, in_unit, load


def of_target(measure: str, value: float, low: float, target: float, unit: str) -> str:
    """How far a goal with a number is, also where somebody is past it, or may be. low: of the value's interval; NaN, or the value where it is certain.

    >>> nan = float("nan")
    >>> of_target("e1rm", 113.2, 110.0, 120.0, "kg"), of_target("reps", 16.6, nan, 20.0, "kg"), of_target("hold", 4.0, nan, 5.0, "lb")
    ('about 113 kg of 120 kg', 'about 17 of 20 repetitions, with those in reserve', 'about 4 of 5 seconds')
    >>> of_target("reps", 29.0, 27.5, 20.0, "kg"), of_target("e1rm", 123.0, 120.0, 120.0, "kg"), of_target("e1rm", 71.1, 69.0, 70.0, "kg")
    ('about 29 repetitions; the goal was 20', 'about 123 kg; the goal was 120 kg', 'about 71 kg; 70 kg or more is not sure yet')
    >>> of_target("load", 62.5, 62.5, 70.0, "kg"), of_target("load", 70.0, 70.0, 70.0, "kg"), of_target("load", 45.359237, 45.359237, 90.718474, "lb")
    ('62.5 kg of 70 kg', '70 kg; the goal was 70 kg', '100 lb of 200 lb')
    """
    def told(amount: float) -> str:
        return in_unit(f"{number(amount, 2)} kg", unit) if measure == "load" else load(amount, unit) if measure == "e1rm" else number(amount, 0)

    what = {"reps": " repetitions", "hold": " seconds"}.get(measure, "")
    now, aim = f"{'about ' * (measure != 'load')}{told(value)}", told(target)
    if past(value if low != low else low, target):
        return f"{now}{what}; the goal was {aim}"
    reserve = ", with those in reserve" * (measure == "reps")
    return f"{now}{what}; {aim}{what} or more is not sure yet" if past(value, target) else f"{now} of {aim}{what}{reserve}"


def goal(text: str, due: date, now: str, reached: date | None) -> str:
    """A goal, how far it is, and when it is due. now: in words, or ''."""
    if reached is not None:
        return f"{text}: reached on {day(reached)}."
    return f"{text}, by {day(due)}{f', now {now}' if now else ''}."


def block(aim: str, starts: date, ends: date, deload_due: date | None) -> str:
    """A block of training and its easy week, as what is worked on now."""
    easy = f", with an easy week from {day(deload_due, year=False)}" if deload_due is not None else ""
    return f"This block: {aim}, {day(starts, year=False)} to {day(ends)}{easy}."


def decided(place: int, when: date, what: str, text: str) -> str:
    """A decision with the number that it has in the picture."""
    return f"{place}. {dated(when, what, text)}"


def dated(when: date, what: str, text: str) -> str:
    """Something that was said on a day, about something: 9 March, bench press: wider grip."""
    return f"{day(when, year=False)}{f', {what}' if what else ''}: {text}"


def felt(when: date, what: str, place: str, score: float, text: str) -> str:
    """Pain or soreness: where, how much, and in whose words.

    >>> felt(date(2026, 3, 9), "pain", "left elbow", 3.0, ""), felt(date(2026, 3, 9), "soreness", "", float("nan"), "all over")
    ('9 March: pain, left elbow, 3 of 10', '9 March: soreness, all over')
    """
    told = [what, place, "" if pd.isna(score) else f"{number(score)} of 10", text]
    return f"{day(when, year=False)}: {', '.join(filter(None, told))}"


def body_mass(first: float, last: float, unit: str) -> str:
    """Body mass at both ends of the weeks shown.

    >>> body_mass(61.2, 60.8, "kg"), body_mass(61.2, 61.2, "kg")
    ('Body weight: 60.8 kg, 61.2 kg at first.', 'Body weight: 61.2 kg, as at first.')
    """
    was, now = (f"{number(from_kg(kg, unit))} {unit}" for kg in (first, last))
    return f"Body weight: {now}, {'as' if was == now else was} at first."
