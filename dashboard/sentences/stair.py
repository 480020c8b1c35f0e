"""A stair in words: what a step asks, where the athlete stands, and since when."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

import pandas as pd

from dashboard.sentences.numbers import begun, counted, day, number
from dashboard.sentences.units import in_unit, rows_in_unit
from etl.settings import RULES, Rules

LADDER, LOADS = "ladder", "loads"
ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")
UNITS = {"e1rm": "kg, estimated maximum", "per_kg": "× body mass, estimated maximum", "reps": "repetitions with those in reserve", "hold": "s held"}
NOTHING_HEAVIER = ("no heavier load in the house", "more repetitions, a slower lowering or a pause")
PLACES = {"e1rm": 1, "per_kg": 2, "reps": 0, "hold": 0}


@dataclass(frozen=True)
class Ahead:
    """The next tread: its name, what opens it, and its place among `Stair.steps` where it was stood on before (else None)."""

    name: str
    opens: str
    step: int | None = None


@dataclass(frozen=True)
class Stair:
    """What a stair shows. kind: LADDER or LOADS. start, until: the Monday and the Sunday that the time axis spans.

    steps: one row per step from the lowest: step (0, 1, ...), name_, place (words), number (on its ladder), asks (what its way up asks, in words,
    '' where nothing does), scale (rule, best or range: what `near` is a share of), last (no way up asks for a number).
    sessions: one row per session and step: date, exercise, step, near, mist_low, mist_middle, mist_high (shares of what is asked), told (the set),
    interval, value, measure, rir, counted (in a trend). current: the highest step of the last two weeks of training, since: its first day this time, last: its last.
    back: it was stood on after a higher one.
    place: its number on the ladder. top: no way up from it asks for a number. left_out: how many lighter or rarer loads are not shown.
    """

    name: str
    kind: str
    start: date
    until: date
    steps: pd.DataFrame
    sessions: pd.DataFrame
    ahead: Ahead | None
    current: int
    place: int
    since: date
    last: date
    back: bool
    top: bool
    left_out: int


def stair_in_unit(of: Stair, unit: str) -> Stair:
    """With the loads in its texts in the unit."""
    ahead = of.ahead and replace(of.ahead, name=in_unit(of.ahead.name, unit), opens=in_unit(of.ahead.opens, unit))
    return replace(of, ahead=ahead, steps=rows_in_unit(of.steps, unit, "name_"), sessions=rows_in_unit(of.sessions, unit, *({"name_", "told"} & set(of.sessions))))


def amount(sets: float, reps: float, seconds: float) -> str:
    """What a step asks: 3 × 20, or 3 × 30 s; '' where it asks for no number.

    >>> amount(3, 20, float("nan")), amount(3, float("nan"), 30), amount(float("nan"), float("nan"), float("nan"))
    ('3 × 20', '3 × 30 s', '')
    """
    return f"{number(sets)} × {number(seconds)} s" if seconds == seconds else f"{number(sets)} × {number(reps)}" if reps == reps else ""


def asks(sets: float, reps: float, seconds: float, also: str) -> str:
    """What the way up from a step asks, in two sessions.

    >>> asks(3, 20, float("nan"), "wall handstand 30 s"), asks(3, float("nan"), 30, "")
    ('3 × 20 with one or more in reserve, in two sessions; wall handstand 30 s', '3 × 30 s, in two sessions')
    """
    plain = amount(sets, reps, seconds)
    reserve = " with one or more in reserve" if plain and seconds != seconds else ""
    return "; ".join(filter(None, [plain and f"{plain}{reserve}, in two sessions", also]))


def asks_of_load(reps: float) -> str:
    """What opens the next load.

    >>> asks_of_load(12.0)
    '12 repetitions with one or more in reserve on all sets, in two sessions'
    """
    return f"{number(reps)} repetitions with one or more in reserve on all sets, in two sessions"


def unknown_load(rules: Rules = RULES) -> str:
    """The next load where it is not known which are at hand."""
    low, high = rules.load_step_pct
    return f"the next load, {low} to {high} % more"


def large_step(load: float, heavier: float) -> str:
    """A next load so far above that repetitions alone do not lead there."""
    return f"the step is {number(100 * (heavier / load - 1), 0)} %: first a slower lowering, a pause, or one side at a time"


def finding(stair: Stair, rules: Rules = RULES) -> str:
    """What the stair shows, as a title: Vertical pressing: on the third step since 9 March; or, where a later session was on a lower step only,
    Deadlift: up to 127.5 kg, last on 12 November; 125 kg on 19 November.
    """
    where = f"{'at' if stair.kind == LOADS else 'on'} {_step_word(stair)}"
    when = lambda one: day(one, year=one.year != stair.until.year)  # noqa: E731 - said thrice, here only
    after = stair.sessions[stair.sessions["date"] > pd.Timestamp(stair.last)]
    if len(after):
        last = after.sort_values(["date", "step"], kind="stable").iloc[-1]
        return f"{begun(stair.name)}: up to {_step_word(stair)}, last on {when(stair.last)}; {stair.steps['name_'].iloc[int(last['step'])]} on {when(last['date'])}"
    if (stair.until - stair.last).days > rules.idle_days:
        return f"{begun(stair.name)}: {where}, last done on {when(stair.last)}"
    return f"{begun(stair.name)}: {'back ' * stair.back}{where} since {when(stair.since)}"


def in_words(stair: Stair) -> str:
    """The text alternative: each step from the lowest, its sessions, from what to what, and the next tread."""
    told = [_told(stair, row) for row in stair.steps.itertuples()]
    ahead = f" Next: {stair.ahead.name}, {stair.ahead.opens}." if stair.ahead else " Nothing stands above it." * stair.top
    return f"{finding(stair)}. {day(stair.start)} to {day(stair.until)}, from the lowest step: {'; '.join(told)}.{ahead}"


def _told(stair: Stair, row) -> str:
    own = stair.sessions[stair.sessions["step"] == row.step]
    days = list(dict.fromkeys([day(when, year=False) for when in own["date"].iloc[[0, -1]]]))
    return f"{row.name_}, {' to '.join(days)}, {counted(len(own), 'session', 'sessions')}, {' to '.join(_ends(own))} {UNITS[own['measure'].iloc[0]]}"


def _ends(own: pd.DataFrame) -> list[str]:
    """The first and the last value of a step's sessions that count in a trend, of all where fewer than two do; one where both are the same. Without
    effort, beside others that have theirs or where it does not count, it is told as the lower bound that it is.
    """
    in_trend, logged = own[own["counted"].astype(bool)], own["rir"].notna().any()
    ends = (in_trend if len(in_trend) > 1 else own).iloc[[0, -1]]
    bound = pd.isna(ends["rir"]) & (ends["measure"] != "hold") & (logged | ~ends["counted"].astype(bool))
    return list(dict.fromkeys(f"{'at least ' * least}{number(value, PLACES[measure])}" for value, measure, least in zip(ends["value"], ends["measure"], bound, strict=True)))


def _step_word(stair: Stair) -> str:
    if stair.kind == LOADS:
        return str(stair.steps["name_"].iloc[stair.current])
    last = " and last" * stair.top
    return f"the {ORDINALS[stair.place - 1] if stair.place <= len(ORDINALS) else number(stair.place) + 'th'}{last} step"
