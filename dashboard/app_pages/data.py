"""What is in the store: bringing in files, what came in so far, what was set aside, names that wait for a match."""

from __future__ import annotations

import streamlit as st

from dashboard.app_pages import bring_in, name_matches
from dashboard.app_pages.page import escape, grid, said_once, say_next
from dashboard.sentences.numbers import counted, day, number
from dashboard.choices import Choice, current
from dashboard.queries import imports as imports_of
from dashboard.standing.refresh import refresh
from etl.importing import undo


def show(choice: Choice) -> None:
    st.title("Data")
    said_once()
    bring_in.show(choice)
    name_matches.show(choice)
    _imports(choice)
    _set_aside(choice)


def _imports(choice: Choice) -> None:
    found = imports_of.imports(choice.store)
    if found.empty:
        return
    st.subheader("Imports so far")
    for row in found.itertuples():
        title = f"{day(row.made_at)}: {row.files}" + (" (taken back)" if row.undone else "")
        with st.expander(escape(title)):
            st.markdown(escape(
                f"Import {row.import_id}: {number(row.rows_read)} rows read, {number(row.sets_stored)} sets stored, "
                f"{number(row.already_stored)} already stored, {number(row.rows_set_aside)} rows set aside."))
            if row.assumed:
                st.markdown("Taken for granted:\n" + "\n".join(f"- {escape(text)}" for text in row.assumed))
            if not (row.undone or choice.sample) and st.button("Take this import back", key=f"undo_{row.import_id}"):
                _take_back(choice, row.import_id)


def _take_back(choice: Choice, number_of_import: int) -> None:
    gone = undo(choice.store.path, number_of_import)
    refresh(choice.store.path)
    say_next(f"Import {number_of_import} was taken back: {number(gone)} sets went. The files are kept and can be brought in again.")


def _set_aside(choice: Choice) -> None:
    rows = imports_of.set_aside(choice.store)
    if rows.empty:
        return
    st.subheader(f"{counted(len(rows), 'row', 'rows')} set aside")
    st.markdown("Nothing is dropped: each row that could not be read stands here with its reason. Mend it in the file and bring the file in again.")
    grid(rows, "Rows set aside, with file, row number, reason and text",
         column_config={"import_id": "import", "file": "file", "row": "row", "reason": "reason", "text": "the row as written"})


show(current())
