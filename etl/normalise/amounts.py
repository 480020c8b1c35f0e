"""Repetitions, seconds and load of each row, and its body mass: the numbers that have units."""

from __future__ import annotations

import pandas as pd

from etl import notation
from etl.normalise.page import Ledger, Page, counted
from etl.refusal import Refusal
from etl.settings import Rules


def work(page: Page, ledger: Ledger, rules: Rules) -> pd.DataFrame:
    """Columns reps, hold_s, side_in_cell. Seconds come from a column of seconds, or from "45s" among repetitions."""
    mark = notation.decimal_mark(page.said("reps"))
    found = notation.read_repetitions(page.said("reps"), mark)
    ledger.set_aside_cell(~found["read"], "reps", 'the repetitions "{cell}" cannot be read')
    hold_text = page.said("hold")
    own = notation.durations_s(hold_text, "min" if page.unit("hold") == "min" else "s")
    ledger.set_aside_cell((hold_text != "") & own.isna(), "hold", 'the seconds "{cell}" cannot be read')
    hold = own.fillna(found["hold_s"])
    reps = found["reps"]
    # A table with both columns writes 0 in the one that does not apply.
    reps, hold = reps.mask((reps == 0) & (hold > 0)), hold.mask(hold == 0)
    bounded(ledger, reps, 0, rules.reps_max, "repetitions")
    bounded(ledger, hold, 0, rules.hold_max_s, "seconds")
    return pd.DataFrame({"reps": reps, "hold_s": hold, "side_in_cell": found["side"]})


def loads(page: Page, ledger: Ledger, unit: str | None, rules: Rules) -> pd.DataFrame:
    """Columns load_kg, load_estimated. A body-weight word is 0 plus what is added to it."""
    cells = page.said("load")
    found = notation.read_loads(cells)
    ledger.set_aside_cell((cells != "") & found["value"].isna() & ~found["wordy"], "load", 'the load "{cell}" cannot be read')
    ledger.keep_text(found["wordy"], "load")
    in_row = notation.units(page.said("unit"))
    matters = found["value"].notna() & (found["value"] != 0)
    unknown = matters & (found["unit"] == "") & (page.said("unit") != "") & (in_row == "")
    ledger.set_aside_cell(unknown, "unit", 'the unit "{cell}" is not known: kg or lb is read')
    said = _first_said(found["unit"], in_row, page.unit("load"), unit)
    load_kg = _kilograms(ledger, found["value"], said, matters & ~unknown, "load", rules)
    bounded(ledger, load_kg, rules.load_min_kg, rules.load_max_kg, "load in kg")
    return pd.DataFrame({"load_kg": load_kg, "load_estimated": found["estimated"]})


def by_band(page: Page) -> pd.Series:
    """True where the load is a band in words ("red band"): how much it helps or resists is not known."""
    cells = page.said("load")
    return cells.str.contains(r"\bbands?\b", case=False, regex=True) & notation.read_loads(cells)["wordy"]


def body_masses(page: Page, ledger: Ledger, unit: str | None, rules: Rules) -> pd.Series:
    """Body mass in kg, NaN where none is logged."""
    cells = page.said("body_mass")
    found = notation.read_loads(cells)
    unread = (cells != "") & (found["value"].isna() | found["body"])
    ledger.keep_text(unread, "body_mass")
    value = found["value"].mask(unread)
    # A unit column beside the load speaks of the load first, so that body mass follows its own header before it.
    own = found["unit"].mask(found["unit"] == "", page.unit("body_mass"))
    said = _first_said(own, notation.units(page.said("unit")), "", unit)
    mass_kg = _kilograms(ledger, value, said, value.notna(), "body mass", rules)
    bounded(ledger, mass_kg, rules.body_mass_min_kg, rules.body_mass_max_kg, "body mass in kg")
    return mass_kg


def _first_said(in_cell: pd.Series, in_row: pd.Series, in_header: str, by_user: str | None) -> pd.Series:
    """The unit said nearest: in the cell, then the row, the header, and by the user; "" where nobody says one."""
    if by_user not in (None, "", "kg", "lb"):
        raise Refusal(f'"{by_user}" is no unit of load', "--unit", "Say kg or lb.")
    nearest = in_cell.mask(in_cell == "", in_row)
    return nearest.mask(nearest == "", in_header or by_user or "")


def _kilograms(ledger: Ledger, value: pd.Series, unit: pd.Series, matters: pd.Series, what: str, rules: Rules) -> pd.Series:
    """Values in kg. 1 lb = 0.45359237 kg exactly (NIST SP 811, appendix B.8)."""
    unsaid = matters & (unit == "") & (ledger.reason == "")
    if unsaid.any():
        ledger.assumed.append(f'kg assumed for the {what} of {counted(int(unsaid.sum()), "row")}: the file names no unit')
    return value.mask(unit == "lb", value * rules.pound_kg)


def bounded(ledger: Ledger, value: pd.Series, low: float, high: float, what: str) -> None:
    outside = value.notna() & ~value.between(low, high)
    if outside.any():
        reasons = value[outside].map(lambda v: f"the {what}, {v:g}, is outside {low:g} to {high:g}")
        ledger.set_aside(outside, reasons.reindex(value.index, fill_value=""))
