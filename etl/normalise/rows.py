"""The whole of one file: every row read ends in the sets, the days, or the rows set aside, and in one of them only."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from datetime import date

import pandas as pd

from etl.columns import Column
from etl.normalise import amounts, details, who_when
from etl.normalise.frame import DAY_COLUMNS, SET_COLUMNS, Normal, typed
from etl.normalise.page import Ledger, Page, joined
from etl.read import TextTable
from etl.settings import RULES, Rules

UNSURE = 0.5  # [D] a column taken with less confidence than this is named among what was taken for granted
SOURCE_HASH = 12  # hexadecimal digits of a file's sha256 behind its name


def normalise(
    table: TextTable, columns: Sequence[Column], *, athlete: str | None = None, unit: str | None = None,
    day_first: bool | None = None, file_athlete: str | None = None, today: date, rules: Rules = RULES,
) -> Normal:
    """The table's rows as sets and days, and the rest set aside with reasons.

    athlete: whose log it is, for rows that do not say. file_athlete: the same as the file's name says, used last.
    unit: kg or lb, where cell, row and header say none. day_first: None to decide by the whole column.
    today: no row later than this is read unless it is planned.
    Raises Question where it cannot be told whose log it is or how its dates run; Refusal for an unknown unit.
    """
    page = Page(table, columns)
    ledger = Ledger(page)
    _taken_for_granted(page, columns, ledger)
    _set_aside_by_shape(page, ledger)
    values = _values(page, ledger, athlete, file_athlete, unit, day_first, today, rules)
    is_day = _day_rows(page, values)
    _set_aside_without_work(ledger, values, is_day)
    values["note"] = joined(page.written("note").str.strip(), ledger.kept_text())
    good = ledger.reason == ""
    sets, days = values[good & ~is_day], values[good & is_day]
    return Normal(
        typed(_both_sides(sets), SET_COLUMNS), typed(days, DAY_COLUMNS), _set_aside(table, ledger.reason[~good]),
        ledger.assumed, len(page.index), len(sets), len(days))


def _taken_for_granted(page: Page, columns: Sequence[Column], ledger: Ledger) -> None:
    ledger.assumed += page.table.notes
    ledger.assumed += [f'column "{c.header}" taken for the {c.field}: {c.reason}' for c in columns
                       if c.field and c.confidence < UNSURE and (page.said(c.field) != "").any()]
    unread = [f'"{c.header}"' for c in columns if c.field is None and (page.table.rows.iloc[:, c.position] != "").any()]
    if unread:
        ledger.assumed.append(f"columns that are not read: {', '.join(unread)}")
    if unread and not any(c.field == "load" for c in columns):
        ledger.assumed.append('no column of loads was found, so every load is empty: if one of the columns that are not read holds them, '
                              'name it (--columns "load=HEADER")')


def _set_aside_by_shape(page: Page, ledger: Ledger) -> None:
    ledger.set_aside(page.repeats_header, "this row repeats the header")
    cells = len(page.table.header)
    widths = pd.Series(page.table.width, index=page.index).astype("str")
    ledger.set_aside(pd.Series(page.table.overlong, index=page.index),
                     "the row has " + widths + f" cells and the header {cells}: which of them has moved is not known")


def _values(page: Page, ledger: Ledger, athlete, file_athlete, unit, day_first, today: date, rules: Rules) -> pd.DataFrame:
    """One row per file row, columns of the set log and a few helpers."""
    is_planned = details.planned(page, ledger)
    found = [
        who_when.athletes(page, ledger, athlete, file_athlete).rename("athlete"),
        who_when.dates(page, ledger, day_first, is_planned, today, rules),
        who_when.exercises(page, ledger, rules).rename("exercise_as_written"),
        amounts.work(page, ledger, rules),
        amounts.loads(page, ledger, unit, rules),
        amounts.body_masses(page, ledger, unit, rules).rename("body_mass_kg"),
        details.effort_and_pain(page, ledger, rules),
        details.kinds(page, ledger),
        details.times(page, ledger),
    ]
    values = pd.concat(found, axis=1)
    session = page.said("session")
    return values.assign(
        session=session.mask(session == "", values["date"].dt.strftime("%Y-%m-%d").fillna("")),
        exercise="", planned=is_planned, modifiers=details.modifiers(page, amounts.by_band(page)), tempo=page.said("tempo"),
        side=details.sides(page, ledger, values["side_in_cell"]), range=details.ranges(page, ledger),
        round_no=details.whole_numbers(page, ledger, "round_no"),
        segment_no=details.whole_numbers(page, ledger, "segment_no"),
        source=f"{page.table.name}#{page.table.sha256[:SOURCE_HASH]}", source_row=page.table.line_no)


def _day_rows(page: Page, values: pd.DataFrame) -> pd.Series:
    """Rows that name no exercise of their own and no work, but hold something of the day."""
    of_the_day = values[["body_mass_kg", "session_rpe", "minutes", "pain_score"]].notna().any(axis=1) | (values["pain_place"] != "")
    no_work = values[["reps", "hold_s"]].isna().all(axis=1) & (page.said("load") == "") & (page.said("reps") == "")
    return of_the_day & no_work & (page.said("exercise") == "")


def _set_aside_without_work(ledger: Ledger, values: pd.DataFrame, is_day: pd.Series) -> None:
    ledger.set_aside((values["exercise_as_written"].str.strip() == "") & ~is_day, "no exercise")
    ledger.set_aside(values[["reps", "hold_s"]].isna().all(axis=1) & ~is_day, "no repetitions and no seconds")


def _both_sides(sets: pd.DataFrame) -> pd.DataFrame:
    """A row "each side" becomes two sets, left and right, on the same row of the file."""
    each = sets["side"] == "each"
    repeated = sets.loc[sets.index.repeat(each.to_numpy().astype(int) + 1)]
    second = repeated.index.duplicated()
    side = repeated["side"].mask((repeated["side"] == "each") & second, "right")
    return repeated.assign(side=side.mask(side == "each", "left"))


def _set_aside(table: TextTable, reasons: pd.Series) -> pd.DataFrame:
    """Columns row, text, reason; the text with all its cells, as the file would write them."""
    cells = table.rows.iloc[reasons.index].to_numpy(dtype=object)
    texts = [_row_text(row[:width], table.delimiter) for row, width in zip(cells, table.width[reasons.index], strict=True)]
    return pd.DataFrame({"row": table.line_no[reasons.index], "text": pd.array(texts, dtype="str"),
                         "reason": pd.array(reasons.to_numpy(), dtype="str")})


def _row_text(cells: Sequence[str], delimiter: str) -> str:
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter, lineterminator="").writerow(cells)
    return out.getvalue()
