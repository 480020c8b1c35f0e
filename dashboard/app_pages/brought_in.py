"""What came into the store so far: each import with what was taken for granted, taken back whole or read once more."""

from __future__ import annotations

import streamlit as st

from dashboard.app_pages.page import escape, say_next
from dashboard.choices import DAY_FIRST, DATE_ORDERS, UNITS, Choice, year_of_oldest
from dashboard.queries import imports as imports_of
from dashboard.sentences.imports import taken_back
from dashboard.sentences.numbers import counted, day, number
from dashboard.standing.refresh import refresh
from etl.importing import Answers, read_again, undo

AS_SAID = "as it was said"  # what is left open stays as it was answered at first


def show(choice: Choice) -> None:
    found = imports_of.imports(choice.store)
    if found.empty:
        st.markdown("Nothing has come in yet. *Bring in a log* is the place to begin.")
    for row in found.itertuples():
        with st.expander(escape(f"{day(row.made_at)}: {row.files}" + (" (taken back)" if row.undone else ""))):
            _one(choice, row)


def _one(choice: Choice, row) -> None:
    st.markdown(escape(f"Import {row.import_id}: {counted(row.rows_read, 'row', 'rows')} read, {counted(row.sets_stored, 'set', 'sets')} stored, "
                       f"{number(row.already_stored)} already stored, {counted(row.rows_set_aside, 'row', 'rows')} set aside."))
    if row.assumed:
        st.markdown("Taken for granted:\n" + "\n".join(f"- {escape(text)}" for text in row.assumed))
    if row.undone or choice.sample:
        return
    with st.form(f"again_{row.import_id}", border=False):
        st.markdown("Read it again from the kept copy of the file, with another answer:")
        files = st.multiselect("Which of its files", row.names, placeholder="All of them", key=f"again_files_{row.import_id}") if len(row.names) > 1 else []
        with st.container(horizontal=True, vertical_alignment="bottom"):
            unit = st.selectbox("Loads are in", list(UNITS), format_func=lambda unit: UNITS[unit] if unit else AS_SAID, key=f"again_unit_{row.import_id}", width=200)
            order = st.selectbox("Dates are written", list(DATE_ORDERS), format_func=lambda order: DATE_ORDERS[order] if order else AS_SAID, key=f"again_order_{row.import_id}", width=240)
            year = year_of_oldest(f"again_year_{row.import_id}", AS_SAID)
            again = st.form_submit_button("Read again")
    if again:
        answers = Answers(unit=unit or None, day_first=DAY_FIRST.get(order), year=year)
        if files and answers.say_nothing:
            st.warning("Choose what is otherwise in these files as well.")
        else:
            _again(choice, row.import_id, answers, files)
    if st.button("Take this import back", key=f"undo_{row.import_id}"):
        gone = undo(choice.store.path, row.import_id)
        refresh(choice.store.path)
        say_next(f"Import {row.import_id} was taken back: {taken_back(*gone)} The files are kept and can be brought in again.")


def _again(choice: Choice, number_of_import: int, answers: Answers, files: list[str]) -> None:
    bar = st.progress(0.0, "Reading again")
    report = read_again(choice.store.path, number_of_import, answers, progress=lambda share, text: bar.progress(share, escape(text)), files=files)
    refresh(choice.store.path)
    say_next(f"Import {number_of_import} was read again: {counted(report['sets_stored'], 'set', 'sets')} stored, "
             f"{counted(report['rows_set_aside'], 'row', 'rows')} set aside." + "".join(
                 f" Import {other} holds rows of the same log and was read as before: {counted(sets, 'set', 'sets')} came in from it. "
                 "If it needs the same correction, read it again too." for other, sets in report["later"].items()))
