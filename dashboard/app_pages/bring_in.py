"""Bringing in files: choose them, look at how they were understood, store them."""

from __future__ import annotations

from dataclasses import replace

import pandas as pd
import streamlit as st

from dashboard.app_pages.first_rows import first_rows
from dashboard.app_pages.page import escape, grid, remark, say_next, table
from dashboard.choices import FILE_TYPES, Choice, column_answers, import_answers, leave_sample
from dashboard.queries.words import called
from dashboard.sentences.numbers import counted, number
from dashboard.standing.refresh import refresh
from etl.columns import Column
from etl.importing import Answers, Preview, keep, known, rehearse, understand
from etl.refusal import Question, Refusal

MEGABYTES = 200
PREVIEWS = 2  # kept at a time: the one before and the one after the columns were said


def show(choice: Choice) -> None:
    st.subheader("Bring in a log")
    if choice.sample:
        st.markdown("You are looking at the sample. Files go into your own store.")
        st.button("Go to my own store", on_click=leave_sample)
        return
    files = st.file_uploader("CSV files of sets, one row per set", type=FILE_TYPES, accept_multiple_files=True,
                             max_upload_size=MEGABYTES, key=f"files_{st.session_state.get('uploads', 0)}")
    if not files:
        remark("Bring the whole log each time if that is easier: only what is new is stored. Nothing leaves this computer.")
        return
    preview = _answered(choice, [(file.name, file.getvalue()) for file in files], import_answers())
    for refusal in preview.refusals:
        st.warning(escape(_in_words(refusal)))
    if not preview.refusals:
        _offer(choice, preview)


def _answered(choice: Choice, files: list[tuple[str, bytes]], answers: Answers) -> Preview:
    """The preview; where a file's columns are not recognised, they are asked for, and what is said is tried."""
    preview = _understood(choice, files, answers)
    unclear = [file for file in preview.files if file.table is not None and not file.columns]
    if not unclear:
        return preview
    st.markdown("**Which column is which?**")
    said = column_answers(list(dict.fromkeys(header for file in unclear for header in file.table.header if header)))
    return _understood(choice, files, replace(answers, columns=said)) if said else preview


def _understood(choice: Choice, files: list[tuple[str, bytes]], answers: Answers) -> Preview:
    """The preview of exactly these files and answers, worked out once."""
    asked = (choice.store, tuple((name, hash(data)) for name, data in files), repr(answers))
    previews = st.session_state.setdefault("previews", {})
    if asked not in previews:
        bar = st.progress(0.0, "Reading")
        found = understand(files, answers, known=known(choice.store.path), names_give_athlete=len(files) > 1,
                           progress=lambda share, text: bar.progress(share, escape(text)))
        for oldest in list(previews)[:-PREVIEWS + 1]:
            del previews[oldest]
        previews[asked] = found
        bar.empty()
    return previews[asked]


def _in_words(refusal: Refusal) -> str:
    """A question is answered on this page, not by an option of a command."""
    return f"{refusal.what} ({refusal.where}). Say it in the fields above." if isinstance(refusal, Question) else str(refusal)


def _offer(choice: Choice, preview: Preview) -> None:
    """What would be stored, what was taken for granted, and the button."""
    report = _rehearsed(choice, preview)
    st.markdown(f"**{counted(report['rows_read'], 'row', 'rows')} read: {counted(report['sets_stored'], 'new set', 'new sets')}, "
                f"{number(report['already_stored'])} already stored, {counted(report['rows_set_aside'], 'row', 'rows')} set aside.**")
    if report["assumed"]:
        st.markdown("Taken for granted:\n" + "\n".join(f"- {escape(text)}" for text in report["assumed"]))
    rows = first_rows(preview)
    if not rows.empty:
        st.markdown("The first rows, as written and as they were understood:")
        table(rows, "The first rows of the files beside what they became")
    _details(preview, report)
    if st.button("Store it", type="primary", disabled=not (report["sets_stored"] or report["days_stored"] or report["rows_set_aside"])):
        _store(choice, preview)


def _rehearsed(choice: Choice, preview: Preview) -> dict:
    """What storing this preview would do to the store as it is now, worked out once."""
    last = st.session_state.get("rehearsed")
    if last is None or last[0] is not preview or last[1] != choice.store:
        last = preview, choice.store, rehearse(choice.store.path, preview)
        st.session_state["rehearsed"] = last
    return last[2]


def _details(preview: Preview, report: dict) -> None:
    with st.expander("How the columns were read"):
        grid(pd.DataFrame([{"file": file.name, "column": column.header, "read as": column.field or "not used", "how sure": _sureness(column),
                            "why": column.reason}
                           for file in preview.files for column in file.columns]), "Columns of the files and what they were read as")
    if report["set_aside"]:
        with st.expander(f"Rows set aside: {number(len(report['set_aside']))}"):
            grid(pd.DataFrame(report["set_aside"]), "Rows set aside with their reasons")
    if report["unmatched"]:
        with st.expander(f"Exercises without a match: {number(len(report['unmatched']))}"):
            grid(pd.DataFrame([{"as written": row["name"], "sets": row["sets"], "perhaps": ", ".join(map(called, row["suggestions"]))}
                               for row in report["unmatched"]]), "Exercises without a match, with suggestions")
            remark("Their sets are stored. You can settle each one below after storing.")


def _sureness(column: Column) -> str:
    return f"{column.confidence:.0%}" if column.field else ""


def _store(choice: Choice, preview: Preview) -> None:
    bar = st.progress(0.0, "Storing")
    report = keep(choice.store.path, preview, progress=lambda share, text: bar.progress(share, escape(text)))
    bar.progress(1.0, "Working out the weeks")
    refresh(choice.store.path)
    st.session_state["uploads"] = st.session_state.get("uploads", 0) + 1
    st.session_state.pop("previews")
    st.session_state.pop("rehearsed")
    say_next(f"{counted(report['sets_stored'], 'set', 'sets')} stored as import {report['import']}. The weeks are worked out.")
