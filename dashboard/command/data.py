"""The data as a whole: `evenset blank`, `export` and `erase`."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from dashboard.command.output import json_text, new_file
from dashboard.command.people import find_stored
from dashboard.command.progress import Progress
from dashboard.sentences.numbers import counted
from dashboard.standing.refresh import refresh
from etl.export import export as write_package
from etl.export.blank import blank_log
from etl.importing import erase_athlete
from etl.refusal import Refusal
from etl.store import store_path


def blank(options: argparse.Namespace) -> None:
    """Write a CSV with a header and no rows, to begin a log with."""
    with new_file(Path(options.out)) as out:
        out.write(blank_log())
    print(f"{options.out}: one row per set, the date as 2026-03-02. Cells that you do not need stay empty. Then: evenset import {options.out}")


def export(options: argparse.Namespace) -> None:
    """Write the store, or one athlete of it, as a data package."""
    store, progress = store_path(options.store), Progress()
    refresh(store, progress=progress)
    athlete = find_stored(store, options.athlete) if options.athlete else None
    report = write_package(store, options.out, athlete, progress)
    progress.done()
    if options.json:
        print(json_text(report))
        return
    listed = ", ".join(f"{table}.csv ({rows})" for table, rows in report["rows"].items())
    print(f"{report['folder']}: {listed}, each as Parquet too, and datapackage.json")
    print("  Cells are as they are: a spreadsheet may take a text that begins with =, +, - or @ for a formula.")


def erase(options: argparse.Namespace) -> None:
    """Erase an athlete: every row, the text in the store file, and kept files that hold only their rows."""
    store = store_path(options.store)
    if not options.yes and not _agreed(options.athlete):
        raise Refusal("Nothing was erased", "evenset erase", "Say --yes to erase without being asked.")
    report = erase_athlete(store, options.athlete)
    if options.json:
        print(json_text(report))
        return
    print(f"{report['athlete']} is erased: {counted(report['sets'], 'set', 'sets')} and {counted(report['days'], 'day row', 'day rows')}.")
    if report["files_deleted"]:
        print(f"  Kept copies deleted: {', '.join(report['files_deleted'])}")
    if report["files_kept"]:
        print(f"  Kept copies that hold other athletes' rows too, or cannot be read, and still hold this one's: {', '.join(report['files_kept'])}. "
              "These rows are not read again. To be rid of them, undo those imports and import a log without them.")
    print("  Your own files, exports and backups are where they were.")


def _agreed(athlete: str) -> bool:
    if not sys.stdin.isatty():
        return False
    return input(f"Erase everything of {athlete}? This cannot be undone. Type the name: ").strip() == athlete
