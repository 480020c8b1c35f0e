"""The whole of one file: every row read ends in the sets, the days, or the rows set aside, and in one of them only."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Collection, Sequence
from datetime import date

import pandas as pd

from etl import notation
from etl.columns import Column
from etl.columns.by_content import HEADING
from etl.columns.headers import names_share
from etl.normalise import amounts, details, plan_beside, who_when, years
from etl.normalise.frame import DAY_COLUMNS, HELPERS, SET_COLUMNS, Normal, typed
from etl.normalise.habits import Habits, habits_of
from etl.normalise.page import Ledger, Page, joined, quoted, unread
from etl.read import TextTable
from etl.settings import RULES, Rules
from etl.shapes import SetRows
from etl.told import LOOK, NO_LOADS, the

UNSURE = 0.5  # [D] a column taken with less confidence than this is named among what was taken for granted
LOOKED_AT = 50  # [D] distinct cells of a column that is not read
SOURCE_HASH = 12  # hexadecimal digits of a file's sha256 behind its name


def normalise(
    rows: SetRows, *, athlete: str | None = None, unit: str | None = None, day_first: bool | None = None,
    day_first_before: bool | None = None, file_athlete: str | None = None, other_days: Callable[[str], Collection[date]] = lambda athlete: (), today: date,
    habits: Habits | None = None, year: int | None = None, rules: Rules = RULES,
) -> Normal:
    """The file's rows as sets and days, and the rest set aside with reasons. A row is set aside whole.

    athlete: whose log it is, for rows that do not say. file_athlete: the same as the file's name says, used last.
    unit: kg, lb or st, where cell, row and header say none. day_first: None to decide by the whole column.
    day_first_before: what was said of an earlier file, for a column that leaves it open.
    year: that of the oldest date, for dates that leave it out.
    other_days: athlete -> days of theirs that are known already. today: no row later than this is read unless it is
    planned. habits: those of the whole file where `rows` are only some of its rows.
    Raises Question where it cannot be told whose log it is, of which year or how its dates run, or what unit is meant;
    Refusal for an unknown unit.
    """
    rows, dated = (rows, []) if habits else years.completed(
        rows, year=year, day_first=day_first, other_days=other_days, athlete=(athlete or file_athlete or "").strip(), today=today, rules=rules)
    page = Page(rows)
    ledger = Ledger(page)
    ledger.assumed += dated
    _taken_for_granted(page, rows.columns, ledger)
    _set_aside_by_shape(page, ledger)
    names = who_when.athletes(page, ledger, athlete, file_athlete)
    if habits is None:
        first = ~pd.Series(rows.origin, index=page.index).duplicated()
        known = {day for name in names[names != ""].unique() for day in other_days(name)}
        latest = None if page.has("planned") or plan_beside.bare(page).any() else today
        own = ~plan_beside.of_plan(page)
        habits, assumed = habits_of(
            lambda field: page.said(field).where(own, ""), int((first & ~page.repeats_header).sum()), first=first, day_first=day_first, day_first_before=day_first_before, latest=latest, other_days=known,
            where=f'{page.table.name}, column "{page.header("date")}"', rules=rules)
        ledger.assumed += assumed
    values = _values(page, ledger, names, unit, habits, today, rules)
    values = values.assign(**details.pain_in_notes(page, ledger, values))
    is_day = _day_rows(page, values)
    left_out, pairs = plan_beside.settle(page, ledger, values, is_day)
    _set_aside_without_work(ledger, values, is_day | left_out)
    values["note"] = joined(page.written("note").str.strip(), ledger.kept_text())
    values = plan_beside.in_place(values, pairs)
    reasons = _reasons(page, ledger)
    good = ~left_out & ~values["source_row"].isin(page.table.line_no[reasons.index])
    sets, days = values[good & ~is_day], values[good & is_day]
    of_days = set(days["source_row"]) - set(sets["source_row"])
    return Normal(
        typed(_both_sides(sets), SET_COLUMNS | HELPERS), typed(days, DAY_COLUMNS), set_aside(page.table, reasons), ledger.assumed,
        len(page.table.rows) - int(rows.headings.sum()), sets["source_row"].nunique(), len(of_days), ledger.unit_unsaid)


def _reasons(page: Page, ledger: Ledger) -> pd.Series:
    """The first reason of each row of the file that cannot be read, by its position; with the set's or round's number where it has several."""
    wrong = ledger.reason[ledger.reason != ""]
    origin = pd.Series(page.rows.origin, index=page.index)
    several = origin.map(origin[~plan_beside.of_plan(page)].value_counts()) > 1
    set_no, round_no = (page.said(field).reindex(wrong.index) for field in ("set_no", "round_no"))
    named = ("set " + set_no + ": ").mask(set_no == "", "round " + round_no + ": ").where(several.reindex(wrong.index) & (set_no + round_no != ""), "")
    return (named + wrong).groupby(origin.reindex(wrong.index)).first()


def _taken_for_granted(page: Page, columns: Sequence[Column], ledger: Ledger) -> None:
    ledger.assumed += page.table.notes + page.rows.notes
    ledger.assumed += [f'column "{c.header}" taken for {the(c.field)}: {c.reason}' for c in columns
                       if c.field and c.confidence < UNSURE and (page.said(c.field) != "").any()]
    parts = list(dict.fromkeys(c.part for c in columns if c.part and c.part != HEADING))
    if parts:
        ledger.assumed.append(f"one row holds several sets, in the columns of {parts[0]} to {parts[-1]}")
    if any(c.field == "set_count" for c in columns):
        header = next(c.header for c in columns if c.field == "set_count")
        ledger.assumed.append(f'column "{header}" says how many sets a row stands for')
    if any(c.field == "round_count" for c in columns):
        header = next(c.header for c in columns if c.field == "round_count")
        ledger.assumed.append(f'column "{header}" says how many rounds a row stands for, each with all of the row')
    lost = unread(columns, page.table.rows)
    if lost:
        ledger.assumed.append(f"columns that are not read: {quoted(lost)}")
    work = [c.header for c in columns if c.field is None and _holds_work(page.table.rows.iloc[:, c.position])]
    if work:
        ledger.assumed.append(f"{LOOK}{quoted(work)} {'holds' if len(work) == 1 else 'hold'} what looks like sets and repetitions, and {'is' if len(work) == 1 else 'are'} not read")
    shares = [c.header for c in columns if c.field is None and names_share(c.header) and c.header in lost]
    if shares and not page.has("load"):
        ledger.assumed.append(f'column "{shares[0]}" gives shares, as of a maximum, and no loads, {NO_LOADS}: name another column '
                              f'(--columns "load=HEADER"), or say its unit if its numbers are loads (--columns "load={shares[0]}" --unit kg)')


def _holds_work(cells: pd.Series) -> bool:
    """Whether a column that is not read holds shorthand such as 3x5 @ 65."""
    filled = cells[cells != ""].drop_duplicates().head(LOOKED_AT)
    return bool(len(filled)) and bool(filled.map(lambda cell: isinstance(notation.shorthand(cell), list)).mean() >= UNSURE)


def _set_aside_by_shape(page: Page, ledger: Ledger) -> None:
    ledger.set_aside(page.repeats_header, "this row repeats the header")
    cells = len(page.table.header)
    widths = page.of_rows(page.table.width).astype("str")
    ledger.set_aside(page.of_rows(page.table.overlong),
                     "the row has " + widths + f" cells and the header {cells}: which of them has moved is not known")
    ledger.set_aside(who_when.is_total(page), "a line of totals, no set")
    ledger.set_aside(page.rows.trouble != "", page.rows.trouble)


def _values(page: Page, ledger: Ledger, athletes: pd.Series, unit: str | None, habits: Habits, today: date, rules: Rules) -> pd.DataFrame:
    """One row per set row, columns of the set log and a few helpers."""
    is_planned = details.planned(page, ledger)
    found = [
        athletes.rename("athlete"),
        who_when.dates(page, ledger, habits, is_planned, today, rules),
        who_when.exercises(page, ledger, habits).rename("exercise_as_written"),
        amounts.work(page, ledger, habits, rules),
        amounts.loads(page, ledger, habits, unit, rules),
        amounts.body_masses(page, ledger, habits, unit, rules).rename("body_mass_kg"),
        details.effort_and_pain(page, ledger, habits, rules),
        details.kinds(page, ledger, habits),
        details.times(page, ledger, habits),
    ]
    values = pd.concat(found, axis=1)
    session = who_when.sessions(page, habits)
    return values.assign(
        session=session.mask(session == "", values["date"].dt.strftime("%Y-%m-%d").fillna("")),
        exercise=page.said("exercise_id"), planned=is_planned, modifiers=details.modifiers(page, values), tempo=page.said("tempo"),
        side=details.sides(page, ledger, values["side_in_cell"]), range=details.ranges(page, ledger),
        round_no=details.whole_numbers(page, ledger, "round_no"),
        segment_no=details.whole_numbers(page, ledger, "segment_no"),
        source=f"{page.table.name}#{page.table.sha256[:SOURCE_HASH]}", source_row=page.of_rows(page.table.line_no))


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


def set_aside(table: TextTable, reasons: pd.Series) -> pd.DataFrame:
    """Columns row, text, reason; the text with all its cells, as the file would write them. reasons: by position of the row."""
    at = reasons.index.to_numpy(dtype="int64")
    cells = table.rows.iloc[at].to_numpy(dtype=object)
    texts = [_row_text(row[:width], table.delimiter) for row, width in zip(cells, table.width[at], strict=True)]
    return pd.DataFrame({"row": table.line_no[at], "text": pd.array(texts, dtype="str"), "reason": pd.array(reasons.to_numpy(), dtype="str")})


def _row_text(cells: Sequence[str], delimiter: str) -> str:
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter, lineterminator="").writerow(cells)
    return out.getvalue()
