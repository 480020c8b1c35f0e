"""Repetitions, seconds and load of each row, and its body mass: the numbers that have units."""

from __future__ import annotations

import re
from collections.abc import Sequence

import pandas as pd

from etl import notation
from etl.columns.headers import EITHER, IN_BRACKETS, UNIT_TOKENS, words_of
from etl.normalise.habits import Habits
from etl.normalise.page import Ledger, Page, counted
from etl.notation.blanks import by_distinct
from etl.notation.loads import IN_KG, STONE_LB
from etl.refusal import Question, Refusal
from etl.settings import Rules
from etl.told import LOOK


_AND = re.compile(r"\b(?:and|und|et|y|e|en)\b|[&+]", re.IGNORECASE)
# Words of a header that say that the bar is not in its numbers, without accents. Common practice, no source.
_BARS = frozenset("bar barbell stange hantelstange barre barra bilanciere stang".split())
_WITHOUT = frozenset("excl excluding excluded exclusive without no minus exkl ohne hors sans sin excluyendo senza escluso sem exclusive zonder".split())


def work(page: Page, ledger: Ledger, habits: Habits, rules: Rules) -> pd.DataFrame:
    """Columns reps, hold_s, side_in_cell, work_form (see HELPERS of `frame`). Seconds come from a column of seconds, or from "45s" among repetitions."""
    found = notation.read_repetitions(page.said("reps"), habits.marks["reps"])
    ledger.set_aside_cell(notation.may_be_metres(page.said("reps")), "reps", '"{cell}" may mean metres or minutes: write "min" for minutes, or the repetitions')
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
    # A time among the repetitions may have come into the seconds with its shorthand; a column of seconds says what its cells are.
    among_reps = page.said("reps").mask(own.notna(), "" if "hold" in page.by_field else hold_text)
    clock = among_reps.str.fullmatch(r"\d{1,2}:00(?::00)?")
    form = pd.Series("", index=page.index, dtype="str").mask(clock, "clock")
    return pd.DataFrame({"reps": reps, "hold_s": hold, "side_in_cell": found["side"], "work_form": form})


def loads(page: Page, ledger: Ledger, habits: Habits, unit: str | None, rules: Rules) -> pd.DataFrame:
    """Columns load_kg, load_estimated, load_basis, object, banded. A body-weight word is 0 plus what is added to it.

    object: the home-made thing that was lifted, "" for a made weight. banded: the load is a band in words ("red band"),
    whose help or resistance is not known.
    """
    cells = page.said("load")
    found = _with_assistance(page, ledger, habits, _in_stones(page, ledger, "load", unit, notation.read_loads(cells, habits.marks["load"])))
    ledger.set_aside_cell((cells != "") & found["value"].isna() & ~found["wordy"], "load", 'the load "{cell}" cannot be read')
    band = notation.bands(cells).where(found["wordy"], "")
    ledger.keep_text(found["wordy"] & (band == ""), "load")
    _say_bands(ledger, band)
    in_row = notation.units(page.said("unit"))
    matters = found["value"].notna() & (found["value"] != 0)
    unknown = matters & (found["unit"] == "") & (page.said("unit") != "") & (in_row == "")
    ledger.set_aside_cell(unknown, "unit", 'the unit "{cell}" is not known: kg, lb or st is read')
    header = page.unit("load") or page.unit("assistance")
    in_name = unit_in_brackets(page.said("exercise"))
    near = found["unit"].mask(found["unit"] == "", in_row)
    said = _first_said(near, in_name, "" if header == EITHER else header, unit or _unit_of_file(page, matters & (near == "") & (in_name == "") & ~unknown, header))
    _say_bar(page, ledger, matters)
    if (matters & (said == "") & ~unknown).any():
        _ask_for_unit(page, "load", "assistance")
    load_kg = _kilograms(ledger, found["value"], said, matters & ~unknown, "load", rules)
    bounded(ledger, load_kg, rules.load_min_kg, rules.load_max_kg, "load in kg")
    basis = _basis_of(page.header("load")) if page.has("load") else ""
    both = (found["basis"] != "") & (basis != "") & (found["basis"] != basis) & matters
    ledger.set_aside_cell(both, "load", f'"{{cell}}" under "{page.header("load").replace("{", "").replace("}", "")}" may be several plates or one on each side: write one number')
    return pd.DataFrame({
        "load_kg": load_kg, "load_estimated": found["estimated"] | (notation.booleans(page.said("load_estimated")) == "yes"),
        "load_basis": found["basis"].mask((found["basis"] == "") & matters, basis), "object": found["object"],
        "banded": band != ""})


def _say_bands(ledger: Ledger, band: pd.Series) -> None:
    """A band has no load; which one it is stays in the note, and the bare word says nothing that the modifier does not."""
    ledger.understood(band == notation.BAND_ALONE, "load", 'read as a band ("{cell}"), whose resistance is not known: no load')
    ledger.keep_text(~band.isin(["", notation.BAND_ALONE]), "load", 'read as a band ("{cell}"), whose resistance is not known: no load, the text kept in the note')


def _in_stones(page: Page, ledger: Ledger, field: str, unit: str | None, found: pd.DataFrame) -> pd.DataFrame:
    """ "9 6" and "9/6" where the header, or else the user, says stones: stones and pounds, as pounds; "12" where it says both is 12 stones."""
    said = {UNIT_TOKENS.get(word) for word in words_of(page.header(field))} & set(IN_KG)
    if not page.has(field) or "st" not in (said or {unit}) or said - {"st", "lb"}:
        return found
    cells = page.said(field)
    pounds = notation.stones_and_pounds(cells)
    if not page.by_field[field].part:
        whole = page.of_rows(page.table.rows.iloc[:, page.by_field[field].position].str.strip().to_numpy())
        ledger.set_aside((whole != cells) & notation.stones_and_pounds(whole).notna(), '"' + whole + '" may be stones and pounds, or a load for each set')
    lone = (found["unit"] == "") & found["value"].notna() & pounds.isna() & (len(said) == 2) & bool(_AND.search(page.header(field)))
    broken = lone & (found["value"] % 1 != 0)
    ledger.set_aside_cell(broken, field, '"{cell}" may be stones and pounds, or a part of a stone: write 9 st 6 lb')
    return found.assign(value=found["value"].mask(pounds.notna(), pounds), unit=found["unit"].mask(pounds.notna(), "lb").mask(lone, "st"))


def unit_in_brackets(names: pd.Series) -> pd.Series:
    """kg or lb where the name of an exercise says it in brackets, as in "Bench press (lbs)", else ""."""
    return by_distinct(names, lambda name: _one({UNIT_TOKENS.get(w) for text in IN_BRACKETS.findall(name) for w in words_of(text)}), "str")


def names_unit(cells: Sequence[str]) -> str:
    """kg or lb where a row is a line of text that says it ("* all weights in lbs"), else ""."""
    filled = [cell for cell in cells if cell.strip()]
    is_text = len(filled) == 1 and len(words_of(filled[0])) > 1 and not any(c.isdigit() for c in filled[0])
    return _one({UNIT_TOKENS.get(word) for word in words_of(filled[0])}) if is_text else ""


def _one(said: set) -> str:
    said = said & {"kg", "lb"}
    return said.pop() if len(said) == 1 else ""


def _unit_of_file(page: Page, needed: pd.Series, header: str) -> str:
    """The unit that a line above or below the table says, where a load needs it. Raises Question where they differ."""
    if header or not needed.any():
        return page.title_unit
    rows = page.table.rows
    alone = rows[(rows != "").sum(axis=1) == 1]
    said = {unit for cells in alone.to_numpy().tolist() if (unit := names_unit(cells))} | ({page.title_unit} - {""})
    if len(said) > 1:
        raise Question("Lines above and below the table say different units of load", page.table.name, "Say which it is with --unit kg or --unit lb.")
    return said.pop() if said else ""


def _say_bar(page: Page, ledger: Ledger, matters: pd.Series) -> None:
    """A header that leaves the bar out of its loads is said: the bar's weight is not known, so the loads stay as they are written."""
    words = set(words_of(page.header("load")))
    if page.has("load") and words & _BARS and words & _WITHOUT and matters.any():
        ledger.assumed.append(f'{LOOK}"{page.header("load")}" leaves out the bar, whose weight is not known: the loads are stored as written, without it')


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
PER_SIDE = ("per side", "each side", "a side", "pro seite", "je seite", "par cote", "por lado", "per lato", "per kant", "per zijde",
            "every side", "chaque cote", "cada lado", "ogni lato", "elke kant")
PER_HAND = ("per hand", "each hand", "per dumbbell", "each dumbbell", "pro hand", "je hand", "pro hantel", "par main", "por mano", "por mao", "per mano",
            "per arm", "each arm", "pro arm", "je arm", "par bras", "por brazo", "por braco", "per braccio")


def _basis_of(header: str) -> str:
    """per_side or per_hand where a header says what its loads are written of, else none."""
    words = " ".join(words_of(header))
    if any(said in words for said in PER_SIDE):
        return "per_side"
    return "per_hand" if any(said in words for said in PER_HAND) else ""


def body_masses(page: Page, ledger: Ledger, habits: Habits, unit: str | None, rules: Rules) -> pd.Series:
    """Body mass in kg, NaN where none is logged."""
    cells = page.said("body_mass")
    found = _in_stones(page, ledger, "body_mass", unit, notation.read_loads(cells, habits.marks["body_mass"]))
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
    if by_user not in (None, "", *IN_KG):
        raise Refusal(f'"{by_user}" is no unit of load', "--unit", "Say kg, lb or st.")
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
        raise Question(f'"{either}" offers several units, and the cells do not say which', page.table.name, f"Say it with --unit {'st' if 'st' in map(UNIT_TOKENS.get, words_of(either)) else 'kg'} or --unit lb.")


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
