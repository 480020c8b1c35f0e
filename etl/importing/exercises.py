"""The exercise of each set, and what follows from knowing it: the modifiers in its name, and what its load is written of."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pandas as pd

from etl import tables
from etl.names import Match, normalise_name
from etl.normalise import Normal
from etl.settings import RULES, Rules


def with_exercises(normal: Normal, matches: tuple[Match, ...], rules: Rules = RULES) -> Normal:
    """Put the matched exercise, and the grip, stance or side that stood in its name, into the rows."""
    by_name = {m.name: m for m in matches}
    sets = normal.sets
    keys = list(zip(sets["exercise_as_written"], sets["exercise"].fillna(""), sets["modifiers"].fillna(""), sets["side"], strict=True))
    found = {key: exercise_of(by_name[key[0]], *key[1:]) for key in dict.fromkeys(keys)}
    done = pd.DataFrame([found[key] for key in keys], columns=["exercise", "modifiers", "side"], index=sets.index)
    names = {name: normalise_name(name) for name in by_name}
    sets = sets.assign(
        exercise=pd.array(done["exercise"], dtype="str"), modifiers=pd.array(done["modifiers"], dtype="str"), side=pd.array(done["side"], dtype="str"),
        name_key=pd.array(sets["exercise_as_written"].map(names), dtype="str"))
    return _loads_of_bars(_without_help(replace(normal, sets=sets)), rules)


def exercise_of(match: Match, own_id: str, own: str, side: str) -> tuple[str | None, str | None, str]:
    """Exercise, modifiers and side of a set: by its name, else by the id that the file gives."""
    exercise, modifiers = match.exercise, _joined(own, match.modifiers)
    if own_id in _ids() and match.exercise is None:
        exercise, modifiers = own_id, own
    if exercise:
        # A dumbbell curl with a neutral grip is a hammer curl, however it was written.
        exercise, modifiers = tables.same_exercise(exercise, modifiers)
    return exercise or None, modifiers or None, match.side if match.side and side == "both" else side


def _joined(own: str, from_name: str) -> str:
    return ";".join(dict.fromkeys(part for text in (own, from_name) for part in text.split(";") if part))


def _without_help(normal: Normal) -> Normal:
    """A load below zero is help, and only one's own body can be helped: on a barbell it is said, for a person to look at."""
    sets = normal.sets
    odd = (sets["load_kg"] < 0) & sets["exercise"].isin(_outer_loads())
    if not odd.any():
        return normal
    names = ", ".join(sets.loc[odd, "exercise_as_written"].drop_duplicates().head(3))
    return replace(normal, assumed=[*normal.assumed, f"{int(odd.sum())} loads below zero of exercises that nothing can help ({names}): look at them"])


def _loads_of_bars(normal: Normal, rules: Rules) -> Normal:
    """Plates per side on a barbell are twice the plates and the bar; on anything else the load stays as it is written."""
    sets = normal.sets
    plates = (sets["load_basis"] == "per_side") & sets["exercise"].isin(_with_a_barbell())
    if plates.any():
        load = sets["load_kg"].mask(plates, 2 * sets["load_kg"] + rules.bar_kg)
        said = (f"{int(plates.sum())} loads are plates per side of a barbell: twice the plates and a bar of {rules.bar_kg:g} kg are taken, "
                "marked as estimated")
        normal = replace(normal, assumed=[*normal.assumed, said])
        sets = sets.assign(load_kg=load, load_estimated=sets["load_estimated"] | plates)
    pairs = (sets["load_basis"] == "per_hand") & sets["exercise"].isin(_held_by_no_hand())
    if pairs.any():
        names = ", ".join(sets.loc[pairs, "exercise_as_written"].drop_duplicates().head(3))
        said = (f"{int(pairs.sum())} loads are written for each hand, of exercises that have one load for both ({names}): "
                "twice the number is stored, marked as estimated")
        normal = replace(normal, assumed=[*normal.assumed, said])
        sets = sets.assign(load_kg=sets["load_kg"].mask(pairs, 2 * sets["load_kg"]), load_estimated=sets["load_estimated"] | pairs)
    return replace(normal, sets=sets.drop(columns="load_basis"))


@cache
def _ids() -> frozenset[str]:
    return frozenset(tables.exercises()["exercise_id"])


@cache
def _outer_loads() -> frozenset[str]:
    table = tables.exercises()
    return frozenset(table.loc[table["load_basis"] == "external", "exercise_id"])


@cache
def _held_by_no_hand() -> frozenset[str]:
    """Exercises of both sides at once, every way of which has one load for both hands: a barbell, a machine, a cable."""
    table = tables.exercises()
    held = {"dumbbell", "dumbbells", "kettlebell", "kettlebells"}
    return frozenset(row.exercise_id for row in table.itertuples() if row.load_basis == "external" and row.laterality == "bilateral"
                     and not any(option & held for option in tables.equipment_options(row.equipment)))


@cache
def _with_a_barbell() -> frozenset[str]:
    table = tables.exercises()
    return frozenset(row.exercise_id for row in table.itertuples() if any("barbell" in option for option in tables.equipment_options(row.equipment)))
