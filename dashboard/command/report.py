"""`evenset report`: what a client is given, as HTML of one file or as PDF, for one athlete or for all."""

from __future__ import annotations

import argparse
import re
import sys
from datetime import date
from pathlib import Path

from dashboard.command.output import json_text
from dashboard.command.people import find, find_week, monday_of
from dashboard.command.progress import Progress
from dashboard.queries.kept import Store, store_at
from dashboard.queries.people import athletes
from dashboard.queries.presented import last_week
from dashboard.queries.stair import LADDER, LOADS, stair, stairs
from dashboard.report.content import FEWEST_WEEKS, MOST_WEEKS, gather_on
from dashboard.report.files import HTML, PDF, as_bytes, check, file_names, write
from dashboard.report.of_all import in_words, left_out, weeks_of_all
from dashboard.sentences.decimal_mark import COMMA, POINT, written_with
from dashboard.standing.refresh import refresh
from etl.own import find as named
from etl.refusal import Refusal
from etl.store import reading, store_path

ENDINGS = {".html": HTML, ".htm": HTML, ".pdf": PDF}
MARKS = {"point": POINT, "comma": COMMA}  # of the numbers in a file, as it goes to a reader whom no browser speaks for
OTHER_FILE = re.compile(r"\.[A-Za-z]\w{0,4}")  # what looks like the ending of a file and not like a part of a folder's name
REFRESHED = 0.3  # the share of the progress that working out takes


def report(options: argparse.Namespace) -> None:
    """Write the report of an athlete, or one for each."""
    if not FEWEST_WEEKS <= options.weeks <= MOST_WEEKS:
        raise Refusal(f"A report is of {FEWEST_WEEKS} to {MOST_WEEKS} weeks, not of {options.weeks}", "--weeks", "Give a number between these.")
    if bool(options.athlete) and options.all:
        raise Refusal("Both one athlete and all were asked for", "--athlete, --all", "Give one of the two.")
    if options.stair is not None and options.all:
        raise Refusal("One stair was asked for in the reports of all", "--stair, --all", "Name the athlete whose it is.")
    path, progress = store_path(options.store), Progress()
    kind = _kind_of_file(Path(options.out))
    if kind and options.all:
        raise Refusal("One file cannot hold the reports of all: each athlete is given a file with nobody else in it", options.out, "Name a folder.")
    refresh(path, progress=lambda share, text: progress(REFRESHED * share, text))
    store = store_at(path)
    asked = _weeks(store, options)
    which = {name: _stair(store, name, options.stair, week, options.weeks) for name, week in asked.items()} if options.stair is not None else {}
    files = {name: Path(options.out) for name in asked} if kind else _in_folder(Path(options.out), asked, options.as_, options.paper)
    for file in files.values():
        check(file)
    today = date.today()
    for i, (name, file) in enumerate(files.items()):
        progress(REFRESHED + (1 - REFRESHED) * i / len(files), f"Report of {name}, {i + 1} of {len(files)}")
        with written_with(MARKS[options.decimal]):
            made = as_bytes(gather_on(store, name, asked[name], today, options.weeks, which=which.get(name)), kind or options.as_, options.paper)
        write(file, made)
    progress.done()
    written = [str(file) for file in files.values()]
    out = left_out(store, monday_of(options.week)) if options.all and options.week else []
    if options.json:
        print(json_text({"written": written, "left_out": out}))
        return
    print("\n".join(written))
    if out:
        print(in_words(out), file=sys.stderr)


def _kind_of_file(out: Path) -> str | None:
    """HTML or PDF by the file's ending, None for a folder. Raises Refusal for a file of another kind."""
    if out.is_dir():
        return None
    kind = ENDINGS.get(out.suffix.lower())
    if kind is None and (out.exists() or OTHER_FILE.fullmatch(out.suffix)):
        raise Refusal("A report is an HTML or a PDF file", str(out), "Let its name end with .html or .pdf, or name a folder.")
    return kind


def _weeks(store: Store, options: argparse.Namespace) -> dict[str, date]:
    """Athlete -> the week that the report ends with: that of `last_week` where none is asked for; of all, only those who have a log in one that is."""
    if not options.all:
        name = find(store, options.athlete)
        return {name: find_week(store, name, options.week) if options.week else last_week(store, name, date.today())}
    if not athletes(store):
        find(store, None)  # which says what to do where there is nobody
    monday = monday_of(options.week) if options.week else None
    found = weeks_of_all(store, monday, date.today())
    if monday and not found:
        raise Refusal(f"Nobody has a log in the week of {monday.isoformat()}", "--week", "Leave --week out for the last full week of each.")
    return found


def _stair(store: Store, athlete: str, written: str, week: date, weeks: int) -> str:
    """The id of the stair that was named: a progression or an exercise, by its id or name. Raises Refusal with those there are."""
    known, said = stairs(store, athlete, week, weeks), " ".join(written.split()).casefold()
    for which, name in known.items():
        of = which.partition(":")[2]
        if said in (which, of, of.replace("_", " "), name.casefold()):
            return which
    try:
        with reading(store.path):
            exercise = named.exercise(written, "--stair")
    except Refusal:
        exercise = ""
    if (loads := f"{LOADS}:{exercise}") in known:
        return loads
    for which in known:
        if which.startswith(LADDER) and exercise in set(stair(store, athlete, which, week, weeks).sessions["exercise"]):
            return which
    there_are = f"There are: {', '.join(known.values())}." if known else "There is none yet: it takes two loads of an exercise, or a step of a progression."
    raise Refusal(f"{athlete} has no stair '{written.strip()[: named.SHOWN]}' in the {weeks} weeks", "--stair", there_are)


def _in_folder(folder: Path, asked: dict[str, date], kind: str, paper: str) -> dict[str, Path]:
    """Athlete -> file in the folder, which is made where it is not there."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Refusal(f"The folder cannot be made: {error.strerror}", str(folder), "Name another one.") from error
    return {name: folder / text for name, text in file_names(asked, kind, paper).items()}
