"""Rows that were set aside: mended in a table, left out for good, or kept waiting."""

from __future__ import annotations

import pandas as pd
import streamlit as st

from dashboard.app_pages.page import grid, say_next, taken_back
from dashboard.choices import Choice, one_of
from dashboard.queries import imports as imports_of
from dashboard.sentences.decimal_mark import told, told_rows
from dashboard.sentences.numbers import counted, number
from dashboard.standing.refresh import refresh
from etl.importing import mend, mended_rows, unmend, waiting

LEAVE_OUT = "leave out"
FIXED = ("import_id", "file", "row", "reason")
SHOWN = 200  # rows of one file in the table: the rest follow as these are mended


def show(choice: Choice) -> None:
    rows = imports_of.set_aside(choice.store)
    if not rows.empty:
        _waiting(choice, rows)
    if not choice.sample:
        _mended(choice)


def _waiting(choice: Choice, rows: pd.DataFrame) -> None:
    st.header(f"{counted(len(rows), 'row', 'rows')} set aside")
    if choice.sample:
        grid(rows, "Rows set aside, with file, row number, reason and text",
             column_config={"import_id": "import", "row": "row", "reason": "reason", "text": "the row as written"})
        return
    st.markdown("Nothing is dropped: each row that could not be read waits here with its reason. Mend its cells, or tick *leave out* "
                "where it holds no set (a line of totals, a remark). It is remembered for the next file that holds the same row.")
    files = {(row.import_id, row.file): f"{row.file}, import {row.import_id}: {counted(row.rows, 'row', 'rows')}"
             for row in rows.groupby(["import_id", "file"], sort=False).size().rename("rows").reset_index().itertuples()}
    picked = one_of("File", files, "mend_file", 420) if len(files) > 1 else next(iter(files))
    _table(choice, *picked)


def _table(choice: Choice, import_id: int, file: str) -> None:
    found = told_rows(waiting(choice.store.path, import_id, file).head(SHOWN), ["reason"])
    cells = [name for name in found.columns if name not in FIXED]
    shown = found[["row", "reason", *cells]]
    shown.insert(0, LEAVE_OUT, False)
    key = f"mend_{import_id}_{choice.store.stamp}"
    edited = st.data_editor(shown, hide_index=True, width="stretch", placeholder="", key=key, disabled=["row", "reason"],
                            alt=f"Rows of {file} that were set aside, to be mended", column_config={
                                LEAVE_OUT: st.column_config.CheckboxColumn(LEAVE_OUT, pinned=True),  # in sight however wide the rows are
                                "row": st.column_config.NumberColumn("row", width="small"), "reason": st.column_config.TextColumn("reason", width="large")})
    changed = (edited[cells] != shown[cells]).any(axis=1) | edited[LEAVE_OUT]
    with st.container(horizontal=True):
        if st.button("Take the mended rows in", type="primary", disabled=not changed.any()):
            _mend(choice, import_id, file, edited[changed], cells)
        if st.button("Leave all of these out", disabled=shown.empty):
            _mend(choice, import_id, file, shown.assign(**{LEAVE_OUT: True}), cells)


def _mend(choice: Choice, import_id: int, file: str, rows: pd.DataFrame, cells: list[str]) -> None:
    said = {int(row["row"]): None if row[LEAVE_OUT] else [_text(row[name]) for name in cells] for row in rows.to_dict("records")}
    report = mend(choice.store.path, import_id, file, said)
    refresh(choice.store.path)
    still = report["still_set_aside"]
    words = f"{counted(report['taken_in'], 'row', 'rows')} taken in ({counted(report['sets_stored'], 'set', 'sets')}), {number(report['left_out'])} left out."
    words += f" {counted(len(still), 'row', 'rows')} cannot be read yet, such as row {still[0]['row']}: {told(still[0]['reason'])}." if still else ""
    say_next(words)


def _mended(choice: Choice) -> None:
    done = mended_rows(choice.store.path)
    if done.empty:
        return
    made = {row.key: f"{row.file}, row {row.row}: {row.text} " + ("left out" if row.cells is None else "is " + " | ".join(row.cells))
            for row in done.itertuples()}

    def take_back(key: str) -> str:
        waits = unmend(choice.store.path, key)
        refresh(choice.store.path)
        return f"The row is what its file says again; {counted(waits, 'row waits', 'rows wait')} for it."

    taken_back(f"Mended and left out so far: {counted(len(done), 'row', 'rows')}", made, "Take back", "unmend", take_back)


def _text(cell: object) -> str:
    return "" if cell is None or cell != cell else str(cell)


