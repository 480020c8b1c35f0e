"""What a set may say beyond its work: kind, side, range, effort, pain, rest, notes. A cell that cannot be read is kept as text."""

from __future__ import annotations

import pandas as pd

from etl import notation
from etl.columns import MODIFIER_FIELDS
from etl.columns.headers import names_exertion
from etl.normalise import plan_beside
from etl.normalise.amounts import bounded
from etl.normalise.habits import Habits
from etl.normalise.page import Ledger, Page, counted, short
from etl.settings import Rules

PAIN_MAX = 10  # [C] the 0-10 numerical rating scale
WHOLE_MAX = 10_000  # [D] more is an identifier, not the number of a set, round or segment


def planned(page: Page, ledger: Ledger) -> pd.Series:
    """True for a set that is planned and has not been done."""
    cells = page.said("planned")
    yes_no, state = notation.booleans(cells), notation.states(cells)
    ledger.keep_text((cells != "") & (yes_no == "") & (state == ""), "planned")
    says_done = page.unit("planned") == "not"
    return (yes_no == ("no" if says_done else "yes")) | (state == "planned") | plan_beside.of_plan(page) | plan_beside.bare(page)


def kinds(page: Page, ledger: Ledger, habits: Habits) -> pd.DataFrame:
    """Columns kind, kind_source, set_no. A word in the column of set numbers ("W", "drop") is a kind."""
    cells, numbers = page.said("kind"), page.said("set_no")
    found = notation.kinds(cells)
    if habits.marks_warm_ups:
        answer = notation.booleans(cells)
        found = found.mask(answer == "yes", "warm_up").mask(answer == "no", "work")
    ledger.keep_text((cells != "") & (found == ""), "kind")
    in_number = notation.kinds(numbers)
    set_no = whole_numbers(page, ledger, "set_no", unless=in_number != "")
    found = found.mask(found == "", in_number)
    # In a set log that was exported, a kind that was assumed is assumed anew.
    found = found.mask(page.said("kind_source") == "assumed", "")
    source = pd.Series("logged", index=page.index, dtype="str").mask(found == "", "assumed")
    return pd.DataFrame({"kind": found.mask(found == "", "work"), "kind_source": source, "set_no": set_no})


def whole_numbers(page: Page, ledger: Ledger, field: str, unless: pd.Series | bool = False) -> pd.Series:
    """Numbers of sets, rounds or segments: 3, "Set 3", "#3"."""
    cells = page.said(field)
    values = notation.read_numbers(cells.str.replace(r"^[A-Za-z .#]+(?=\d)", "", regex=True), ".")
    values = values.mask((values % 1 != 0) | ~values.between(0, WHOLE_MAX))
    ledger.keep_text((cells != "") & values.isna() & ~(pd.Series(False, index=cells.index) | unless), field)
    return values


def sides(page: Page, ledger: Ledger, in_reps_cell: pd.Series) -> pd.Series:
    """both, left, right or each. The column wins over what stands beside the repetitions."""
    found = _words(page, ledger, "side", notation.sides)
    found = found.mask(found == "", in_reps_cell)
    each = ledger.rows_of((found == "each") & (ledger.reason == ""))
    if each:
        ledger.assumed.append(f'{counted(each, "row")} "each side" or alternating read as one set on each side, repetitions per side')
    return found.mask(found == "", "both")


def ranges(page: Page, ledger: Ledger) -> pd.Series:
    found = _words(page, ledger, "range", notation.ranges)
    return found.mask(found == "", "full")


def effort_and_pain(page: Page, ledger: Ledger, habits: Habits, rules: Rules) -> pd.DataFrame:
    """Columns rpe, rir, pain_score, session_rpe, limited_by, pain_place. Out of bounds sets the row aside."""
    limits = {"rpe": rules.rpe_max, "rir": rules.rir_max, "pain_score": PAIN_MAX, "session_rpe": rules.rpe_max}
    found = {field: _ratings(page, ledger, habits, field) for field in limits}
    found |= _by_their_words(page, ledger, habits, found)
    column = page.by_field.get("rpe")
    if column and not column.part and column.confidence < 1 and not names_exertion(column.header) and (page.said("rpe") != "").any():
        ledger.assumed.append(f'column "{column.header}" read as RPE (--columns "rir={column.header}" says that it is repetitions in reserve)')
    for field, highest in limits.items():
        bounded(ledger, found[field], 0, highest, field.replace("_", " ").replace("rpe", "RPE").replace("rir", "RIR"))
    found["limited_by"] = _words(page, ledger, "limited_by", notation.limits)
    found["pain_place"] = page.said("pain_place")
    return pd.DataFrame(found)


def pain_in_notes(page: Page, ledger: Ledger, values: pd.DataFrame) -> dict[str, pd.Series]:
    """pain_place and pain_score with what notes tell in plain words, where no column says it and nothing is planned. The notes stay."""
    notes = page.written("note").str.strip()
    found = notation.pains_in(notes.where((values["pain_place"] == "") & values["pain_score"].isna() & ~values["planned"], ""))
    told = found["place"] != ""
    if told.any():
        first = found[told].iloc[0]
        score = "" if pd.isna(first["score"]) else f", {first['score']:g} of 10"
        ledger.assumed.append(f'{counted(ledger.rows_of(told), "note")} read as pain, such as "{short(notes[told].iloc[0])}": {first["place"]}{score}; the notes stay as they are')
    return {"pain_place": values["pain_place"].where(~told, found["place"]), "pain_score": values["pain_score"].where(~told, found["score"])}


def _ratings(page: Page, ledger: Ledger, habits: Habits, field: str) -> pd.Series:
    """Numbers of a column of ratings. Repetitions in reserve are no effort of a session, and neither scale is one of pain."""
    cells = page.said(field)
    values, scales = notation.read_efforts(cells, habits.marks[field]), notation.effort_scales(cells, habits.marks[field])
    if field == "session_rpe":
        values = values.mask(scales == "rir")
    elif field == "pain_score":
        values = values.mask((scales != "") & ~cells.str.contains(r"/\s?10", regex=True))
    ledger.keep_text((cells != "") & values.isna(), field)
    return values


def _by_their_words(page: Page, ledger: Ledger, habits: Habits, found: dict[str, pd.Series]) -> dict[str, pd.Series]:
    """rpe and rir, where a cell of the one column names the other scale: its word wins. Beside another value of that scale it is kept as text."""
    moved = dict(found)
    for field, other in (("rpe", "rir"), ("rir", "rpe")):
        cells = page.said(field)
        named = (notation.effort_scales(cells, habits.marks[field]) == other) & found[field].notna()
        if not named.any():
            continue
        own = notation.effort_scales(page.said(other), habits.marks[other]) != field
        rival = named & own & found[other].notna() & (found[other] != found[field])
        ledger.keep_text(rival, field)
        ledger.assumed.append(f'{counted(ledger.rows_of(named & ~rival), "row")} with {other.upper()} by the word in the cell, in the column '
                              f'"{page.header(field)}": the word is followed')
        moved[field] = moved[field].mask(named)
        moved[other] = moved[other].mask(named & ~rival, found[field])
    return {field: moved[field] for field in ("rpe", "rir")}


def times(page: Page, ledger: Ledger, habits: Habits) -> pd.DataFrame:
    """Columns minutes (of the session) and rest_s."""
    found = {}
    for field, usual in (("minutes", "min"), ("rest", "s")):
        cells, unit = page.said(field), page.unit(field)
        found[field] = notation.durations_s(cells, unit if unit in ("s", "min") else usual, habits.marks[field])
        found[field] = found[field].mask(found[field] < 0)
        ledger.keep_text((cells != "") & found[field].isna(), field)
    return pd.DataFrame({"minutes": found["minutes"] / 60, "rest_s": found["rest"]})


def modifiers(page: Page, loads: pd.DataFrame) -> pd.Series:
    """The column of modifiers as it stands, load=band where the load is a band in words, object=... for a home-made
    load, then grip=..., stance=..., equipment=... from columns of these names. loads: the columns banded and object.
    """
    blank = pd.Series("", index=page.index, dtype="str")
    parts = [page.said("modifiers"), blank.mask(loads["banded"], "load=band"), blank.mask(loads["object"] != "", "object=" + loads["object"])]
    for field in MODIFIER_FIELDS:
        cells = page.said(field).str.lower().str.replace(r"[;=]", " ", regex=True)
        parts.append(cells.mask(cells != "", f"{field}=" + cells))
    found = parts[0]
    for more in parts[1:]:
        between = pd.Series(";", index=found.index, dtype="str").mask((found == "") | (more == ""), "")
        found = found + between + more
    return found


def _words(page: Page, ledger: Ledger, field: str, read) -> pd.Series:
    cells = page.said(field)
    found = read(cells)
    ledger.keep_text((cells != "") & (found == ""), field)
    return found
