"""Each field to its best column, each column to one field at most."""

from __future__ import annotations

from typing import NamedTuple

from etl.columns.column import DAY_FIELDS, FIELDS, Column
from etl.columns.content import FITS, dates, fit, sample_of
from etl.columns.headers import UNIT_TOKENS, fields_named, words_of
from etl.notation import read_numbers
from etl.read import TextTable
from etl.refusal import Question, Refusal

SHARED_WITH_SESSION = ("time", "duration")
BY_CONTENT = 0.4  # [D] confidence of a column taken for the date by its values alone
ALL_DATES = 0.9  # [D] share of its cells that have to be dates for that
NO_COLUMN = "-"
NEEDED = ("date", "exercise")


class Claim(NamedTuple):
    """One column's claim to one field."""

    position: int
    field: str
    unit: str
    confidence: float
    fit: float
    word: str
    filled: float  # share of the column's cells that say something


def recognise(table: TextTable, answers: dict[str, str] | None = None) -> tuple[Column, ...]:
    """What each column of the table is, in the file's order.

    answers: field -> header, as the user said; they win over everything. A header "-" says that there is no such column.
    Raises Refusal for an answer that names no field or no header, and Question where the date or the exercise has no
    column; a file of body mass, session effort or pain needs no exercise.
    """
    said = _checked(table, answers or {})
    closed = set(said) | {f for f, h in (answers or {}).items() if h == NO_COLUMN}
    claims = [c for c in _claims(table) if c.field not in closed and c.position not in said.values()]
    chosen = _best(claims)
    _refuse_counts_of_sets(table, chosen)
    chosen = [c for c in chosen if not _beside_repetitions(table, c, chosen, said)]
    columns = {p: _said(table, p, f) for f, p in said.items()}
    columns |= {c.position: _taken(table, c) for c in chosen}
    for position in range(len(table.header)):
        columns.setdefault(position, _left_over(table, position, claims, columns))
    columns = _suggested_date(table, columns, closed)
    _ask_for_missing(table, columns.values())
    return tuple(columns[p] for p in sorted(columns))


def _checked(table: TextTable, answers: dict[str, str]) -> dict[str, int]:
    """Field -> position for every answer that names a column."""
    headers = {h.casefold(): i for i, h in reversed(list(enumerate(table.header)))}
    found = {}
    for field, header in answers.items():
        if field not in FIELDS:
            raise Refusal(f'"{field}" is no field', "--columns", f"The fields are: {', '.join(FIELDS)}.")
        if header == NO_COLUMN:
            continue
        if header.strip().casefold() not in headers:
            raise Refusal(f'There is no column "{header}"', table.name, _headers(table))
        position = headers[header.strip().casefold()]
        if position in found.values():
            raise Refusal(f'The column "{header}" is named for two fields', "--columns", "Name it for one of them.")
        found[field] = position
    return found


def _claims(table: TextTable) -> list[Claim]:
    claims = []
    for position, header in enumerate(table.header):
        named = fields_named(header)
        if not named:
            continue
        cells = table.rows.iloc[:, position]
        sample = sample_of(cells)
        filled = float((cells != "").mean()) if len(cells) else 0.0
        for n in named:
            claims.append(Claim(position, n.field, n.unit, n.confidence, fit(n.field, n.unit, sample), n.word, filled))
    return claims


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
    if claim.field != "hold" or claim.word not in SHARED_WITH_SESSION:
        return False
    reps = said.get("reps", next((c.position for c in chosen if c.field == "reps"), None))
    if reps is None:
        return False
    filled = [~table.rows.iloc[:, p].str.strip().isin(["", "0", "-", "0:00", "00:00"]) for p in (claim.position, reps)]
    return bool(filled[0].any() and (filled[0] & filled[1]).sum() > FITS * filled[0].sum())


def _refuse_counts_of_sets(table: TextTable, chosen: list[Claim]) -> None:
    """A column "sets" of 3, 3, 4 counts sets; read as a set's number it would lose two sets of three."""
    for claim in chosen:
        if claim.field == "set_no" and claim.word in ("sets", "set count"):
            number = read_numbers(table.rows.iloc[:, claim.position], ".")
            runs = (number == 1) | (number == number.ffill().shift() + 1) | number.isna()
            if number.notna().any() and (runs.mean() < FITS or not (number == 1).any()):
                header = table.header[claim.position]
                raise Refusal(f'The column "{header}" seems to count sets, and one row per set is read', table.name,
                              f'Write one row per set; if it is the number of each set, say --columns "set_no={header}".')


def _said(table: TextTable, position: int, field: str) -> Column:
    header = table.header[position]
    unit = next((UNIT_TOKENS[w] for w in reversed(words_of(header)) if w in UNIT_TOKENS), "")
    unit = next((n.unit for n in fields_named(header) if n.field == field), unit)
    return Column(position, header, field, unit, 1.0, "you said so")


def _taken(table: TextTable, claim: Claim) -> Column:
    reason = f'its header says "{claim.word}"'
    reason += f" and {claim.fit:.0%} of its cells fit" if claim.filled else " and it is empty"
    return Column(claim.position, table.header[claim.position], claim.field, claim.unit,
                  round(claim.confidence * claim.fit, 2), reason)


def _left_over(table: TextTable, position: int, claims: list[Claim], columns: dict[int, Column]) -> Column:
    """A column that is not read, with the reason."""
    own = [c for c in claims if c.position == position]
    reason = "its header holds no word that is known, or says that it is something else"
    if own and own[0].field not in {c.field for c in columns.values()} and own[0].fit >= FITS:
        reason = f'it is filled beside the repetitions, so it is no hold; if it is, say --columns "hold={table.header[position]}"'
    elif own:
        first = own[0]
        rival = next((c.header for c in columns.values() if c.field == first.field), None)
        reason = (f'it also reads as {first.field}, for which "{rival}" is taken' if rival is not None and first.fit >= FITS
                  else f'it is named for {first.field}, but only {first.fit:.0%} of its cells read as that')
    return Column(position, table.header[position], None, "", 0.0, reason)


def _suggested_date(table: TextTable, columns: dict[int, Column], closed: set[str]) -> dict[int, Column]:
    """Where no header names the date: the one column whose cells are dates."""
    if "date" in closed or any(c.field == "date" for c in columns.values()):
        return columns
    found = []
    for position, column in columns.items():
        cells = sample_of(table.rows.iloc[:, position])
        if column.field is None and len(cells) and dates(cells).mean() >= ALL_DATES:
            found.append(position)
    if len(found) != 1:
        return columns
    reason = "no header names the date, and this column alone holds dates"
    return columns | {found[0]: Column(found[0], table.header[found[0]], "date", "", BY_CONTENT, reason)}


def _ask_for_missing(table: TextTable, columns) -> None:
    have = {c.field for c in columns}
    missing = [f for f in NEEDED if f not in have]
    days_only = have & set(DAY_FIELDS) and not have & {"reps", "hold", "load"}
    if missing == ["exercise"] and days_only:
        missing = []
    if missing:
        way = ",".join(f"{f}=HEADER" for f in missing)
        raise Question(f"No column is recognised as the {' or the '.join(missing)}", table.name,
                       f'Say which it is: --columns "{way}". {_headers(table)}')


def _headers(table: TextTable) -> str:
    return f"The headers are: {', '.join(h or '(none)' for h in table.header)}."
