"""Bringing in files: choose them, look at how they were understood, store them."""

from __future__ import annotations

import pandas as pd
import streamlit as st

from dashboard.app_pages.page import escape, grid, remark, say_next
from dashboard.sentences.numbers import number
from dashboard.choices import FILE_TYPES, Choice, import_answers
from dashboard.queries.words import called
from dashboard.standing.refresh import refresh
from etl.importing import Answers, Preview, decisions, keep, rehearse, understand

MEGABYTES = 200


def show(choice: Choice) -> None:
    st.subheader("Bring in a log")
    files = st.file_uploader("CSV files of sets, one row per set or per exercise", type=FILE_TYPES, accept_multiple_files=True,
                             max_upload_size=MEGABYTES, key=f"files_{st.session_state.get('uploads', 0)}")
    if not files:
        remark("Bring the whole log each time if that is easier: only what is new is stored. Nothing leaves this computer.")
        return
    answers = import_answers()
    preview = _understood(choice, [(file.name, file.getvalue()) for file in files], answers)
    for refusal in preview.refusals:
        st.warning(escape(str(refusal)))
    if not preview.refusals:
        _offer(choice, preview)


def _understood(choice: Choice, files: list[tuple[str, bytes]], answers: Answers) -> Preview:
    """The preview of exactly these files and answers, worked out once."""
    asked = (choice.store, tuple((name, hash(data)) for name, data in files), repr(answers))
    if st.session_state.get("preview_of") != asked:
        bar = st.progress(0.0, "Reading")
        st.session_state["preview"] = understand(files, answers, decisions=decisions(choice.store.path), names_give_athlete=len(files) > 1,
                                                 progress=lambda share, text: bar.progress(share, escape(text)))
        st.session_state["rehearsed"] = None
        st.session_state["preview_of"] = asked
        bar.empty()
    return st.session_state["preview"]


def _offer(choice: Choice, preview: Preview) -> None:
    """What would be stored, what was taken for granted, and the button."""
    if st.session_state["rehearsed"] is None:
        st.session_state["rehearsed"] = rehearse(choice.store.path, preview)
    report = st.session_state["rehearsed"]
    st.markdown(f"**{number(report['rows_read'])} rows read: {number(report['sets_stored'])} new sets, {number(report['already_stored'])} already "
                f"stored, {number(report['rows_set_aside'])} rows set aside.**")
    if report["assumed"]:
        st.markdown("Taken for granted:\n" + "\n".join(f"- {escape(text)}" for text in report["assumed"]))
    _details(preview, report)
    if st.button("Store it", type="primary", disabled=not (report["sets_stored"] or report["days_stored"] or report["rows_set_aside"])):
        _store(choice, preview)


def _details(preview: Preview, report: dict) -> None:
    with st.expander("How the columns were read"):
        grid(pd.DataFrame([{"file": file.name, "column": column.header, "read as": column.field or "not used", "why": column.reason}
                           for file in preview.files for column in file.columns]), "Columns of the files and what they were read as")
    if report["set_aside"]:
        with st.expander(f"Rows set aside: {number(len(report['set_aside']))}"):
            grid(pd.DataFrame(report["set_aside"]), "Rows set aside with their reasons")
    if report["unmatched"]:
        with st.expander(f"Exercises without a match: {number(len(report['unmatched']))}"):
            grid(pd.DataFrame([{"as written": row["name"], "sets": row["sets"], "perhaps": ", ".join(map(called, row["suggestions"]))}
                               for row in report["unmatched"]]), "Exercises without a match, with suggestions")
            remark("Their sets are stored. You can settle each one below after storing.")


def _store(choice: Choice, preview: Preview) -> None:
    bar = st.progress(0.0, "Storing")
    report = keep(choice.store.path, preview, progress=lambda share, text: bar.progress(share, escape(text)))
    bar.progress(1.0, "Working out the weeks")
    refresh(choice.store.path)
    st.session_state["uploads"] = st.session_state.get("uploads", 0) + 1
    say_next(f"{number(report['sets_stored'])} sets stored as import {report['import']}. The weeks are worked out.")
