"""Where else a file may say its year: a line above the table, a header, its name; or the days of the athlete that are stored."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Sequence
from datetime import date
from pathlib import PurePath

import pandas as pd

from etl.normalise.habits import FEW, MOST
from etl.read import TextTable

_YEAR = re.compile(r"(?<!\d)((?:19|20)\d{2})(?!\d|[.,]\d|\s?(?:k?cal|kj|kg|lbs?|k?m|reps|steps|min|s)\b)", re.ASCII | re.IGNORECASE)  # no 2000 kcal
_SEASON = re.compile(r"(?<!\d)((?:19|20)\d{2})\s?[-/]\s?(\d{2})(?![\d/-])", re.ASCII)  # 2025/26


def oldest(
    table: TextTable, readings: Sequence[Callable[[int], pd.Series]], span: int, known: Collection[date], fits: Callable[[int], bool],
) -> tuple[int | None, str]:
    """The year of the oldest date and who says it, (None, "") where nobody does.

    readings: the year of the oldest date -> the file's days, for each order of day and month. span: years from the oldest
    date to the newest. known: days of the athlete that are stored. fits: whether the oldest date may be of a year.
    """
    places = {"a line above the header": table.titles, "the header": table.header, "the file's name": [PurePath(table.name).stem]}
    places["what stands around the table"] = [text for texts in places.values() for text in texts]
    for place, texts in places.items():
        said = years_in(texts)
        # Every year that is said is one of the file's; of a log over New Year it may be any of them.
        found = [year for year in range(max(said) - span, min(said) + 1) if fits(year)] if said else []
        if len(found) == 1:
            return found[0], place
    return _by_stored_days(readings, span, known), "the stored log of the same athlete"


def undecided(table: TextTable) -> str:
    """Words for a line above the header that says a year, where that does not tell the oldest date's; "" where there is none."""
    title = next((text for text in table.titles if years_in([text])), "")
    return f'"{title[:60]}" above the header does not settle it, since they go past New Year or do not fit that year' if title else ""


def years_in(texts: Iterable[str]) -> set[int]:
    """The years that stand in the texts, in four digits: of "2025/26" both."""
    found = set()
    for text in texts:
        found |= {int(year) for year in _YEAR.findall(text)}
        found |= {int(first) + 1 for first, second in _SEASON.findall(text) if int(second) == (int(first) + 1) % 100}
    return found


def _by_stored_days(readings: Sequence[Callable[[int], pd.Series]], span: int, known: Collection[date]) -> int | None:
    """The year whose days are mostly stored already, where those of the others are hardly so: a longer export of the same log."""
    stored = pd.to_datetime(pd.Series(list(known), dtype="object"))
    tried = sorted({day.year - after for day in known for after in range(span + 1)})
    shares = {year: max(float(days(year).isin(stored).mean()) for days in readings) for year in tried}
    found = [year for year, share in shares.items() if share >= MOST]
    return found[0] if len(found) == 1 and all(share <= FEW for year, share in shares.items() if year != found[0]) else None
