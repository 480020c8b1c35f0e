"""Bringing in files: choose them, look at how they were understood, store them."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from datetime import date
from pathlib import Path

import pandas as pd
import streamlit as st

from dashboard.app_pages import column_roles
from dashboard.app_pages.first_rows import first_rows
from dashboard.app_pages.page import escape, grid, remark, say_next, table
from dashboard.choices import FILE_TYPES, Choice, import_answers, leave_sample
from dashboard.queries.imports import people_of, unmatched_of
from dashboard.queries.kept import store_at
from dashboard.queries.people import week_to_open
from dashboard.queries.words import called
from dashboard.sentences.decimal_mark import told, told_rows
from dashboard.sentences.imports import on_the_page, stored, waiting
from dashboard.sentences.numbers import counted, number
from dashboard.standing.refresh import refresh
from etl.export.blank import blank_log
from etl.importing import Answers, Known, Preview, Understood, keep, known, rehearse, understand
from etl.importing.memory import Kept, shape_of
from etl.refusal import Question, Refusal

MEGABYTES = 200  # [D] what a browser sends is held in memory whole; a larger file goes in by the command, which reads it block by block
COLUMN_TABLES = 4  # files with headers of their own whose columns are shown
TO_SEE = 4  # athletes of an import with a link of their own
NAMES = 20  # exercises without a match that are listed before an import
KEEP_ASIDE = "Keep the rows to be mended"  # the button where every row was set aside
JUST_IN = "just_in"  # the import that was stored last in this visit
PREVIEWS = 2  # kept at a time: the one before and the one after the columns were said


def show(choice: Choice) -> None:
    if choice.sample:
        st.markdown("You are looking at the sample. Files go into your own store.")
        st.button("Go to my own store", on_click=leave_sample)
        return
    files = st.file_uploader("CSV files, in whatever shape your log has", type=FILE_TYPES, accept_multiple_files=True,
                             max_upload_size=MEGABYTES, key=f"files_{st.session_state.get('uploads', 0)}")
    if not files:
        _to_see(choice)
        remark("One row per set, sets side by side, 3x10 @ 20 kg in a cell, a round per row: all are read. Bring the whole log each time if "
               "that is easier: only what is new is stored. Nothing leaves this computer.")
        st.download_button("No log yet? Take this empty one", blank_log(), "training_log.csv", "text/csv")
        return
    preview = _understood(choice, [(file.name, file.getvalue()) for file in files], import_answers())
    for file in preview.files:
        if file.refusal:
            st.warning(escape(_in_words(file.refusal, "below" if column_roles.asked_about(file) else "above")))
    if 0 < len(preview.refusals) < len(preview.files):
        st.markdown(f"{counted(len(preview.refusals), 'file', 'files')} of {number(len(preview.files))} cannot be read so, and files are stored together or not at all. "
                    f"To leave {'it' if len(preview.refusals) == 1 else 'them'} out, take {'it' if len(preview.refusals) == 1 else 'them'} off the list of files above (the cross beside the name).")
    for file in preview.files:
        if column_roles.asked_about(file):
            column_roles.unread(file)
    if not preview.refusals:
        _offer(choice, preview)
    else:
        _columns([file for file in preview.files if file.refusal and file.columns and not column_roles.asked_about(file)])


def _understood(choice: Choice, files: list[tuple[str, bytes]], answers: Answers) -> Preview:
    """The preview of exactly these files and answers, worked out once."""
    said = {shape: columns for shape, columns in column_roles.all_said().items() if columns}
    asked = (choice.store, tuple((name, hash(data)) for name, data in files), repr(answers), repr(said))
    previews = st.session_state.setdefault("previews", {})
    if asked not in previews:
        bar = st.progress(0.0, "Reading")
        with _on_disk(files) as paths:
            found = understand(paths, answers, known=_known_with(choice, said), names_give_athlete=len(files) > 1,
                               progress=lambda share, text: bar.progress(share, escape(text)))
        for oldest in list(previews)[:-PREVIEWS + 1]:
            del previews[oldest]
        previews[asked] = found
        bar.empty()
    return previews[asked]


@contextmanager
def _on_disk(files: list[tuple[str, bytes]]) -> Iterator[list[tuple[str, Path]]]:
    """The files by their paths: a large one is read block by block. They are needed until they are understood."""
    with tempfile.TemporaryDirectory() as folder:
        paths = [Path(folder) / str(number) for number in range(len(files))]
        for path, (_, data) in zip(paths, files, strict=True):
            path.write_bytes(data)
        yield [(name, path) for path, (name, _) in zip(paths, files, strict=True)]


def _known_with(choice: Choice, said: dict[str, dict[str, str]]) -> Known:
    """What the store knows, with what was said on this page of the columns of each header."""
    stored = known(choice.store.path)
    shapes = {shape: replace(stored.shapes.get(shape, Kept()), columns=columns, now=True) for shape, columns in said.items()}
    return replace(stored, shapes=stored.shapes | shapes)


def _in_words(refusal: Refusal, where: str) -> str:
    """A question is answered on this page, not by an option of a command. where: its fields stand, above or below."""
    return f"{told(refusal.what)} ({refusal.where}). Say it in the fields {where}." if isinstance(refusal, Question) else told(str(refusal))


def _columns(files: Sequence[Understood]) -> None:
    """How each file's columns were read, where a person can say otherwise; files with one header share what is said."""
    shown = {shape_of(file.table.header): file for file in reversed(files)}
    for file in list(shown.values())[:COLUMN_TABLES]:
        more = len([other for other in files if other.table.header == file.table.header]) - 1
        others = f" and {counted(more, 'file', 'files')} like it" if more else ""
        unsettled = bool(column_roles.said_of(file)) or file.normal is None or not len(file.normal.sets)
        with st.expander(f"How the columns of {escape(file.name)}{others} were read", expanded=unsettled):
            st.markdown("Wrong? Choose another meaning. It is kept for the next file with this header.")
            column_roles.editor(file)


def _offer(choice: Choice, preview: Preview) -> None:
    """What would be stored, what was taken for granted, and the button."""
    report = _rehearsed(choice, preview)
    st.markdown(f"**{counted(report['rows_read'], 'row', 'rows')} read: {counted(report['sets_stored'], 'new set', 'new sets')}, "
                f"{number(report['already_stored'])} already stored, {counted(report['rows_set_aside'], 'row', 'rows')} set aside.**")
    if report["assumed"]:
        st.markdown("Taken for granted:\n" + "\n".join(f"- {escape(told(on_the_page(text)))}" for text in report["assumed"]))
    if said := column_roles.units_said(preview.files):
        st.markdown(escape(told(said)))
    rows = first_rows(preview)
    if not rows.empty:
        st.markdown("The first rows, as written and as they were understood:")
        table(rows, "The first rows of the files beside what they became")
    _details(preview, report)
    kept = report["sets_stored"] or report["days_stored"] or report["already_stored"]
    if report["rows_set_aside"] and not kept:
        st.warning("Nothing of this can be counted yet: every row was set aside. Say above which column is which, or mend the file and choose it again. "
                   "The rows can also be kept as they are, to be mended one by one under What waits.")
        if st.button(KEEP_ASIDE):
            _store(choice, preview)
    elif st.button("Store it", type="primary", disabled=not (report["sets_stored"] or report["days_stored"] or report["rows_set_aside"])):
        _store(choice, preview)


def _rehearsed(choice: Choice, preview: Preview) -> dict:
    """What storing this preview would do to the store as it is now, worked out once."""
    last = st.session_state.get("rehearsed")
    if last is None or last[0] is not preview or last[1] != choice.store:
        last = preview, choice.store, rehearse(choice.store.path, preview)
        st.session_state["rehearsed"] = last
    return last[2]


def _details(preview: Preview, report: dict) -> None:
    _columns(preview.files)
    if report["set_aside"]:
        with st.expander(f"Rows set aside: {number(len(report['set_aside']))}"):
            grid(told_rows(pd.DataFrame(report["set_aside"]), ["reason"]), "Rows set aside with their reasons")
    if report["unmatched"]:
        with st.expander(f"Exercises without a match: {number(len(report['unmatched']))}"):
            # As text: in a table on a narrow screen the suggestions would be cut.
            st.markdown("\n".join(f"- {escape(waiting(row['name'], row['sets'], [called(one) for one in row['suggestions']]))}" for row in report["unmatched"][:NAMES]))
            if len(report["unmatched"]) > NAMES:
                remark(f"{number(len(report['unmatched']) - NAMES)} more.")
            remark("Their sets are stored, and wait under *What waits* until you say what they are.")


def _store(choice: Choice, preview: Preview) -> None:
    bar = st.progress(0.0, "Storing")
    report = keep(choice.store.path, preview, progress=lambda share, text: bar.progress(share, escape(text)))
    bar.progress(1.0, "Working out the weeks")
    refresh(choice.store.path)
    st.session_state["uploads"] = st.session_state.get("uploads", 0) + 1
    st.session_state.pop("previews")
    column_roles.all_said().clear()
    st.session_state.pop("rehearsed")
    st.session_state[JUST_IN] = report["import"]
    _show_who_came(choice, people_of(store_at(choice.store.path), report["import"]))
    say_next(stored(report["import"], report["sets_stored"], unmatched_of(store_at(choice.store.path), report["import"]), report["rows_set_aside"]))


def _show_who_came(choice: Choice, people: list[str]) -> None:
    """Choose the first athlete of an import, where it holds nothing of the one who is chosen."""
    if people and choice.athlete not in people:
        st.query_params.update(athlete=people[0], week=week_to_open(store_at(choice.store.path), people[0], date.today()).isoformat())


def _to_see(choice: Choice) -> None:
    """After an import: the way to each of its athletes, and to what of it waits, the first athlete's."""
    people = people_of(choice.store, st.session_state[JUST_IN]) if JUST_IN in st.session_state else []
    with st.container(horizontal=True):
        if people and unmatched_of(choice.store, st.session_state[JUST_IN]):
            st.page_link("app_pages/data.py", label="Say what waits →", width="content", query_params={"athlete": people[0], "part": "waits"})
        for athlete in people[:TO_SEE]:
            st.page_link("app_pages/this_week.py", label=f"See {escape(athlete)}'s last week →", width="content",
                         query_params={"athlete": athlete, "week": week_to_open(choice.store, athlete, date.today()).isoformat()})
    if len(people) > TO_SEE:
        remark(f"{counted(len(people) - TO_SEE, 'other', 'others')} came in: they are in the box *Athlete* and on the page *Clients*.")
