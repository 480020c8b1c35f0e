"""The reports of all athletes: the week that each ends with, who is left out and why, and all of them as one ZIP."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable, Mapping
from datetime import date

from dashboard.queries.kept import Store
from dashboard.queries.people import athletes, weeks
from dashboard.queries.presented import last_week
from dashboard.report.content import gather_on
from dashboard.report.files import as_bytes, file_names
from dashboard.sentences.numbers import day

OWNER_ALONE = 0o600  # as the reports are that a command writes


def weeks_of_all(store: Store, monday: date | None, today: date) -> dict[str, date]:
    """Athlete -> the week that their report ends with: that of `last_week` where none is asked for, else that one, of those who have a log in it."""
    known = athletes(store)
    if monday is None:
        return {name: last_week(store, name, today) for name in known}
    return {name: monday for name in known if monday in weeks(store, name)}


def left_out(store: Store, monday: date | None) -> list[dict[str, str]]:
    """athlete, reason of those who are given no report: the week that was asked for is not in their log."""
    found = []
    for name in athletes(store) if monday else ():
        known = weeks(store, name)
        if monday not in known:
            before = [week for week in known if week < monday]
            what = f"ends with the week of {day(known[-1])}" if monday > known[-1] else f"has none between {day(before[-1])} and it" if before else f"begins with the week of {day(known[0])}"
            found.append({"athlete": name, "reason": f"the log {what}"})
    return found


def in_words(out: list[dict[str, str]]) -> str:
    """
    >>> in_words([{"athlete": "Ida", "reason": "the log ends with the week of 2 March 2026"}, {"athlete": "Bo", "reason": "the log begins with the week of 1 June 2026"}])
    'Left out: Ida (the log ends with the week of 2 March 2026); Bo (the log begins with the week of 1 June 2026).'
    """
    return f"Left out: {'; '.join(one['athlete'] + ' (' + one['reason'] + ')' for one in out)}."


def zipped(store: Store, asked: Mapping[str, date], kind: str, paper: str, today: date, progress: Callable[[float, str], None]) -> bytes:
    """A ZIP with a report for each, each with nobody else in it and with what the client may see, under the names of `files.file_names`.

    asked: athlete -> Monday. progress: is told the share that is done, and what is done next.
    """
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as out:
        for i, (athlete, name) in enumerate(file_names(asked, kind, paper).items()):
            progress(i / len(asked), f"Report of {athlete}, {i + 1} of {len(asked)}")
            made = gather_on(store, athlete, asked[athlete], today)
            entry = zipfile.ZipInfo(name, (today.year, today.month, today.day, 0, 0, 0))
            entry.compress_type, entry.external_attr = zipfile.ZIP_DEFLATED, OWNER_ALONE << 16
            out.writestr(entry, as_bytes(made, kind, paper))
    progress(1.0, "Done")
    return packed.getvalue()
