"""The catalogue's tables as frames: read once, handed out as copies. etl/catalogue/README.md explains each column.

Text columns are str and never missing (empty text instead); the columns in `NUMBERS` are float64, NaN where
empty. The files travel in the package, so they are found wherever it is installed.

What the keeper of a store changed lies over the shipped tables while that store is in use: opening a store sets it
(`use`), for the thread that opened it. What is worked out of exercises, credits or aliases is kept `per_catalogue`.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from contextvars import ContextVar
from functools import cache, lru_cache, wraps
from importlib.resources import files
from typing import Any

import numpy as np
import pandas as pd

from etl.own.what import NOTHING, OWN_SOURCE, Own
from etl.refusal import Refusal

NUMBERS = (
    "bodymass_share", "credit", "enter_reps", "enter_s", "enter_sets", "ladder_step", "leave_reps", "leave_s", "leave_sets",
    "max_isometric_force_n", "member_weight", "multiplier", "optimal_fibre_length_cm", "other_reading", "reps_high", "reps_low",
    "share_in_muscle", "volume_cm3",
)


@cache
def _read(name: str) -> pd.DataFrame:
    path = files("etl") / "catalogue" / f"{name}.csv"
    with path.open(encoding="utf-8", newline="") as file:
        table = pd.read_csv(file, dtype="str", keep_default_na=False)
    for column in table.columns.intersection(NUMBERS):
        table[column] = pd.to_numeric(table[column].replace("", None)).astype("float64")
    return table


class Catalogue:
    """The shipped tables with what somebody changed laid over them. key: tells two of them apart, "" for the shipped ones."""

    def __init__(self, own: Own) -> None:
        self.own, self.key = own, own.key
        self.kept: dict[Any, Any] = {}  # by function, what `per_catalogue` keeps
        self._laid: dict[str, pd.DataFrame] = {}

    def table(self, name: str) -> pd.DataFrame:
        if name not in OVERLAID or not self.key:
            return _read(name)
        if name not in self._laid:
            self._laid[name] = OVERLAID[name](_read(name), self.own)
        return self._laid[name]


CATALOGUES_KEPT = 4  # one of the store in use, one of the sample, and the one before a change


@lru_cache(maxsize=CATALOGUES_KEPT)
def _catalogue(own: Own) -> Catalogue:
    return Catalogue(own)


SHIPPED = Catalogue(NOTHING)
_IN_USE: ContextVar[Catalogue] = ContextVar("catalogue in use", default=SHIPPED)


def use(own: Own) -> None:
    """Lay these changes over the shipped tables, in this thread, until others are laid over them."""
    _IN_USE.set(_catalogue(own) if own.key else SHIPPED)


def in_use() -> Catalogue:
    """The catalogue of the store that this thread opened last; the shipped one where it opened none."""
    return _IN_USE.get()


def per_catalogue(function: Callable[..., Any] | None = None, *, maxsize: int | None = None) -> Any:
    """As functools.cache (or lru_cache with maxsize), but one for each catalogue, which goes with it."""
    if function is None:
        return lambda given: per_catalogue(given, maxsize=maxsize)

    @wraps(function)
    def kept(*args: Any) -> Any:
        here = in_use().kept
        if function not in here:
            here[function] = lru_cache(maxsize)(function)
        return here[function](*args)

    return kept


def _with_exercises(shipped: pd.DataFrame, own: Own) -> pd.DataFrame:
    return _below(shipped, [one.row() for one in own.exercises])


def _with_credits(shipped: pd.DataFrame, own: Own) -> pd.DataFrame:
    """A credit that was changed stands in place of the shipped one; one of 0 takes it away."""
    said = {(one.exercise_id, one.head_id) for one in own.credits}
    pairs = zip(shipped["exercise_id"], shipped["head_id"], strict=True)
    stays = shipped[[pair not in said for pair in pairs]]
    return _below(stays, [one.row() for one in own.credits if one.credit])


def _with_names(shipped: pd.DataFrame, own: Own) -> pd.DataFrame:
    return _below(shipped, [{"exercise_id": one.exercise_id, "alias": one.name, "kind": "name", "source_id": OWN_SOURCE, "mark": "C"}
                            for one in own.exercises])


def _below(shipped: pd.DataFrame, rows: list[dict[str, Any]]) -> pd.DataFrame:
    """The table with rows below it; what a row leaves out is empty, as in the files."""
    if not rows:
        return shipped.reset_index(drop=True)
    empty = {column: np.nan if column in NUMBERS else "" for column in shipped.columns}
    added = pd.DataFrame([empty | row for row in rows], columns=shipped.columns).astype(shipped.dtypes)
    return pd.concat([shipped, added], ignore_index=True)


OVERLAID = {"exercises": _with_exercises, "credits": _with_credits, "aliases": _with_names}


def _loader(name: str, grain: str) -> Callable[[], pd.DataFrame]:
    def load() -> pd.DataFrame:
        return in_use().table(name).copy(deep=False)  # copy-on-write: a caller cannot change what the next one gets

    load.__name__, load.__doc__ = name, grain
    return load


heads = _loader("heads", "One row per head, part or single-headed muscle: head_id.")
parts = _loader("parts", "One row per part that can be trained apart: part_id; `heads` is an 'a|b' list.")
exercises = _loader("exercises", "One row per exercise: exercise_id.")
aliases = _loader("aliases", "One row per way of writing an exercise: alias.")
credits = _loader("credits", "One row per exercise and head that it trains: exercise_id, head_id, credit.")
variants = _loader("variants", "One row per grip, stance or range and head whose share of the work it changes: variant_id.")
equivalents = _loader("equivalents", "One row per exercise and modifier that together are another exercise.")
ladders = _loader("ladders", "One row per progression: ladder_id.")
ladder_steps = _loader("ladder_steps", "One row per exercise that is a step of a progression: exercise_id; `enter_from` is an 'a|b' list.")
forearm_groups = _loader("forearm_groups", "One row per group and member muscle of the forearm.")
weight_on_wrists = _loader("weight_on_wrists", "One row per exercise that rests body weight on the wrists.")
evidence = _loader("evidence", "One row per order statement of a published study: claim_id.")
header_words = _loader("header_words", "One row per word that heads a column of a log: field, words.")
cell_words = _loader("cell_words", "One row per word that stands in a cell of a log with a meaning of its own: kind, words.")
name_words = _loader("name_words", "One row per word inside an exercise's name with a meaning of its own: written.")
sources = _loader("sources", "One row per source: source_id.")


def listed(text: str) -> list[str]:
    """'a|b' as a list; an empty text is an empty list."""
    return text.split("|") if text else []


def modifier_pairs(text: str | None) -> dict[str, str]:
    """'grip=neutral;stance=seated' as a dict. What is not written k=v is passed over."""
    pairs = (pair.split("=", 1) for pair in (text or "").split(";") if "=" in pair)
    return {key.strip(): value.strip() for key, value in pairs}


def modifier_text(pairs: dict[str, str]) -> str:
    """The dict of `modifier_pairs` as text, keys in alphabetical order."""
    return ";".join(f"{key}={value}" for key, value in sorted(pairs.items()))


def equipment_options(text: str) -> list[frozenset[str]]:
    """'bench|bench+dumbbells' as the sets of things of which any one set is enough."""
    return [frozenset(option.split("+")) for option in listed(text)]


HELD = frozenset({"dumbbell", "dumbbells", "kettlebell", "kettlebells"})
UNLOADED = frozenset({"bodyweight", "bench", "box", "rack", "ball", "towel"})  # what stands beside a held thing and has no load of its own


def held_in_hand(per_hand: bool, options: Collection[Collection[str]]) -> bool:
    """Whether an exercise's load is what hands hold: one of a pair, or one dumbbell or kettlebell alone. options: the things of each way to do it.

    Where a barbell, a machine, a cable, a band or a plate would do as well, nobody knows what a load was lifted with, and a machine's next step is not
    in the house: such an exercise hears nothing of it.

    >>> held_in_hand(True, [{"dumbbells"}]), held_in_hand(False, [{"dumbbell", "bench"}, {"kettlebell"}])
    (True, True)
    >>> held_in_hand(False, [{"machine"}, {"dumbbell"}]), held_in_hand(False, [{"barbell", "bench"}]), held_in_hand(False, [{"bodyweight"}])
    (False, False, False)
    """
    return per_hand or (any(HELD & set(option) for option in options) and all(set(option) <= HELD | UNLOADED for option in options))


@per_catalogue
def by_id() -> pd.DataFrame:
    """`exercises`, by exercise_id."""
    return exercises().set_index("exercise_id")


@per_catalogue
def steps_by_id() -> pd.DataFrame:
    """`ladder_steps`, by exercise_id."""
    return ladder_steps().set_index("exercise_id")


@per_catalogue
def held_in_hands() -> frozenset[str]:
    """The exercises that the loads in the house are for."""
    return frozenset(row.exercise_id for row in exercises().itertuples() if held_in_hand(row.per_hand == "yes", equipment_options(row.equipment)))


@per_catalogue
def trained_first() -> dict[str, tuple[str, ...]]:
    """Exercise -> the parts whose prime mover it is (credit 1 for one of their heads), in the order of the parts; without those that are none's."""
    table = credits()
    direct = table[table["credit"] >= 1]
    heads = direct.groupby("exercise_id", sort=False)["head_id"].agg(set).to_dict()
    of_parts = [(part, set(listed(own))) for part, own in zip(parts()["part_id"], parts()["heads"], strict=True)]
    found = {exercise: tuple(part for part, own in of_parts if own & of_exercise) for exercise, of_exercise in heads.items()}
    return {exercise: of_exercise for exercise, of_exercise in found.items() if of_exercise}


@per_catalogue
def steps_above() -> dict[str, str]:
    """Exercise -> the step above it: of those that name it in `enter_from`, one of its own ladder, the lowest."""
    place = by_id()[["ladder_id", "ladder_step"]]
    found: dict[str, tuple[float, str]] = {}
    for row in ladder_steps().itertuples():
        for below in listed(row.enter_from):
            if place.loc[below, "ladder_id"] == place.loc[row.exercise_id, "ladder_id"]:
                found[below] = min(found.get(below, (np.inf, "")), (place.loc[row.exercise_id, "ladder_step"], row.exercise_id))
    return {below: above for below, (_, above) in found.items()}


@per_catalogue
def _exercise(exercise_id: str) -> pd.Series:
    table = exercises()
    found = np.flatnonzero(table["exercise_id"] == exercise_id)
    if not len(found):
        raise Refusal(f"There is no exercise '{exercise_id}' in the catalogue", "exercise id", "Use an id of exercises.csv.")
    return table.iloc[int(found[0])]


@per_catalogue
def same_exercise(exercise_id: str, modifiers: str | None) -> tuple[str, str]:
    """The exercise that an exercise with modifiers really is, and the modifiers that are left.

    A dumbbell curl with a neutral grip is a hammer curl: both are to come out as one, in dose and in strength.
    Modifiers that are the exercise's own default are left out. Source: equivalents.csv.

    >>> same_exercise("dumbbell_curl", "grip=neutral;stance=seated")
    ('hammer_curl', 'stance=seated')
    """
    pairs, table = modifier_pairs(modifiers), _read("equivalents")
    for row in table[table["exercise_id"] == exercise_id].itertuples():
        if pairs.get(row.modifier) == row.value:
            del pairs[row.modifier]
            exercise_id = row.same_as
            break
    default = modifier_pairs(_exercise(exercise_id)["default_modifiers"])
    return exercise_id, modifier_text({k: v for k, v in pairs.items() if default.get(k) != v})


def credit_frame() -> pd.DataFrame:
    """exercise_id, head_id, credit (float: 1, 0.5 or 0.25), grade. A pair that is not there has no credit."""
    return credits()[["exercise_id", "head_id", "credit", "grade"]]


def modified_credits(exercise_id: str, modifiers: str | None = "") -> dict[str, float]:
    """Head id -> credit (0-1) of one exercise as it was done.

    A recruitment multiplier counts only where the logged modifier differs from the exercise's default; the
    credit never passes 1, and a head without credit stays without. `response` rows (how a head answers to
    length or range) change no credit. Raises Refusal for an exercise that the catalogue does not know.

    >>> modified_credits("dumbbell_curl", "grip=neutral") == modified_credits("hammer_curl")
    True
    """
    exercise_id, left = same_exercise(exercise_id, modifiers)
    return dict(_modified(exercise_id, left))


@per_catalogue
def _modified(exercise_id: str, modifiers: str) -> dict[str, float]:
    exercise, table = _exercise(exercise_id), credits()
    own = table[table["exercise_id"] == exercise_id]
    found = dict(zip(own["head_id"], own["credit"], strict=True))
    names = {exercise_id, f"pattern:{exercise['movement_pattern']}"}
    for pair in modifier_pairs(modifiers).items():
        for head, multiplier, applies_to in _recruitment().get(pair, ()):
            if head in found and names & applies_to:
                found[head] = min(1.0, found[head] * multiplier)
    return found


@cache
def _recruitment() -> dict[tuple[str, str], list[tuple[str, float, frozenset[str]]]]:
    """(modifier, value) -> head, multiplier and what it applies to, of each measured change of recruitment."""
    table, found = _read("variants"), {}
    for row in table[table["effect_type"] == "recruitment"].itertuples():
        found.setdefault((row.modifier, row.value), []).append((row.head_id, row.multiplier, frozenset(listed(row.applies_to))))
    return found
