"""Repetitions, seconds and load of each row, and its body mass: the numbers that have units."""

from __future__ import annotations

import pandas as pd

from etl import notation
from etl.columns.headers import EITHER, words_of
from etl.normalise.habits import Habits
from etl.normalise.page import Ledger, Page, counted
from etl.notation.loads import STONE_LB
from etl.refusal import Question, Refusal
from etl.settings import Rules


def work(page: Page, ledger: Ledger, habits: Habits, rules: Rules) -> pd.DataFrame:
    """Columns reps, hold_s, side_in_cell. Seconds come from a column of seconds, or from "45s" among repetitions."""
    found = notation.read_repetitions(page.said("reps"), habits.marks["reps"])
    ledger.set_aside_cell(~found["read"], "reps", 'the repetitions "{cell}" cannot be read')
    hold_text = page.said("hold")
    own = notation.durations_s(hold_text, "min" if page.unit("hold") == "min" else "s", habits.marks["hold"])
    ledger.set_aside_cell((hold_text != "") & own.isna(), "hold", 'the seconds "{cell}" cannot be read')
    hold = own.fillna(found["hold_s"])
    reps = found["reps"]
    # A table with both columns writes 0 in the one that does not apply.
    reps, hold = reps.mask((reps == 0) & (hold > 0)), hold.mask(hold == 0)
    bounded(ledger, reps, 0, rules.reps_max, "repetitions")
    bounded(ledger, hold, 0, rules.hold_max_s, "seconds")
    return pd.DataFrame({"reps": reps, "hold_s": hold, "side_in_cell": found["side"]})


def loads(page: Page, ledger: Ledger, habits: Habits, unit: str | None, rules: Rules) -> pd.DataFrame:
    """Columns load_kg, load_estimated, load_basis, object, banded. A body-weight word is 0 plus what is added to it.

    object: the home-made thing that was lifted, "" for a made weight. banded: the load is a band in words ("red band"),
    whose help or resistance is not known.
    """
    cells = page.said("load")
    found = _with_assistance(page, ledger, habits, notation.read_loads(cells, habits.marks["load"]))
    ledger.set_aside_cell((cells != "") & found["value"].isna() & ~found["wordy"], "load", 'the load "{cell}" cannot be read')
    ledger.keep_text(found["wordy"], "load")
    in_row = notation.units(page.said("unit"))
    matters = found["value"].notna() & (found["value"] != 0)
    unknown = matters & (found["unit"] == "") & (page.said("unit") != "") & (in_row == "")
    ledger.set_aside_cell(unknown, "unit", 'the unit "{cell}" is not known: kg, lb or st is read')
    header = page.unit("load") or page.unit("assistance")
    said = _first_said(found["unit"], in_row, "" if header == EITHER else header, unit or page.title_unit)
    if (matters & (said == "") & ~unknown).any():
        _ask_for_unit(page, "load", "assistance")
    load_kg = _kilograms(ledger, found["value"], said, matters & ~unknown, "load", rules)
    bounded(ledger, load_kg, rules.load_min_kg, rules.load_max_kg, "load in kg")
    basis = _basis_of(page.header("load")) if page.has("load") else ""
    return pd.DataFrame({
        "load_kg": load_kg, "load_estimated": found["estimated"] | (notation.booleans(page.said("load_estimated")) == "yes"),
        "load_basis": found["basis"].mask((found["basis"] == "") & matters, basis), "object": found["object"],
        "banded": found["wordy"] & cells.str.contains(r"\bbands?\b", case=False, regex=True)})


def _with_assistance(page: Page, ledger: Ledger, habits: Habits, found: pd.DataFrame) -> pd.DataFrame:
    """Help in a column of its own is a load below zero; where the row has a load as well, it is taken off that."""
    if not page.has("assistance"):
        return found
    help_cells = page.said("assistance")
    helped = notation.read_loads(help_cells, habits.marks["load"])
    ledger.set_aside_cell((help_cells != "") & helped["value"].isna(), "assistance", 'the assistance "{cell}" cannot be read')
    there = helped["value"].notna() & (helped["value"] != 0)
    value = found["value"].mask(there, found["value"].fillna(0) - helped["value"].abs())
    return found.assign(value=value, unit=found["unit"].mask(there & (found["unit"] == ""), helped["unit"]))


# What a header says its loads are written of, in the languages of the catalogue.
PER_SIDE = ("per side", "each side", "a side", "pro seite", "je seite", "par cote", "por lado", "per lato", "per kant")
PER_HAND = ("per hand", "each hand", "per dumbbell", "each dumbbell", "pro hand", "je hand", "pro hantel", "par main", "por mano", "por mao", "per mano")


def _basis_of(header: str) -> str:
    """per_side or per_hand where a header says what its loads are written of, else none."""
    words = " ".join(words_of(header))
    if any(said in words for said in PER_SIDE):
        return "per_side"
    return "per_hand" if any(said in words for said in PER_HAND) else ""


def body_masses(page: Page, ledger: Ledger, habits: Habits, unit: str | None, rules: Rules) -> pd.Series:
    """Body mass in kg, NaN where none is logged."""
    cells = page.said("body_mass")
    found = notation.read_loads(cells, habits.marks["body_mass"])
    unread = (cells != "") & (found["value"].isna() | found["body"])
    ledger.keep_text(unread, "body_mass")
    value = found["value"].mask(unread)
    # A unit column beside the load speaks of the load first, so that body mass follows its own header before it.
    header = page.unit("body_mass")
    own = found["unit"].mask(found["unit"] == "", "" if header == EITHER else header)
    said = _first_said(own, notation.units(page.said("unit")), "", unit)
    if (value.notna() & (said == "")).any():
        _ask_for_unit(page, "body_mass")
    mass_kg = _kilograms(ledger, value, said, value.notna(), "body mass", rules)
    bounded(ledger, mass_kg, rules.body_mass_min_kg, rules.body_mass_max_kg, "body mass in kg")
    return mass_kg


def _first_said(in_cell: pd.Series, in_row: pd.Series, in_header: str, by_user: str | None) -> pd.Series:
    """The unit said nearest: in the cell, then the row, the header, and by the user; "" where nobody says one."""
    if by_user not in (None, "", "kg", "lb"):
        raise Refusal(f'"{by_user}" is no unit of load', "--unit", "Say kg or lb.")
    nearest = in_cell.mask(in_cell == "", in_row)
    return nearest.mask(nearest == "", in_header or by_user or "")


def _ask_for_unit(page: Page, *fields: str) -> None:
    """Raise Question where the header of a field offers several units, or something in the place of one that is none."""
    header, said = page.other_unit(*fields)
    if said:
        raise Question(f'The header "{header}" says "{said}", which is no unit of load that is known, and the cells do not say one', page.table.name,
                       "Say it with --unit kg or --unit lb; where the numbers are neither, name another column or none: "
                       f'--columns "{fields[0]}=HEADER" or --columns "{fields[0]}=-".')
    either = next((page.header(field) for field in fields if page.unit(field) == EITHER), "")
    if either:
        raise Question(f'"{either}" offers several units, and the cells do not say which', page.table.name, "Say it with --unit kg or --unit lb.")


def _kilograms(ledger: Ledger, value: pd.Series, unit: pd.Series, matters: pd.Series, what: str, rules: Rules) -> pd.Series:
    """Values in kg. 1 lb = 0.45359237 kg exactly (NIST SP 811, appendix B.8), 1 st = 14 lb."""
    unsaid = matters & (unit == "") & (ledger.reason == "")
    if unsaid.any():
        ledger.unit_unsaid |= what == "load"
        ledger.assumed.append(f'kg assumed for the {what} of {counted(ledger.rows_of(unsaid), "row")}: the file names no unit')
    return value.mask(unit == "lb", value * rules.pound_kg).mask(unit == "st", value * STONE_LB * rules.pound_kg)


def bounded(ledger: Ledger, value: pd.Series, low: float, high: float, what: str) -> None:
    outside = value.notna() & ~value.between(low, high)
    if outside.any():
        reasons = value[outside].map(lambda v: f"the {what}, {v:g}, is outside {low:g} to {high:g}")
        ledger.set_aside(outside, reasons.reindex(value.index, fill_value=""))
