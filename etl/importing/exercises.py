"""The exercise of each set, and what follows from knowing it: the modifiers in its name, and what its load is written of."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np
import pandas as pd

from etl import tables
from etl.columns import Column
from etl.columns.headers import EACH, words_of
from etl.names import Match, named_thing, normalise_name, with_thing
from etl.normalise import Normal
from etl.normalise.page import counted
from etl.normalise.rows import set_aside
from etl.read import TextTable
from etl.settings import RULES, Rules
from etl.told import LOOK

LEAST_HELD = 3  # [D] a bare number below it may be minutes or sets of a hold
SAME_KG = 0.05  # [D] how near a load and a body mass are one number
NAMED = 3  # [D] exercises that a sentence names
ONE_OF = EACH | {"hand", "hands", "side", "sides"}  # words of a header that say of which part of a load its numbers are
EQUIPMENT = r"(?:^|;)equipment="  # among a set's modifiers
# Bars of another weight than the straight one, as `normalise_name` and the modifiers leave them.
OTHER_BARS = r"\b(?:ez[ _]bar|trap[ _]bar|hex[ _]bar|safety[ _]bar|swiss[ _]bar|axle|log|smith)\b"


def with_exercises(normal: Normal, matches: tuple[Match, ...], table: TextTable, loads: str = "", rules: Rules = RULES) -> Normal:
    """Put the matched exercise, and the grip, stance or side that stood in its name, into the rows.

    table: the file's rows, for those that are set aside when their exercise is known. loads: the header of their loads.
    """
    by_name = {m.name: m for m in matches}
    normal = _done_with_loads(normal, loads)
    sets = normal.sets
    keys = list(zip(sets["exercise_as_written"], sets["exercise"].fillna(""), sets["modifiers"].fillna(""), sets["side"], strict=True))
    found = {key: exercise_of(by_name[key[0]], *key[1:]) for key in dict.fromkeys(keys)}
    done = pd.DataFrame([found[key] for key in keys], columns=["exercise", "modifiers", "side"], index=sets.index)
    names = {name: normalise_name(name) for name in by_name}
    sets = sets.assign(
        exercise=pd.array(done["exercise"], dtype="str"), modifiers=pd.array(done["modifiers"], dtype="str"), side=pd.array(done["side"], dtype="str"),
        name_key=pd.array(sets["exercise_as_written"].map(names), dtype="str"))
    normal = _with_holds(replace(normal, sets=sets), table)
    return _whole_loads(_loads_as_body(_without_help(normal)), table, rules)


def exercise_of(match: Match, own_id: str, own: str, side: str) -> tuple[str | None, str | None, str]:
    """Exercise, modifiers and side of a set: by its name and what it was done with, else by the id that the file gives."""
    match = match if own_id in _ids() else with_thing(match, thing_in(own))
    exercise, modifiers = match.exercise, _joined(own, match.modifiers)
    if own_id in _ids() and match.exercise is None:
        exercise, modifiers = own_id, own
    if exercise:
        # A dumbbell curl with a neutral grip is a hammer curl, however it was written.
        exercise, modifiers = tables.same_exercise(exercise, modifiers)
    return exercise or None, modifiers or None, match.side if match.side and side == "both" else side


def load_thing(header: str) -> str:
    """What a header of loads says that they are of, "" for nothing: dumbbell for "Dumbbell kg". One's own body is no load, and "per dumbbell"
    says how loads are written, not what each exercise is done with.
    """
    thing = named_thing(header)
    return "" if thing == "bodyweight" or ONE_OF & set(words_of(header)) else thing


def load_header(columns: Iterable[Column]) -> str:
    """The header of a file's loads, "" where it has none."""
    return next((c.header for c in columns if c.field == "load"), "")


def _done_with_loads(normal: Normal, header: str) -> Normal:
    """A load under "Dumbbell kg" was done with a dumbbell, where no column says what the set was done with."""
    thing, own = load_thing(header), normal.sets["modifiers"].fillna("")
    silent = (normal.sets["load_kg"] > 0) & ~own.str.contains(EQUIPMENT, regex=True)
    if not thing or not silent.any():
        return normal
    said = own.mask(silent, own.mask(own != "", own + ";") + f"equipment={thing}")
    told = f'loads in the column "{header}" read as a {thing}\'s, for exercises whose names do not say what they are done with'
    return replace(normal, sets=normal.sets.assign(modifiers=said.astype("str")), assumed=[*normal.assumed, told])


def thing_in(modifiers: str) -> str:
    """What a set was done with, of its modifiers; "" where they do not say it."""
    return tables.modifier_pairs(modifiers).get("equipment", "")


def meant(matches: Iterable[Match], sets: pd.DataFrame) -> tuple[Match, ...]:
    """What the names of the sets stand for, each with what it was done with. matches: by the names alone. sets: exercise_as_written, modifiers."""
    by_name = {match.name: match for match in matches}
    pairs = sets[["exercise_as_written", "modifiers"]].drop_duplicates().fillna("")
    return tuple(dict.fromkeys(with_thing(by_name[name], thing_in(own)) for name, own in pairs.itertuples(index=False)))


def _joined(own: str, from_name: str) -> str:
    return ";".join(dict.fromkeys(part for text in (own, from_name) for part in text.split(";") if part))


def _with_holds(normal: Normal, table: TextTable) -> Normal:
    """Bare numbers of exercises that are only held are seconds. Set aside are those that may be something else.

    A carry may count metres or steps, and one or two of a hold may be minutes or sets. "8:00" is an 8 that a spreadsheet
    has made a time of, where the exercise is not one that is held.
    """
    sets = normal.sets
    bare = sets["exercise"].isin(_of("mode", "hold")) & sets["hold_s"].isna() & (sets["reps"] > 0)
    carried = bare & ~sets["exercise"].isin(held_in_place())
    short = bare & ~carried & ((sets["reps"] < LEAST_HELD) | (sets["reps"] % 1 != 0))
    clock = (sets["work_form"] == "clock") & ~sets["exercise"].isin(_of("mode", "hold"))
    read = bare & ~carried & ~short
    sets = sets.assign(hold_s=sets["hold_s"].mask(read, sets["reps"]), reps=sets["reps"].mask(read)).drop(columns="work_form")
    assumed = list(normal.assumed)
    if read.any():
        assumed.append(f"{counted(int(read.sum()), 'number')} without a unit, of exercises that are held ({_names(sets, read)}), read as seconds")
    reason = pd.Series("", index=sets.index, dtype="str")
    reason = reason.mask(carried, "a number without a unit of a carry may be seconds, metres or steps: write 40 s, or leave the row out")
    reason = reason.mask(short, "so small a number of an exercise that is held may be seconds, minutes or sets: write it with its unit (60 s)")
    reason = reason.mask(clock, "a time such as 8:00 for an exercise of repetitions may be 8 that a spreadsheet has changed: write 8, or 480 s")
    return aside(replace(normal, sets=sets, assumed=assumed), table, reason)


def held_in_place() -> frozenset[str]:
    """Exercises that are only held, without carries: a bare number of theirs from LEAST_HELD on is seconds."""
    return _of("mode", "hold") - _of("movement_pattern", "carry")


def aside(normal: Normal, table: TextTable, reason: pd.Series) -> Normal:
    """The sets without those of rows that have a reason, and these rows set aside whole. reason: "" for none, one for each set."""
    sets = normal.sets
    wrong = pd.DataFrame({"row": sets["source_row"], "reason": reason})[reason != ""].drop_duplicates("row").set_index("row")["reason"]
    if wrong.empty:
        return normal
    position = pd.Series(np.arange(len(table.rows)), index=table.line_no)
    more = set_aside(table, wrong.set_axis(position[wrong.index].to_numpy()))
    kept = sets[~sets["source_row"].isin(wrong.index)].reset_index(drop=True)
    there = pd.concat([normal.set_aside, more]).sort_values("row", kind="stable").reset_index(drop=True)
    return replace(normal, sets=kept, set_aside=there, rows_with_sets=normal.rows_with_sets - len(wrong))


def _without_help(normal: Normal) -> Normal:
    """A load below zero is help, and only one's own body can be helped: on a barbell it is said, for a person to look at."""
    sets = normal.sets
    odd = (sets["load_kg"] < 0) & sets["exercise"].isin(_of("load_basis", "external"))
    if not odd.any():
        return normal
    said = f"{_loads(odd)} below zero, of exercises that nothing can help ({_names(sets, odd)}): look at them"
    return replace(normal, assumed=[*normal.assumed, said])


def _loads_as_body(normal: Normal) -> Normal:
    """A load that is the body mass beside it, in an exercise that the body itself loads, is said: it would count twice."""
    sets = normal.sets
    same = (sets["load_kg"] > 0) & sets["exercise"].isin(_of("load_basis", "body")) & ((sets["load_kg"] - sets["body_mass_kg"]).abs() < SAME_KG)
    if not same.any():
        return normal
    said = (f"{LOOK}{_are(same, 'load')} the body mass that stands beside, of exercises that the body loads ({_names(sets, same)}), and taken as added to it: "
            "where no weight was added, leave the load empty")
    return replace(normal, assumed=[*normal.assumed, said])


def _whole_loads(normal: Normal, table: TextTable, rules: Rules) -> Normal:
    """What is written of one side or one hand, as the exercise's whole load where it has one for both. Twice is always marked as estimated.

    A pair ("2x20") of an exercise that no hand holds may be two sets, and is set aside.
    """
    sets = normal.sets
    basis, exercise = sets["load_basis"], sets["exercise"]
    one_load = exercise.isin(_held_by_no_hand())
    pairs = (basis == "pair") & one_load
    reason = pd.Series("", index=sets.index, dtype="str").mask(
        pairs, "a load written twice of an exercise that has one load for both hands may be two sets: write the whole load, and a row for each set")
    hands = (basis == "per_hand") & one_load
    side = basis == "per_side"
    bars = side & exercise.isin(_with_a_barbell()) & ~_other_bar(sets)
    other_bars = side & ~bars & (exercise.isin(_with_any_bar()) | _other_bar(sets))
    machines = side & ~bars & ~other_bars & one_load
    rest = side & ~bars & ~other_bars & ~machines
    assumed = list(normal.assumed)
    if bars.any():
        assumed.append(f"{_are(bars, 'load')} plates per side of a barbell: twice the plates and a bar of {rules.bar_kg:g} kg are taken, marked as estimated")
    if other_bars.any():
        assumed.append(f"{_are(other_bars, 'load')} plates per side of a bar whose weight is not known ({_names(sets, other_bars)}): twice the plates "
                       "without the bar are stored, marked as estimated")
    if machines.any():
        assumed.append(f"{_are(machines, 'load')} written per side, of exercises that have one load for both sides ({_names(sets, machines)}): "
                       "twice the number is stored, marked as estimated")
    if rest.any():
        assumed.append(f"{_are(rest, 'load')} written per side, of exercises whose sides may have loads of their own ({_names(sets, rest)}): stored as written")
    if hands.any():
        assumed.append(f"{_are(hands, 'load')} written for each hand, of exercises that have one load for both ({_names(sets, hands)}): "
                       "twice the number is stored, marked as estimated")
    twice = bars | other_bars | machines | hands
    load = sets["load_kg"].mask(twice, 2 * sets["load_kg"]).mask(bars, 2 * sets["load_kg"] + rules.bar_kg)
    sets = sets.assign(load_kg=load, load_estimated=sets["load_estimated"] | twice).drop(columns="load_basis")
    return aside(replace(normal, sets=sets, assumed=assumed), table, reason)


def _are(where: pd.Series, thing: str) -> str:
    """ "1 load is", "3 loads are"."""
    count = int(where.sum())
    return f"{counted(count, thing)} {'is' if count == 1 else 'are'}"


def _loads(where: pd.Series) -> str:
    return counted(int(where.sum()), "load")


def _names(sets: pd.DataFrame, where: pd.Series) -> str:
    return ", ".join(sets.loc[where, "exercise_as_written"].str.strip().drop_duplicates().head(NAMED))


def _other_bar(sets: pd.DataFrame) -> pd.Series:
    """Sets whose own words name a bar that is no straight one."""
    said = sets["modifiers"].fillna("") + " " + sets["name_key"].fillna("")
    return said.str.contains(OTHER_BARS, regex=True)


@tables.per_catalogue
def _ids() -> frozenset[str]:
    return frozenset(tables.exercises()["exercise_id"])


@tables.per_catalogue
def _of(column: str, value: str) -> frozenset[str]:
    """Exercises with the value in a column of the catalogue."""
    table = tables.exercises()
    return frozenset(table.loc[table[column] == value, "exercise_id"])


@tables.per_catalogue
def _held_by_no_hand() -> frozenset[str]:
    """Exercises of both sides at once, every way of which has one load for both hands: a barbell, a machine, a cable."""
    table = tables.exercises()
    held = {"dumbbell", "dumbbells", "kettlebell", "kettlebells"}
    return frozenset(row.exercise_id for row in table.itertuples() if row.load_basis == "external" and row.laterality == "bilateral"
                     and not any(option & held for option in tables.equipment_options(row.equipment)))


@tables.per_catalogue
def _with_a_barbell() -> frozenset[str]:
    table = tables.exercises()
    return frozenset(row.exercise_id for row in table.itertuples() if any("barbell" in option for option in tables.equipment_options(row.equipment)))


@tables.per_catalogue
def _with_any_bar() -> frozenset[str]:
    table = tables.exercises()
    return frozenset(row.exercise_id for row in table.itertuples() if row.load_basis == "external" and row.laterality == "bilateral"
                     and any({"barbell", "ez_bar"} & option for option in tables.equipment_options(row.equipment)))
