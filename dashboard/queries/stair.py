"""Stairs: the steps of a progression, or the loads of one exercise, with the best set of each session on them."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Callable, Collection, Mapping
from datetime import date, timedelta

import numpy as np
import pandas as pd

from dashboard.measures.in_hand import next_up
from dashboard.measures.nearness import mist, nearness, reps_before
from dashboard.queries.felt import FELT
from dashboard.queries.kept import Store, rows
from dashboard.queries.words import exercise_words
from dashboard.sentences import stair as say
from dashboard.sentences.numbers import measured
from dashboard.sentences.stair import LADDER, LOADS, PLACES, Ahead, Stair
from dashboard.sentences.units import as_lifted, plates
from etl import tables
from etl.settings import RULES

WEEKS = 12
LEAST_LOADS, MOST_LOADS = 2, 6
HURT_WEEKS = 4  # [D] pain that is older says little of now
OF_ADDED_LOAD = "body mass added"  # a condition that repetitions alone cannot show
WITH_BAND = "with a band"  # how the label of a series ends where a band helped or hindered
LATELY = """
select date, exercise, measure, series, load_kg from kept_bests where athlete = ? and date between ?::date and ?::date + 6 order by date, exercise, measure, series
"""
OF_ALL_TIME = """
select date, exercise, measure, series, value, low, high, load_kg, reps, hold_s, rir, counted from kept_bests
where athlete = ? and exercise in ({}) order by date, exercise, measure, series
"""
SAID = "select loads, equation from athletes where athlete = ?"
HURT = f"""
select distinct subject from {FELT}
where athlete = ? and kind = 'pain' and not planned and subject is not null and date < ?::date + 7 and date >= ?::date - 7 * (? - 1)
"""


def stairs(store: Store, athlete: str, week: date, weeks: int = WEEKS) -> dict[str, str]:
    """Stair id -> its name, of all that were trained in the `weeks` weeks up to that week; the one most worth showing first.

    Those with two steps and more come before those with one, then progressions before loads, then the one with most steps, then the one
    trained oftenest. Loads are a stair from the second load on.
    """
    found = rows(store, LATELY, athlete, week - timedelta(days=7 * (weeks - 1)), week)
    climbed = _stood_on(found.merge(_places(), on="exercise"), LADDER, "ladder", "exercise", _ladder_names())
    loads = _stood_on(_at_loads(found), LOADS, "exercise", "load_kg", exercise_words())
    every = pd.concat([climbed, loads[loads["steps"] >= LEAST_LOADS]])
    every = every.assign(several=every["steps"] > 1).sort_values(["several", "kind", "steps", "days"], ascending=[False, True, False, False], kind="stable")
    alike = every["name"].duplicated(keep=False) & (every["kind"] == LOADS)  # a progression is often called as an exercise on it
    return {which: f"{name}, loads" if too else name for which, name, too in zip(every.index, every["name"], alike, strict=True)}


def exercises_of(which: str) -> frozenset[str]:
    """The exercises that can stand on the stair of that id."""
    kind, _, of = which.partition(":")
    return frozenset({of} if kind == LOADS else _places().loc[_places()["ladder"] == of, "exercise"])


def hurting(store: Store, athlete: str, week: date) -> frozenset[str]:
    """The exercises and parts that pain was noted with in the last weeks up to that one, in the log or beside it, privately too: not to be shown."""
    return frozenset(rows(store, HURT, athlete, week, week, HURT_WEEKS)["subject"])


def hurts(of: Stair, hurting: Collection[str]) -> bool:
    """Whether what is stood on is among what hurt, or trains a part first that did."""
    return touches(of.sessions.loc[of.sessions["step"] == of.current, "exercise"].iloc[-1], hurting)


def touches(exercise: str, hurting: Collection[str]) -> bool:
    """Whether an exercise is among what hurt, or trains a part first that did. hurting: as `hurting` gives it."""
    return not {exercise, *tables.trained_first().get(exercise, ())}.isdisjoint(hurting)


def _stood_on(found: pd.DataFrame, kind: str, of: str, step: str, names: Mapping[str, str]) -> pd.DataFrame:
    """How many steps and days each stair has, by its id."""
    steps, days = defaultdict(set), defaultdict(set)
    for one, stood, day in zip(*(found[name].tolist() for name in (of, step, "date")), strict=True):
        steps[one].add(stood)
        days[one].add(day)
    every = sorted(steps)
    return pd.DataFrame({"steps": [len(steps[one]) for one in every], "days": [len(days[one]) for one in every], "kind": kind,
                         "name": [names.get(one, one) for one in every]}, index=[f"{kind}:{one}" for one in every])


@tables.per_catalogue
def _ladder_names() -> dict[str, str]:
    return dict(zip(tables.ladders()["ladder_id"], tables.ladders()["name"], strict=True))


def stair(store: Store, athlete: str, which: str, week: date, weeks: int = WEEKS) -> Stair | None:
    """The stair of an id of `stairs` over the `weeks` weeks that end with `week`; None where nothing of it was done in them."""
    kind, _, of = which.partition(":")
    found = _bests(store, athlete, which, week)
    return _ladder(found, of, week, weeks) if kind == LADDER else _loads(found, of, week, weeks, *_said(store, athlete))


def _bests(store: Store, athlete: str, which: str, week: date) -> pd.DataFrame:
    exercises = sorted(exercises_of(which))
    found = rows(store, OF_ALL_TIME.format(", ".join("?" * len(exercises))), athlete, *exercises)
    return found.iloc[: found["date"].searchsorted(pd.Timestamp(week + timedelta(days=7)))]


def _before(week: date, weeks: int) -> pd.Timestamp:
    """The last day before the window."""
    return pd.Timestamp(week) - pd.Timedelta(days=7 * (weeks - 1) + 1)


@tables.per_catalogue
def _places() -> pd.DataFrame:
    """exercise, ladder, place of every exercise that stands on a progression."""
    known = tables.exercises()
    known = known[known["ladder_id"] != ""]
    return pd.DataFrame({"exercise": known["exercise_id"], "ladder": known["ladder_id"], "place": known["ladder_step"].astype(int)})


def _said(store: Store, athlete: str) -> tuple[tuple[float, ...], str]:
    """The loads in the house (kg in one hand, from the lightest), and the equation of the athlete's estimates."""
    found = rows(store, SAID, athlete)
    if found.empty:
        return (), "lower_of_two"
    loads, equation = found.iloc[0]
    return tuple(sorted(json.loads(loads))) if isinstance(loads, str) else (), equation


# --- a progression -------------------------------------------------------------------------------------------------


def _ladder(found: pd.DataFrame, ladder: str, week: date, weeks: int) -> Stair | None:
    found = found.merge(_places(), on="exercise").sort_values(["date", "place"], kind="stable")
    rules = tables.steps_by_id()
    found = found[found["exercise"].isin(found.loc[found["date"] > _before(week, weeks), "exercise"])]
    found = pd.concat([_one_scale(own, rules.loc[exercise], _before(week, weeks)) for exercise, own in found.groupby("exercise")] or [found])
    shown = found[found["date"] > _before(week, weeks)]
    if shown.empty:
        return None
    steps = _steps(shown.drop_duplicates("exercise").sort_values(["place", "exercise"], ignore_index=True), rules)
    return _stood(_ladder_names()[ladder], LADDER, found.assign(key=found["exercise"]), steps, week, weeks, 0, lambda current: _next_step(current, steps, rules))


def _steps(shown: pd.DataFrame, rules: pd.DataFrame) -> pd.DataFrame:
    """The steps of a progression that were stood on, from the lowest. shown: one row of each, with exercise, ladder, place, scale."""
    places = _places()
    most = places.loc[places["ladder"].isin(shown["ladder"]), "place"].max()
    return pd.DataFrame({
        "key": shown["exercise"], "step": range(len(shown)), "name_": [exercise_words().get(one, one) for one in shown["exercise"]], "number": shown["place"],
        "place": [f"step {place} of {most}" for place in shown["place"]], "scale": shown["scale"],
        "last": [not tables.steps_above().get(one) and not _number(rules.loc[one]) for one in shown["exercise"]],
        "asks": [_asks(rules.loc[one], "leave") for one in shown["exercise"]]})


def _number(rule: pd.Series) -> bool:
    """Whether the way up from a step asks for repetitions or seconds."""
    return bool(rule[["leave_reps", "leave_s"]].notna().any())


def _one_scale(own: pd.DataFrame, rule: pd.Series, before: pd.Timestamp) -> pd.DataFrame:
    """A step's best set of each session, with its nearness: to what the way up asks, or to the step's own best where it asks for no number
    or nothing without help was done in the window.
    """
    held = pd.notna(rule["leave_s"])
    helped = (own["load_kg"] < 0) | (own["series"].str.endswith(WITH_BAND) & ~own["exercise"].isin(_banded()))
    unaided = own[(own["measure"] == ("hold" if held else "reps")) & ~helped]
    if _number(rule) and OF_ADDED_LOAD not in rule["leave_also"] and (unaided["date"] > before).any():
        own, scale = unaided, {"asked": rule["leave_s" if held else "leave_reps"], "reserve": 0.0 if held else RULES.step_reserve}
        scale_is = "rule"
    else:
        own = own[own["measure"] == _measure(own[own["date"] > before])]
        scale, scale_is = {"asked": own["value"].max(), "reserve": 0.0}, "best"
    own = own.sort_values(["date", "value"], kind="stable").drop_duplicates("date", keep="last")
    return _near(own, **scale).assign(scale=scale_is)


@tables.per_catalogue
def _banded() -> frozenset[str]:
    """The exercises to which a band belongs."""
    known = tables.exercises()
    return frozenset(one for one, equipment in zip(known["exercise_id"], known["equipment"], strict=True)
                     if any("band" in option for option in tables.equipment_options(equipment)))


def _measure(own: pd.DataFrame) -> str:
    """The one measure of a step without a number to reach: seconds; repetitions at one load; else the estimate, which puts loads on one scale."""
    kinds, loads = set(own["measure"]), own.loc[own["measure"] == "reps", "series"].nunique()
    estimate = sorted(kinds - {"hold", "reps"})
    return "hold" if "hold" in kinds else "reps" if "reps" in kinds and (loads <= 1 or not estimate) else estimate[0]


def _near(own: pd.DataFrame, asked: float, reserve: float, base: float = 0.0) -> pd.DataFrame:
    """One step's best sets with their nearness, and the mist around them in the same share."""
    value = own["value"].to_numpy()
    noise = np.log(own["high"].to_numpy() / own["low"].to_numpy()) / (2 * RULES.z_interval)
    ends = mist(_whole_days(own["date"]), value, noise) if len(own) else [np.zeros(0)] * 3
    found = {"near": value, **dict(zip(("mist_low", "mist_middle", "mist_high"), ends, strict=True))}
    return own.assign(**{name: nearness(value, asked, base, reserve) for name, value in found.items()})


def _whole_days(dates: pd.Series) -> np.ndarray:
    return (dates - pd.Timestamp(0)).dt.days.to_numpy()


def _asks(rule: pd.Series, way: str) -> str:
    return say.asks(rule[f"{way}_sets"], rule[f"{way}_reps"], rule[f"{way}_s"], rule[f"{way}_also"])


def _next_step(current: pd.Series, steps: pd.DataFrame, rules: pd.DataFrame) -> Ahead | None:
    above = tables.steps_above().get(current["key"], "")
    if not above:
        return None
    stood = steps.loc[steps["key"] == above, "step"]
    return Ahead(exercise_words().get(above, above), f"opens at {_asks(rules.loc[above], 'enter')}", int(stood.iloc[0]) if len(stood) else None)


# --- the loads of one exercise -----------------------------------------------------------------------------------------


def _at_loads(found: pd.DataFrame) -> pd.DataFrame:
    """The best set of each session at each load that was written, without bands and things whose load is guessed."""
    plain = found[(found["measure"] == "reps") & (found["load_kg"] > 0)]
    written = [f"{round(kg, 2):g} kg" for kg in plain["load_kg"].tolist()]
    return plain[plain["series"].to_numpy(dtype=object) == np.array(written, dtype=object)]


def _loads(found: pd.DataFrame, exercise: str, week: date, weeks: int, at_hand: tuple[float, ...], equation: str) -> Stair | None:
    found = _at_loads(found)
    found = found.assign(key=found["load_kg"].round(4)).sort_values(["date", "key"], kind="stable")
    shown = found[found["date"] > _before(week, weeks)]
    if shown.empty:
        return None
    known = tables.by_id().loc[exercise]
    use = shown.groupby("key")["date"].nunique().sort_values(ascending=False, kind="stable")
    current = shown["key"].iloc[-1]
    loads = sorted([current, *use.index[use.index != current][: MOST_LOADS - 1]])
    house = [round(one, 4) for one in at_hand] if exercise in tables.held_in_hands() else []
    known_loads = house or found["key"].unique().tolist()
    heavier = {load: next_up(load, known_loads) for load in loads}
    asked = {load: _asked(load, above, known, equation) for load, above in heavier.items()}
    steps = pd.DataFrame({"key": loads, "step": range(len(loads)), "name_": [plates(load) for load in loads], "number": range(1, len(loads) + 1), "place": "",
                          "scale": "range", "last": False, "asks": [say.asks_of_load(_top(asked[load], known)) for load in loads]})
    found = found[found["key"].isin(loads)]
    found = pd.concat([_near(own, _top(asked[load], known), RULES.step_reserve, known["reps_low"]) for load, own in found.groupby("key")])
    return _stood(exercise_words().get(exercise, exercise), LOADS, found, steps, week, weeks, len(use) - len(loads),
                  lambda current: _next_load(current["key"], heavier[current["key"]], asked[current["key"]], known, steps, bool(house)))


def _asked(load: float, heavier: float | None, known: pd.Series, equation: str) -> float:
    """Repetitions, with one in reserve, that open the next load: the top of the range, and enough to leave its low end there; nan where no number does."""
    if heavier is None or known["load_basis"] == "body":
        return known["reps_high"]
    needed = reps_before(load, heavier, known["reps_low"], equation) - RULES.step_reserve
    return needed if np.isnan(needed) else max(known["reps_high"], needed)


def _top(asked: float, known: pd.Series) -> float:
    return asked if asked == asked else known["reps_high"]


def _next_load(load: float, heavier: float | None, asked: float, known: pd.Series, steps: pd.DataFrame, in_house: bool) -> Ahead:
    if in_house and heavier is None:
        return Ahead(*say.NOTHING_HEAVIER)
    stood = steps.loc[steps["key"] == heavier, "step"]
    opens = f"opens at {say.asks_of_load(_top(asked, known))}"
    if asked != asked:
        opens += f"; {say.large_step(load, heavier)}"
    return Ahead(plates(heavier) if heavier else say.unknown_load(), opens, int(stood.iloc[0]) if len(stood) else None)


# --- where the athlete stands ---------------------------------------------------------------------------------------------


def _stood(name: str, kind: str, found: pd.DataFrame, steps: pd.DataFrame, week: date, weeks: int, left_out: int,
           ahead: Callable[[pd.Series], Ahead | None]) -> Stair:
    """The stair of all best sets up to the week. found: key, date and nearness of all time, in order; ahead: the step stood on -> the next."""
    shown = found[found["date"] > _before(week, weeks)].merge(steps[["key", "step"]], on="key")
    shown = shown.sort_values(["date", "step"], kind="stable", ignore_index=True)
    lately = shown["date"] > shown["date"].iloc[-1] - pd.Timedelta(days=RULES.step_stands_days)
    current = steps.iloc[int(shown.loc[lately, "step"].max())]
    own = found.loc[found["key"] == current["key"], "date"].drop_duplicates().sort_values()
    gaps = np.flatnonzero(own.diff().dt.days.to_numpy() > RULES.idle_days)
    since = own.iloc[gaps[-1] if len(gaps) else 0]
    higher = shown.loc[shown["step"] > current["step"], "date"]
    if len(higher) and (after := own[own > higher.max()]).size:
        since = max(since, after.iloc[0])  # stepping down begins after the last session above
    sets = zip(*(shown[name].tolist() for name in ("load_kg", "reps", "hold_s", "rir")), strict=True)
    ends = zip(*(shown[name].tolist() for name in ("low", "high", "measure")), strict=True)
    shown = shown.assign(told=[as_lifted(*one) for one in sets],
                         interval=[f"{measured(low, PLACES[of])} to {measured(high, PLACES[of])}" for low, high, of in ends])
    return Stair(name, kind, week - timedelta(days=7 * (weeks - 1)), week + timedelta(days=6), steps.drop(columns="key"),
                 shown, ahead(current), int(current["step"]), int(current["number"]),
                 since.date(), own.iloc[-1].date(), bool((higher < since).any()), bool(current["last"]), left_out)
