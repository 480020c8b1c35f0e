"""What a person said beside the log, in words."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import date
from typing import Any

import pandas as pd

from dashboard.sentences.numbers import amount, begun, counted, day, few, number, past, together
from dashboard.sentences.units import KG, in_unit
from etl.notation import may_be_one_place, same_place

MAY_BE_SHOWN = " [may be shown]"
KINDS = {"note": "Note", "pain": "Pain", "soreness": "Soreness"}
SEES = {"decisions": "decisions", "notes": "notes that are not private", "pain": "pain and soreness that is not private", "body_mass": "body mass"}


def told(table: str, record: Mapping[str, Any], about: str, unit: str = KG) -> str:
    """One record in one sentence. table: notes, goals, blocks or decisions; about: the subject in words, or ''. unit: of a goal's load."""
    if table == "goals":
        return _goal(record, about, unit)
    return {"notes": _note, "blocks": _block, "decisions": _decision}[table](record, about)


def _note(one: Mapping[str, Any], about: str) -> str:
    felt = "" if one["kind"] == "note" else f"{KINDS[one['kind']].lower()}, {one['place']}" + (f", {number(one['score'])} of 10" if _there(one["score"]) else "")
    beside = f" ({about})" if about else ""
    return ": ".join(filter(None, [f"{_day(one['date'])}{beside}", felt, one["text"]])) + ("" if one["private"] else MAY_BE_SHOWN)


def _goal(one: Mapping[str, Any], about: str, unit: str) -> str:
    target = f" ({', '.join(filter(None, [about, in_unit(amount(one['target'], one['measure']), unit)]))})" if _there(one["target"]) else f" ({about})" if about else ""
    reached = f"; reached on {_day(one['reached_on'])}" if _there(one.get("reached_on")) else ""
    return f"by {_day(one['due'])}: {one['text']}{target}{reached}"


def _block(one: Mapping[str, Any], about: str) -> str:
    due = f"; deload due in the week of {_day(one['deload_due'])}" if _there(one["deload_due"]) else ""
    return f"{_day(one['starts'])} to {_day(one['ends'])}: {one['aim']}{due}"


def _decision(one: Mapping[str, Any], about: str) -> str:
    return f"{_day(one['date'])}" + (f" ({about})" if about else "") + f": {one['text']}"


def goal_now(measure: str, target: float, value: float, low: float, high: float, unit: str = KG) -> str:
    """How far a goal with a number is, with the 80 % interval of the present value. It is reached where all of that is at the target or above.

    >>> goal_now("e1rm", 70.0, 71.1, 69.0, 73.2), goal_now("e1rm", 70.0, 73.0, 70.0, 76.1), goal_now("load", 62.5, 60.0, 60.0, 60.0)
    ('now 71.1 kg (69 to 73.2), the goal within its uncertainty', 'now 73 kg (70 to 76.1), reached', 'now 60 kg, 2.5 kg to go')
    >>> goal_now("reps", 25.0, 23.0, 20.8, 25.5)
    'now 23 repetitions (20.8 to 25.5) with those in reserve, 2 repetitions to go'
    """
    span = f" ({number(low)} to {number(high)})" if _there(low) and high > low else ""
    told = "reached" if past(low if span else value, target) else "the goal within its uncertainty" if past(value, target) else f"{amount(target - value, measure)} to go"
    return in_unit(f"now {amount(value, measure)}{span}{' with those in reserve' * (measure == 'reps')}, {told}", unit)


def kept(what: str) -> str:
    return f"{begun(what)} is kept."


def _there(value: Any) -> bool:
    return value is not None and not pd.isna(value)


def _day(value: Any) -> str:
    return day(date.fromisoformat(value[:10]) if isinstance(value, str) else value)


def felt(one: Mapping[str, Any]) -> str:
    """A place of pain or soreness with its score, and for how many weeks running it was noted.

    >>> felt({"kind": "pain", "place": "left elbow", "score": 4.0}), felt({"kind": "pain", "place": "knee", "score": 4.0, "weeks": 3})
    ('pain, left elbow, 4 of 10', 'pain, knee, 4 of 10, 3 weeks running')
    """
    score = f"{number(one['score'])} of 10" if _there(one["score"]) else "no score"
    return ", ".join([one["kind"], one["place"], score, *([f"{one['weeks']} weeks running"] if one.get("weeks", 1) > 1 else [])])


def more_of_felt(one: Mapping[str, Any]) -> str:
    """What stands after a place of pain or soreness: its day, exercises, the words of its notes, and whether the client may see it.

    >>> more_of_felt({"date": date(2026, 3, 9), "called": ["hammer curl"], "text": "last set only", "shared": False})
    '9 March, hammer curl: last set only'
    """
    return ": ".join(filter(None, [", ".join([day(one["date"], year=False), *one["called"]]), one["text"]])) + (MAY_BE_SHOWN if one["shared"] else "")


def from_the_log(one: Mapping[str, Any]) -> str:
    """A note of the log with its day and exercise.

    >>> from_the_log({"date": date(2026, 3, 9), "called": "hammer curl", "text": "left elbow twinge"})
    '9 March, hammer curl: left elbow twinge'
    """
    return f"{', '.join(filter(None, [day(one['date'], year=False), one['called']]))}: {one['text']}"


def open_from_before(before: pd.DataFrame, now: Collection[str]) -> str:
    """What was noted the week before and not again: kind, place, score, called (exercises in words). now: this week's places. '' for nothing.

    >>> rows = pd.DataFrame({"kind": "pain", "place": ["left elbow", "knee"], "score": [3.0, None], "called": [["hammer curl"], []]})
    >>> open_from_before(rows, []), open_from_before(rows, ["left elbow"])
    ('Open from the week before: pain, left elbow (3 of 10, with hammer curl) and knee. Ask whether it is gone.', 'Open from the week before: pain, knee. Ask whether it is gone.')
    """
    places: dict[str, list[Any]] = {}
    for row in before[(before["kind"] == "pain") & before["place"].notna()].itertuples():
        if not any(may_be_one_place(row.place, one) for one in now):
            places.setdefault(same_place(row.place), []).append(row)
    told = []
    for rows in places.values():
        score = max((row.score for row in rows if pd.notna(row.score)), default=None)
        about = list(dict.fromkeys(name for row in rows for name in row.called))
        said = ", ".join(filter(None, ["" if score is None else f"{number(score)} of 10", f"with {few(about)}" if about else ""]))
        told.append(rows[0].place + (f" ({said})" if said else ""))
    return f"Open from the week before: pain, {together(told)}. Ask whether it is gone." if told else ""


def gave_out(rows: pd.DataFrame) -> str:
    """What ended sets before the muscle did: limited_by, called, sets."""
    told = []
    for limit, own in rows.groupby("limited_by", sort=False):
        told.append(f"{limit} on {counted(int(own['sets'].sum()), 'set', 'sets')} ({few(own['called'].tolist())})")
    return f"Gave out before the muscle: {'; '.join(told)}."
