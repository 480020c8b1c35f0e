"""Rows of the store as frames: a connection for each query or for those of one page, a cache keyed by the store's stamp, never by a frame."""

from __future__ import annotations

import threading
from collections.abc import Callable
from contextlib import ExitStack
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache, wraps
from pathlib import Path
from typing import Any, TypeVar, cast

import pandas as pd

from dashboard.queries.words import names_with_a_point
from dashboard.sentences.decimal_mark import POINT, mark, told_rows
from etl.store import reading, stamp, stamp_of

KEPT_TEXTS = ("message", "action", "reason")  # columns with sentences that are kept with the point
# What a person wrote that such a sentence can hold, where it has a point within a number.
WRITTEN = r"""
select distinct text from (
    select exercise_as_written as text from sets where exercise is null
    union all select pain_place from sets union all select pain_place from days union all select place from notes
) where regexp_matches(text, '\d\.\d')
"""
AT_ONCE = 26  # weeks: half a year
RESULTS = 64  # of each function that is `remembered`
HELD_S = 0.25  # [D] as long as a page reads; whoever writes waits so long at most

Made = TypeVar("Made", bound=Callable[..., Any])


@dataclass(frozen=True)
class Store:
    """A store as it stood: its file and the stamp that each change of it renews."""

    path: str
    stamp: str


def store_at(path: str | Path) -> Store:
    """The store at `path` with its present stamp. Raises Refusal if it is held by another program or is no store."""
    return Store(str(path), stamp(path))


def rows(store: Store, sql: str, *params: object) -> pd.DataFrame:
    """The result of `sql` with `params` bound; a lazy copy, so that a caller may change its own. Kept texts have the decimal mark that holds."""
    found = _rows(store.path, store.stamp, sql, params).copy(deep=False)
    if mark() == POINT or not set(KEPT_TEXTS).intersection(found.columns):
        return found
    return told_rows(found, KEPT_TEXTS, [*names_with_a_point(), *_rows(store.path, store.stamp, WRITTEN, ())["text"]])


def of_week(store: Store, table: str, athlete: str, week: date, order: str = "") -> pd.DataFrame:
    """The rows of a table of an athlete's weeks that are of `week`; as `rows` gives them. order: of the rows of a week. Not for tables with many rows a week."""
    return of_span(store, f"select * from {table} where athlete = ?1 and week between ?2 and ?3 order by week{', ' * bool(order)}{order}", athlete, week, "week")


def of_span(store: Store, sql: str, athlete: str, week: date, column: str) -> pd.DataFrame:
    """The rows of `sql` whose `column`, by which they are sorted, is `week`; as `rows` gives them. sql: ?1 the athlete, ?2 the first day and ?3 the last.

    AT_ONCE weeks are read together, always from the same Mondays on, so that most steps to another week ask the database for nothing.
    """
    start = week - timedelta(days=(week.toordinal() - 1) % (7 * AT_ONCE))  # day 1 was a Monday
    every = rows(store, sql, athlete, start, start + timedelta(days=7 * AT_ONCE - 1))
    weeks, when = every[column].to_numpy(), pd.Timestamp(week).to_datetime64()
    return every.iloc[weeks.searchsorted(when) : weeks.searchsorted(when, side="right")].reset_index(drop=True)


def remembered(make: Made) -> Made:
    """`make`, whose results are kept for its arguments, a store as it stands among them, and the decimal mark that holds. For what a page draws each time that
    it is opened, and nobody changes.
    """
    kept = lru_cache(maxsize=RESULTS)(lambda _mark, *given: make(*given))
    return cast(Made, wraps(make)(lambda *given: kept(mark(), *given)))


def hold(path: str | Path) -> Store:
    """The store at `path` as `store_at` gives it, whose queries of the next HELD_S by this thread share a connection: to open one takes as long as a
    query, and a page makes fifteen of them.

    It is closed by a thread of its own, so that a page that writes to the store waits for that and does not wait for itself. The program's end
    waits for it too: a thread that is cut off inside the database would end the program with a fault.
    Raises Refusal where the store cannot be opened.
    """
    held = _HERE.held = _Held(str(path))
    letting_go = threading.Timer(HELD_S, held.let_go)
    letting_go.daemon = False  # else it would be as the thread is that starts it, and a page's is one
    letting_go.start()
    return Store(str(path), held.stamp)


@lru_cache(maxsize=256)
def _rows(path: str, _stamp: str, sql: str, params: tuple) -> pd.DataFrame:
    held: _Held | None = getattr(_HERE, "held", None)
    found = held.asked(path, sql, params) if held else None
    if found is not None:
        return found
    with reading(path) as con:
        return _result(con, sql, params)


class _Held:
    """A connection that is open for a while."""

    def __init__(self, path: str) -> None:
        self._path, self._lock = path, threading.Lock()
        with ExitStack() as opening:
            self._con: Any = opening.enter_context(reading(path))
            self.stamp = stamp_of(self._con)
            self._open = opening.pop_all()

    def asked(self, path: str, sql: str, params: tuple) -> pd.DataFrame | None:
        """The result, or None where the connection is closed or is to another store."""
        with self._lock:
            return _result(self._con, sql, params) if self._con is not None and path == self._path else None

    def let_go(self) -> None:
        with self._lock:
            self._con = None
            self._open.close()


def _result(con: Any, sql: str, params: tuple) -> pd.DataFrame:
    return con.execute(sql, list(params)).df()


_HERE = threading.local()
