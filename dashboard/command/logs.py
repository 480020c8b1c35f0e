"""`evenset import` and `evenset undo`."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import Any

from dashboard.command.progress import Progress
from dashboard.queries.words import called
from dashboard.sentences.imports import taken_back
from dashboard.sentences.numbers import counted
from dashboard.standing.refresh import refresh
from etl.importing import Answers, keep, known, rehearse, understand
from etl.importing import undo as undo_import
from etl.refusal import Refusal
from etl.store import store_path

PACKAGE, PACKAGE_LOGS = "datapackage.json", ("sets.csv", "days.csv")
SUFFIXES = (".csv", ".tsv", ".txt")
SHOWN = 10


def import_logs(options: argparse.Namespace) -> None:
    """Read files into the store, work out what they change, and report."""
    store, progress = store_path(options.store), Progress()
    paths, from_folder = _files(options.paths)
    answers = Answers(options.athlete, options.unit, options.day_first, columns_said(options.columns), year=options.year)
    preview = understand([(path.name, path) for path in paths], answers, known=known(store), names_give_athlete=from_folder, progress=progress)
    report = rehearse(store, preview) if options.dry_run else keep(store, preview, progress)
    if not options.dry_run:
        refresh(store, progress=progress)
    progress.done()
    print(json.dumps(report, ensure_ascii=False) if options.json else in_words(report, options.dry_run))


def undo(options: argparse.Namespace) -> None:
    """Take an import back whole."""
    store, progress = store_path(options.store), Progress()
    gone = undo_import(store, options.number)
    refresh(store, progress=progress)
    progress.done()
    print(f"Import {options.number} is undone: {taken_back(*gone)}")


def _files(named: list[str]) -> tuple[list[Path], bool]:
    """The files of the paths, and whether a folder was among them (then a file's name may say whose it is)."""
    found: list[Path] = []
    for path in map(Path, named):
        if (path / PACKAGE).is_file():
            # An exported data package: the set log and the days are its logs, the other tables are worked out from them.
            found += [path / name for name in PACKAGE_LOGS if (path / name).is_file()]
        elif path.is_dir():
            inside = sorted(p for p in path.iterdir() if p.suffix.lower() in SUFFIXES and p.is_file())
            if not inside:
                raise Refusal("There is no CSV file in the folder", str(path), "Name a folder that holds .csv, .tsv or .txt files.")
            found += inside
        else:
            found.append(path)
    return found, any(Path(p).is_dir() for p in named)


def columns_said(text: str | None) -> dict[str, str]:
    """'date=Day,load=Weight' as {field: header}."""
    pairs = [pair.partition("=") for pair in (text or "").split(",") if pair.strip()]
    wrong = [field for field, sign, header in pairs if not sign or not header.strip()]
    if wrong:
        raise Refusal(f"'{wrong[0]}' is not of the form FIELD=HEADER", "--columns", 'Write, for instance, --columns "date=Day,exercise=Movement".')
    return {field.strip(): header.strip() for field, _, header in pairs}


def in_words(report: dict[str, Any], dry_run: bool) -> str:
    head = "Nothing has been stored; this is what would be." if dry_run else f"Import {report['import']} (evenset undo {report['import']} takes it back)."
    lines = [head, f"  {counted(report['rows_read'], 'row', 'rows')} read", f"  {counted(report['sets_stored'], 'set', 'sets')} stored, {report['already_stored']} already stored"]
    if report["days_stored"]:
        lines.append(f"  {counted(report['days_stored'], 'row', 'rows')} with only body mass, pain or effort of the day")
    lines += _listed(f"{counted(report['rows_set_aside'], 'row', 'rows')} set aside", [f"{a['file']} row {a['row']}: {a['reason']}" for a in report["set_aside"]])
    waiting = [f"{u['name']} ({counted(u['sets'], 'set', 'sets')})" + (f"; near: {', '.join(map(called, u['suggestions']))}" if u["suggestions"] else "")
               for u in report["unmatched"]]
    names = counted(len(waiting), "exercise name that the catalogue lacks; its sets are", "exercise names that the catalogue lacks; their sets are")
    lines += _listed(f"{names} kept and wait, on the page Data", waiting)
    lines += _listed("Taken for granted", report["assumed"])
    if report["differs"]:
        lines.append(f"  {counted(report['differs'], 'cell differs', 'cells differ')} from what was stored before; what was stored stays")
    return "\n".join(lines)


def _listed(title: str, items: list[str]) -> list[str]:
    if not items:
        return []
    more = [f"    and {len(items) - SHOWN} more (--json lists all)"] if len(items) > SHOWN else []
    return [f"  {title}:", *(f"    {item}" for item in items[:SHOWN]), *more]


