"""Does a column of sets or rounds number them, or count them? The exercise and the day beside each number tell."""

from __future__ import annotations

from collections.abc import Hashable, Iterable

import pandas as pd

from etl import notation

RUNNING = 0.8  # [D] share of the numbers that tell which have to run on for a column to number; with as few as the rest it counts
BY_CHANCE = 0.5  # [D] a smaller share that runs on from the end of the file to its beginning is no sign of a log whose newest set stands first


def running(cells: pd.Series, day: pd.Series, exercise: pd.Series) -> float | None:
    """Of the numbers that tell, the share (0-1) that run on from 1 within one exercise of one day; None where none tells.

    cells: of a column of sets or rounds, in the order of the file. day, exercise: what stands beside them, a blank
    being as above; all alike where the file has no such column. A log whose newest set stands first runs the other way.
    """
    number = notation.read_numbers(cells.str.replace(r"^[^\W\d_ .#]*[ .#]*(?=\d)", "", regex=True), ".")
    word = number.isna() & ~notation.is_blank(cells) & ~cells.str.contains(r"\d", regex=True)  # a kind of set, such as W
    days, things = map(_as_above, (day, exercise))
    rows = [row for row, there in zip(zip(number, days, zip(days, things, strict=True), strict=True), number.notna() | word, strict=True) if there]
    onward, back = _share(rows), _share(reversed(rows))
    if max(onward or 0.0, back or 0.0) >= RUNNING:
        return max(onward or 0.0, back or 0.0)
    # Of few numbers some run on backwards by chance.
    return None if onward is None or back is None else max(onward, back if back > BY_CHANCE else 0.0)


def numbers(share: float | None) -> bool | None:
    """True where a column numbers, False where it counts, None where its numbers show neither or both."""
    if share is None or 1 - RUNNING < share < RUNNING:
        return None
    return share >= RUNNING


def _as_above(cells: pd.Series) -> pd.Series:
    written = cells.str.strip().str.casefold()
    return written.mask(written == "").ffill().fillna("")


def _share(rows: Iterable[tuple[float, Hashable, Hashable]]) -> float | None:
    """rows: a number (NaN for a word such as "W"), its day, its day with its exercise.

    A number that is one more than the exercise's last runs on. A 1, the same number again (the left and the right of
    one set), one behind a word, and one that goes on with the day's own numbering fit a count as well: they tell nothing.
    """
    last: dict[Hashable, tuple[float, bool]] = {}
    of_day: dict[Hashable, tuple[float, bool]] = {}
    run, broken = 0, 0
    for number, day, thing in rows:
        before, good = last.get(thing, (0.0, False))
        if number != number:
            last[thing] = number, True
            continue
        day_before, day_runs = of_day.get(day, (0.0, True))
        in_day = number == 1 or day_runs and number - day_before in (0, 1)
        if number == before + 1 and good:
            run += 1
        elif number != before and before == before:
            good = in_day
            broken += not good
        last[thing], of_day[day] = (number, good), (number, in_day)
    return run / (run + broken) if run + broken else None
