"""Dates without a year, in the order of the file: which of them are past New Year, also where the file is sorted by athlete or exercise."""

from __future__ import annotations

from collections.abc import Iterator

import pandas as pd

from etl.normalise.page import Page
from etl.notation.yearless import years_on

SEVERAL = 0.5  # [D] share of the athletes or exercises that have to have several dates for the file to be sorted by them


def years_after_oldest(dates: pd.Series, page: Page | None, day_first: bool) -> tuple[pd.Series, bool]:
    """As `years_on`. page: of a column of dates, None for headers of days.

    In a file that is sorted by athlete or exercise, dates begin anew with each of them, which is no New Year where most
    of them were trained on the same days and each goes past as many New Years. Else it cannot be told.
    """
    whole, clear = years_on(dates, day_first)
    for block in _sorted_by(dates, page) if page else ():
        if clear and not _steps_between(whole, block):
            return whole, True
        parts = [years_on(own, day_first) for _, own in dates.groupby(block)]
        alike = all(alone for _, alone in parts) and len({part.max() for part, _ in parts if part.notna().any()}) == 1
        if alike and _on_the_same_days(dates, block):
            return pd.concat([part for part, _ in parts]).sort_index(), True
        clear = False
    return whole, clear


def _steps_between(years: pd.Series, block: pd.Series) -> bool:
    """Whether a new year begins where a new athlete or exercise does."""
    known = years.dropna()
    stepped = known.index[known != known.shift(fill_value=known.iloc[0])]
    return bool((block != block.shift())[stepped].any())


def _on_the_same_days(dates: pd.Series, block: pd.Series) -> bool:
    """Whether most of the athletes or exercises have a date of another one."""
    pairs = pd.DataFrame({"date": dates, "block": block})[dates != ""].drop_duplicates()
    shared = pairs["date"].duplicated(keep=False)
    return bool(shared.groupby(pairs["block"]).any().mean() > SEVERAL)


def _sorted_by(dates: pd.Series, page: Page) -> Iterator[pd.Series]:
    """For each way in which the file is sorted, what its rows are sorted by: athlete, exercise or both, most of which have several dates."""
    athlete, exercise = (page.said(field).str.casefold().mask(page.said(field) == "").ffill().fillna("") for field in ("athlete", "exercise"))
    for block in (athlete, exercise, athlete + "\x00" + exercise):
        several = dates.mask(dates == "").groupby(block).nunique() > 1
        if block.nunique() > 1 and int((block != block.shift()).sum()) == block.nunique() and several.mean() >= SEVERAL:
            yield block
