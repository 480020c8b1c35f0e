"""What each column of a file was taken for, and why, where a person can say otherwise."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import streamlit as st

from dashboard.app_pages.page import escape, remark
from dashboard.sentences.fields import FIELD_WORDS, NOT_USED, field_words
from dashboard.sentences.numbers import listed
from etl.columns import NO_COLUMN, Column, ColumnQuestion
from etl.importing import Understood
from etl.importing.memory import shape_of

SAID = "said_of_columns"  # in the session: the shape of a header -> field -> header, as the person said
EXAMPLES = 3
UNITS = ("kg", "lb", "st")
WORDS = [NOT_USED, *FIELD_WORDS.values()]
WORDS_FIELD = {words: field for field, words in FIELD_WORDS.items()}


def said_of(file: Understood) -> dict[str, str]:
    """What the person has said of the columns of files with this header: field -> header."""
    return st.session_state.setdefault(SAID, {}).get(shape_of(file.table.header), {})


def all_said() -> dict[str, dict[str, str]]:
    return st.session_state.setdefault(SAID, {})


def editor(file: Understood) -> None:
    """One line per column of the file: what it holds, what it is read as, why. A change is kept for this header."""
    columns = _one_each(file)
    shape = shape_of(file.table.header)
    changed = {}
    for column in columns:
        now = field_words(column.field)
        taken, why = st.columns([2, 5], vertical_alignment="bottom")
        # The key holds what was read, so that a new reading is shown and not the old choice.
        picked = taken.selectbox(escape(column.header or f"(column {column.position + 1})"), WORDS, index=WORDS.index(now),
                                 key=f"role_{shape}_{column.position}_{now}")
        with why:
            remark(escape(_why(file, column)))
        if picked != now:
            changed[column.position] = WORDS_FIELD.get(picked)
    if changed:
        all_said()[shape] = _answers(file, columns, changed)
        st.rerun()
    if said_of(file) and st.button("Read the columns as the file shows again", key=f"roles_back_{shape}"):
        all_said()[shape] = {}
        st.rerun()


def _why(file: Understood, column: Column) -> str:
    sure = f"{column.confidence * 100:.0f} % sure: {column.reason}" if column.field else f"Not used: {column.reason}"
    return f"{sure}. Holds {_examples(file, column) or 'nothing'}."


def units_said(files: Sequence[Understood]) -> str:
    """Which unit the headers give for loads, in a sentence; '' where none does."""
    found = {(column.unit, column.header) for file in files for column in file.columns if column.field == "load" and column.unit in UNITS}
    return f"Loads are in {listed([f'{unit}, from the header {header}' for unit, header in sorted(found)][:EXAMPLES])}." if found else ""


def asked_about(file: Understood) -> bool:
    """Whether the columns of a file have to be said before it can be read."""
    return file.table is not None and (not file.columns or isinstance(file.refusal, ColumnQuestion))


def unread(file: Understood) -> None:
    """For a file whose columns are asked about: the same table, before anything else is known of it."""
    st.markdown(f"**Which column is which in {escape(file.name)}?**")
    editor(file)


def _one_each(file: Understood) -> list[Column]:
    """One row per column of the file, also where nothing was recognised: then with what the person has said of it."""
    known = {column.position: column for column in reversed(file.columns)}
    said = {header: field for field, header in said_of(file).items() if header != NO_COLUMN}
    return [known.get(position) or _unread(position, header, said.get(header) or said.get(f"#{position + 1}"))
            for position, header in enumerate(file.table.header)]


def _unread(position: int, header: str, field: str | None) -> Column:
    return Column(position, header, field, "", 1.0, "as you chose") if field else Column(position, header, None, "", 0.0, "not recognised")


def _examples(file: Understood, column: Column) -> str:
    cells = file.table.rows.iloc[:, column.position]
    return ", ".join(cells[cells != ""].drop_duplicates().head(EXAMPLES))


def _answers(file: Understood, columns: list[Column], changed: dict[int, str | None]) -> dict[str, str]:
    """What was said before, with these changes. A field that loses its column to nobody is one that the file does not have; while the columns
    are asked about, it may still be found in another one, but where its column is not to be used.
    """
    asked = asked_about(file)
    headers = Counter(column.header.casefold() for column in columns)
    answers = dict(said_of(file))
    for position, field in changed.items():
        column = columns[position]
        if column.field and column.field not in changed.values() and not (asked and field):
            answers[column.field] = NO_COLUMN
        if field:
            alone = column.header and headers[column.header.casefold()] == 1
            answers[field] = column.header if alone else f"#{column.position + 1}"
    return answers
