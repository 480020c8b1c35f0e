"""Each field to its best column, each column to one field at most."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import NamedTuple

import pandas as pd

from etl import notation
from etl.columns import between, by_content, doubts, plan_done
from etl.columns.column import DAY_FIELDS, FIELDS, SYNONYMS, Column, ColumnQuestion
from etl.columns.content import FITS, LONG_HOLD_HOURS, dates, fit, sample_of
from etl.columns.headers import EXACT, SHARED, fields_named, means_session_too, names_share, says_share, unit_of, words_of
from etl.columns.numbering import numbers, running
from etl.columns.parts import WORK_FIELDS, counted, is_range, repeated
from etl.notation.blanks import by_distinct
from etl.notation.dates import like_a_date
from etl.read import TextTable
from etl.refusal import Refusal
from etl.told import the

HEAD_ROWS = 5000  # [D] rows that are looked at: enough to know a column by, and the same however long the file is
NO_COLUMN = "-"
SHOWN = 40  # [D] characters of a cell that a sentence repeats
AS_WRITTEN = "exercise as written"
ASKED = "the question is about it"
COUNTS = ("set_count", "round_count")
TRADE = (*COUNTS, "reps", "hold")  # numbers of which a header in the trade's own word is believed before its cells
NEEDED = ("date", "exercise")
MASSES = ("load", "assistance", "body_mass")
NUMBERED = (("set_no", "set_count"), ("round_no", "round_count"))  # fields of which one word ("sets", "rounds") may mean either


class Claim(NamedTuple):
    """One column's claim to one field."""

    position: int
    field: str
    unit: str
    confidence: float
    fit: float
    word: str
    filled: float  # share of the column's cells that say something


def recognise(
    table: TextTable, answers: dict[str, str] | None = None, is_exercise: Callable[[str], bool] = lambda name: False,
) -> tuple[Column, ...]:
    """What each column of the table is, in the file's order.

    answers: field -> header, as the user said; they win over everything. A header "-" says that there is no such column,
    and "#3" names the third one. is_exercise: whether a text is the name of an exercise, for files that have a column for each.
    A column may stand twice where its cells are two things (an exercise, and dates as headings between).
    Raises Refusal for an answer that names no field or no header, and ColumnQuestion where the date or the exercise has no
    column (a file of body mass, session effort or pain needs no exercise), or where a column may be two things.
    """
    table = table.head(HEAD_ROWS)
    said = _checked(table, answers or {})
    closed = set(said) | {SYNONYMS.get(f, f) for f, h in (answers or {}).items() if h == NO_COLUMN}
    over = between.said_of_headings(table, said)
    said = {f: p for f, p in said.items() if f not in {c.field for c in over}}
    claims = [c for c in _claims(table) if c.field not in closed and c.position not in said.values()]
    written = {c.position for c in claims if c.field == "exercise" and c.word == AS_WRITTEN}
    ids = {c.position for c in claims if c.field == "exercise_id" and c.fit >= FITS} - written
    if written:
        # In an exported set log "exercise" holds the ids, beside the names as they were written.
        claims = [c for c in claims if c.field != "exercise" or c.position not in ids]
    claims = _kinds_and_numbers(table, _numbered_or_counted(table, claims, said, is_exercise))
    has_exercise = "exercise" in said or any(_holds_exercises(table, c, is_exercise) for c in claims)
    free = [p for p in range(len(table.header)) if p not in said.values()]
    parts = [c for c in repeated(table, free, is_exercise, has_exercise) if c.field not in closed]
    given = {field for part in parts for field, _ in part.gives} & set(NEEDED)
    claims = [c for c in claims if c.position not in {part.position for part in parts} and c.field not in given]
    chosen = _best(claims)
    chosen = [c for c in chosen if not _beside_repetitions(table, c, chosen, said)]
    columns = {p: _said(table, p, f) for f, p in said.items()}
    columns |= {part.position: part for part in parts}
    columns |= {c.position: _taken(table, c) for c in chosen}
    for position in range(len(table.header)):
        columns.setdefault(position, _left_over(table, position, claims, columns))
    try:
        columns = by_content.date(table, columns, closed)
        columns = _without_idle_year(table, columns, said)
        columns = by_content.exercise(table, columns, closed, is_exercise)
        columns = plan_done.read(table, columns, closed, said.values())
        columns = by_content.work(table, columns, closed)
        columns = _by_trade_word(table, claims, columns)
        columns = by_content.weekday(table, columns, closed)
        found = [columns[p] for p in sorted(columns)] + by_content.headings(table, columns, closed) + over
        _ask_for_missing(table, found)
        between.ask(table, found, closed, is_exercise)
        doubts.two_columns(table, claims, found, said)
        doubts.numbered_or_counted(table, found, said)
        doubts.load_or_body_mass(table, found, said)
        doubts.effort_or_reserve(table, found, said)
        doubts.loads_or_repetitions(table, found)
        doubts.unnamed_repetitions(table, found, closed)
    except ColumnQuestion as question:
        question.columns = tuple(Column(p, columns[p].header, None, "", 0.0, ASKED) if p in question.about else columns[p] for p in sorted(columns))
        raise
    return tuple(found)


def _holds_exercises(table: TextTable, claim: Claim, is_exercise: Callable[[str], bool]) -> bool:
    """Whether a column that may be named for the exercise is it: "name" may be a person's as well, and then its cells tell."""
    if claim.field != "exercise" or claim.fit < FITS:
        return False
    return claim.confidence >= EXACT or by_content.share_of_exercises(table, claim.position, is_exercise) > 0


def _checked(table: TextTable, answers: dict[str, str]) -> dict[str, int]:
    """Field -> position for every answer that names a column."""
    headers = {h.casefold(): i for i, h in reversed(list(enumerate(table.header)))}
    found = {}
    for field, header in answers.items():
        field = SYNONYMS.get(field, field)
        if field not in FIELDS:
            raise Refusal(f'"{field}" is no field', "--columns", f"The fields are: {', '.join(FIELDS)}.")
        if header == NO_COLUMN:
            continue
        position = headers.get(header.strip().casefold(), _by_place(table, header))
        if position is None:
            raise Refusal(f'There is no column "{header}"', table.name, _headers(table))
        if position in found.values():
            raise Refusal(f'The column "{header}" is named for two fields', "--columns", "Name it for one of them.")
        found[field] = position
    return found


def _by_place(table: TextTable, header: str) -> int | None:
    """The position that "#3" means, for columns without a header or with one that stands twice; None for anything else."""
    place = header.strip().removeprefix("#")
    if not header.strip().startswith("#") or not place.isdecimal() or not 1 <= int(place) <= len(table.header):
        return None
    return int(place) - 1


def _claims(table: TextTable) -> list[Claim]:
    claims = []
    for position, header in enumerate(table.header):
        named = fields_named(header)
        if not named:
            continue
        cells = table.rows.iloc[:, position]
        sample = sample_of(cells)
        filled = float((cells != "").mean()) if len(cells) else 0.0
        named = [n for n in named if n.field not in MASSES or not says_share(header)]
        claims += [Claim(position, n.field, n.unit, n.confidence, fit(n.field, n.unit, sample), n.word, filled) for n in named]
    return claims


def _numbered_or_counted(
    table: TextTable, claims: list[Claim], said: dict[str, int], is_exercise: Callable[[str], bool],
) -> list[Claim]:
    """A column "sets" of 3, 3, 4 counts them, one of 1, 2, 3 within an exercise numbers them; where both fit, a word that may count does."""
    named = {(c.position, c.field) for c in claims}
    either = {(p, number): count for p, _ in named for number, count in NUMBERED if {(p, number), (p, count)} <= named}
    if not either:
        return claims
    columns = [_cells(table, said.get(field, _likeliest(claims, field))) for field in NEEDED]
    if not (columns[1] != "").any() and (shares := {p: by_content.share_of_exercises(table, p, is_exercise) for p in range(len(table.header))}):
        likeliest = max(shares, key=shares.__getitem__)
        columns[1] = _cells(table, likeliest if shares[likeliest] >= by_content.SOME_OF_A_KIND else None)
    out = set()
    for (position, number), count in either.items():
        numbered = numbers(running(table.rows.iloc[:, position], *columns))
        out.add((position, count if numbered else number))
    return [c for c in claims if (c.position, c.field) not in out]


def _kinds_and_numbers(table: TextTable, claims: list[Claim]) -> list[Claim]:
    """A column "set" of W, 1, 2, D numbers sets and one of 3x or 3 sets counts them: its numbers are not lost to a column of kinds."""
    numbered = {c.position for c in claims if c.field == "set_no" and c.fit >= FITS}
    both = {p for p in numbered if (notation.read_numbers(table.rows.iloc[:, p], ".") > 1).any()}
    counting = {c.position for c in claims if c.field == "set_count"}
    both |= {p for p in counting if len(cells := sample_of(table.rows.iloc[:, p])) and float(_count_like(cells, "set").mean()) >= FITS}
    return [c for c in claims if c.field != "kind" or c.position not in both]


def _by_trade_word(table: TextTable, claims: list[Claim], columns: dict[int, Column]) -> dict[int, Column]:
    """A column whose header is the trade's own word for a number is read although few of its cells fit: each of them then says why not."""
    found = dict(columns)
    for claim in sorted(claims, key=lambda c: (TRADE.index(c.field) if c.field in TRADE else len(TRADE), c.position)):
        have = {c.field for c in found.values()} | {field for c in found.values() for field, _ in c.gives}
        own, cells = found[claim.position], sample_of(table.rows.iloc[:, claim.position])
        if claim.field not in TRADE or claim.confidence < EXACT * SHARED or claim.field in have or cells.empty:
            continue
        if own.field is None and claim.field in COUNTS:
            taken = float(_count_like(cells, claim.field.removesuffix("_count")).mean()) >= FITS
        else:
            no_work = not have & {*WORK_FIELDS, "plan"}
            lasting = claim.unit in ("", "s") and float(_lasts(cells).mean()) >= by_content.ALL_OF_A_KIND
            taken = no_work and (own.field is None and claim.field == "reps" or own.field in (None, "time") and claim.field == "hold" and lasting)
        if taken:
            found[claim.position] = Column(claim.position, own.header, claim.field, claim.unit, by_content.BY_CONTENT,
                                           f'its header says "{claim.word}", and nothing else holds it')
    return found


def _count_like(cells: pd.Series, what: str) -> pd.Series:
    """True where a cell counts sets or rounds, if only with a word or as a plan does: 3x, 3 sets, 3-4, 2 warm-up + 3."""
    return by_distinct(cells, lambda cell: counted(cell, what) is not None or is_range(cell) or "+" in cell and cell.strip()[:1].isdigit(), "bool")


def _lasts(cells: pd.Series) -> pd.Series:
    """True where a cell is a time that a hold may last, and no time of day."""
    before_colon = cells.str.extract(r"^\s*(\d+):")[0].astype("float64")
    return notation.durations_s(cells, "s").notna() & ~(before_colon > LONG_HOLD_HOURS)


def _likeliest(claims: list[Claim], field: str) -> int | None:
    own = [c for c in claims if c.field == field and c.fit >= FITS]
    return max(own, key=lambda c: (c.confidence * c.fit, c.filled)).position if own else None


def _cells(table: TextTable, position: int | None) -> pd.Series:
    """A column's cells; blanks where there is none."""
    return pd.Series("", index=table.rows.index, dtype="str") if position is None else table.rows.iloc[:, position]


def _best(claims: list[Claim]) -> list[Claim]:
    """Greedy by confidence, then what no log can do without, then by how full the column is, then from the left."""
    chosen: dict[str, Claim] = {}
    ranked = sorted((c for c in claims if c.fit >= FITS), key=lambda c: (
        -c.confidence * c.fit, c.field not in NEEDED, c.field == "hold" and c.unit == "min", -c.filled, c.position))
    for claim in ranked:
        taken = claim.field in chosen or any(c.position == claim.position for c in chosen.values())
        if not taken:
            chosen[claim.field] = claim
    return list(chosen.values())


def _beside_repetitions(table: TextTable, claim: Claim, chosen: list[Claim], said: dict[str, int]) -> bool:
    """A "time" or "duration" that is filled where repetitions are is no hold: it may be minutes, or the whole session."""
    if claim.field != "hold" or not means_session_too(claim.word):
        return False
    reps = said.get("reps", next((c.position for c in chosen if c.field == "reps"), None))
    if reps is None:
        return False
    filled = [~table.rows.iloc[:, p].str.strip().isin(["", "0", "-", "0:00", "00:00"]) for p in (claim.position, reps)]
    return bool(filled[0].any() and (filled[0] & filled[1]).sum() > FITS * filled[0].sum())


def _without_idle_year(table: TextTable, columns: dict[int, Column], said: dict[str, int]) -> dict[int, Column]:
    """A column of years is read only where it has to be: beside dates that leave out theirs."""
    column = next((c for c in columns.values() if c.field == "year"), None)
    if column is None or "year" in said or any(c.field == "date" and notation.lack_year(table.rows.iloc[:, c.position]).any() for c in columns.values()):
        return columns
    return {**columns, column.position: Column(column.position, column.header, None, "", 0.0, "the dates say their year themselves")}


def _said(table: TextTable, position: int, field: str) -> Column:
    header = table.header[position]
    unit = unit_of(words_of(header))
    unit = next((n.unit for n in fields_named(header) if n.field == field), unit)
    return Column(position, header, field, unit, 1.0, "you said so")


def _taken(table: TextTable, claim: Claim) -> Column:
    reason = f'its header says "{claim.word}"'
    reason += f" and {claim.fit * 100:.0f} % of its cells fit" if claim.filled else " and it is empty"
    return Column(claim.position, table.header[claim.position], claim.field, claim.unit,
                  round(claim.confidence * claim.fit, 2), reason)


def _left_over(table: TextTable, position: int, claims: list[Claim], columns: dict[int, Column]) -> Column:
    """A column that is not read, with the reason."""
    own = [c for c in claims if c.position == position]
    reason = "its header holds no word that is known, or says that it is something else"
    if names_share(table.header[position]):
        reason = "it gives shares, as of a maximum, and no loads"
    if own and own[0].field not in {c.field for c in columns.values()} and own[0].fit >= FITS:
        reason = f'it is filled beside the repetitions, so it is no hold; if it is, say --columns "hold={table.header[position]}"'
    elif own:
        first = own[0]
        rival = next((c.header for c in columns.values() if c.field == first.field), None)
        reason = (f'it also reads as {the(first.field)}, for which "{rival}" is taken' if rival is not None and first.fit >= FITS
                  else f'it is named for {the(first.field)}, but only {first.fit * 100:.0f} % of its cells read as that')
    return Column(position, table.header[position], None, "", 0.0, reason)


def _ask_for_missing(table: TextTable, columns: Iterable[Column]) -> None:
    columns = list(columns)
    have = {c.field for c in columns} | {field for c in columns for field, _ in c.gives}
    missing = [f for f in NEEDED if f not in have]
    days_only = have & set(DAY_FIELDS) and not have & {*WORK_FIELDS, "load"}
    if missing == ["exercise"] and days_only:
        missing = []
    if "date" in missing and not any(_some_dates(table, position) for position in range(len(table.header))):
        _say_unread_dates(table)
        raise ColumnQuestion("The file holds no date: no column has a day of the calendar", table.name,
                             f'Add a column "Date" with the day of each row, such as 2024-03-04, and import it again. {_headers(table)}')
    if missing:
        way = ",".join(f"{f}=HEADER" for f in missing)
        raise ColumnQuestion(f"No column is recognised as the {' or the '.join(missing)}", table.name,
                             f'Say which it is: --columns "{way}". {_headers(table)}')


def _say_unread_dates(table: TextTable) -> None:
    """Raise ColumnQuestion where a column's cells are written like dates, and none of them could be read as one."""
    for position, header in enumerate(table.header):
        cells = sample_of(table.rows.iloc[:, position])
        like = cells[by_distinct(cells, like_a_date, "bool")]
        if len(like) >= FITS * len(cells) and len(like):
            shown = " and ".join(f'"{cell[:SHOWN]}"' for cell in like.drop_duplicates().head(2))
            raise ColumnQuestion(f'The column "{header}" looks like dates, and none of its cells can be read as one: {shown}', table.name,
                                 'Write each day as 2024-03-04 or 4 Mar 2024, and import the file again, or say which column is the date: --columns "date=HEADER".')


def _some_dates(table: TextTable, position: int) -> bool:
    """Whether any cell of a column may be a date."""
    cells = sample_of(table.rows.iloc[:, position])
    return bool((dates(cells) | notation.lack_year(cells, notation.SIGNED)).any() or len(cells) and notation.are_serials(cells))


def _headers(table: TextTable) -> str:
    return f"The headers are: {', '.join(h or '(none)' for h in table.header)}."
