"""Sets, sessions and bests as table rows: all of it text, with units in the headings."""

from __future__ import annotations

from typing import Any

import pandas as pd

from dashboard.charts.strength import UNLOADED
from dashboard.sentences.decimal_mark import told
from dashboard.sentences.units import BODY_WEIGHT
from dashboard.sentences.dose import between
from dashboard.sentences.numbers import amount, counted, day, number

KINDS = {"work": "", "warm_up": "warm-up", "drop": "drop", "rest_pause": "rest-pause", "cluster": "cluster"}
SIDES = {"both": "", "left": "left", "right": "right"}
RANGES = {"full": "", "lower_half": "lower half", "upper_half": "upper half", "part": "part of the range"}


def source_rows(source: pd.DataFrame, names: list[str]) -> pd.DataFrame:
    """Rows of `standing.traced.Sets.came_from`; names: of the exercises, row by row. The last row is the sum."""
    rows = [{"exercise": name + _variant(row.modifiers), "sets logged": number(row.sets), "hard sets": number(row.hard, 2), "one counts": number(row.credit, 2),
             "gives": f"{number(row.dose, 2)}{between(row.low, row.high)}"} for name, row in zip(names, source.itertuples(), strict=True)]
    total = source[["dose", "low", "high"]].sum()
    return pd.DataFrame([*rows, {"exercise": "all", "sets logged": number(source["sets"].sum()), "hard sets": "", "one counts": "",
                                 "gives": f"{number(total['dose'], 2)}{between(total['low'], total['high'])}"}])


def set_rows(sets: pd.DataFrame) -> pd.DataFrame:
    """One row per set in the order of the log; sets: rows of `queries.look_up.as_logged`. A column in which nothing was logged is left out."""
    found = pd.DataFrame([
        {"date": day(row.date), "exercise": row.called + _variant(row.modifiers), "as written": _text(row.exercise_as_written),
         "round": _known(row.round_no), "set": _known(row.set_no), "side": SIDES.get(row.side, row.side), "load, kg": BODY_WEIGHT if row.load_kg == 0 else _known(row.load_kg),
         "repetitions": _known(row.reps), "held, s": _known(row.hold_s), "in reserve": _known(row.rir), "RPE": _known(row.rpe), "kind": KINDS.get(row.kind, row.kind),
         "range": RANGES.get(row.range, row.range), "rest, s": _known(row.rest_s), "tempo": _text(row.tempo), "ended by": _text(row.limited_by),
         "counts, hard sets": number(row.hard, 2), "note": _text(row.note)} for row in sets.itertuples()])
    return found[[name for name in found.columns if name == "exercise" or (found[name] != "").any()]]


def given_rows(exercises: pd.DataFrame, names: list[str], parts: dict[str, str], most: int = 4) -> pd.DataFrame:
    """What each exercise gave: rows of `standing.traced.Sets.by_exercise`. names: of the exercises; parts: part id -> its word."""
    return pd.DataFrame([
        {"exercise": name + _variant(row.modifiers), "sets logged": number(row.sets), "hard sets": number(row.hard, 2), "came to": _given(row.parts, parts, most)}
        for name, row in zip(names, exercises.itertuples(), strict=True)])


def best_rows(bests: pd.DataFrame) -> pd.DataFrame:
    """Rows of `queries.look_up.bests_of`: what is new, with its interval, and what it was before."""
    return pd.DataFrame([
        {"exercise": row.name_ + (f", {told(row.series)}" if row.series not in ("", UNLOADED) else ""), "best": _short(row.value, row.measure),
         "80 % interval": f"{_short(row.low, row.measure).partition(' ')[0]} to {_short(row.high, row.measure)}", "before": _short(row.before, row.measure)}
        for row in bests.rename(columns={"name": "name_"}).itertuples()])


def _short(value: float, measure: str) -> str:
    """A value with its unit, in words that a narrow table has room for."""
    return amount(value, measure).replace("repetitions", "reps")


def heaviest_rows(found: pd.DataFrame, per_hand: bool) -> pd.DataFrame:
    """Rows of `measures.records.heaviest`; numbers of repetitions that one set is the best of stand in one row."""
    unit, same = "kg, one hand" if per_hand else "kg", ["load_kg", "reps", "date"]
    runs = found.groupby((found[same] != found[same].shift()).any(axis=1).cumsum(), sort=False)
    return pd.DataFrame([{"repetitions": _span(*own["repetitions"].iloc[[0, -1]]), f"heaviest load, {unit}": number(own["load_kg"].iloc[0], 2),
                          "in a set of": number(own["reps"].iloc[0]), "first on": day(own["date"].iloc[0])} for _, own in runs])


def at_load_rows(found: pd.DataFrame, value: str, heading: str) -> pd.DataFrame:
    """Rows of `measures.records.most_at_load`; heading: what `value` is, with its unit."""
    return pd.DataFrame([{"load, kg": "none added" if row.load_kg == 0 else number(row.load_kg, 2), heading: number(getattr(row, value)), "first on": day(row.date),
                          "sets at it": number(row.sets)} for row in found.itertuples()])


def session_words(session: Any) -> str:
    """A row of `standing.traced.Sets.sessions`, in a line that a narrow screen has room for: Tue 10 March, Lower A: 14 sets, 12 hard."""
    return f"{session.date:%a} {day(session.date, year=False)}{_called(session)}: {counted(int(session.sets), 'set', 'sets')}, {number(session.hard)} hard"


def session_title(session: Any) -> str:
    """When it was, and what the log calls it."""
    return f"{session.date:%A} {day(session.date)}{_called(session)}"


def _called(session: Any) -> str:
    return "" if session.session in ("", f"{session.date:%Y-%m-%d}") else f", {session.session}"


def _given(given: dict[str, float], parts: dict[str, str], most: int) -> str:
    told = [f"{parts.get(part, part)} {number(dose, 2)}" for part, dose in given.items()]
    return ", ".join(told[:most]) + (f" and {counted(len(told) - most, 'other part', 'other parts')}" if len(told) > most else "") or "nothing"


def _variant(modifiers: object) -> str:
    """With the grip or stance that was logged: ', grip neutral'."""
    return "".join(f", {one.replace('=', ' ').replace('_', ' ')}" for one in modifiers.split(";")) if isinstance(modifiers, str) and modifiers else ""


def _span(first: float, last: float) -> str:
    return number(first) if first == last else f"{number(first)} to {number(last)}"


def _known(value: float | None) -> str:
    return "" if pd.isna(value) else number(value, 2)


def _text(value: object) -> str:
    return value if isinstance(value, str) else ""
