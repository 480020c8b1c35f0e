"""Rows of the store as frames: a connection for each query, a cache keyed by the store's stamp, never by a frame."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import pandas as pd

from etl.store import reading, stamp


@dataclass(frozen=True)
class Store:
    """A store as it stood: its file and the stamp that each change of it renews."""

    path: str
    stamp: str


def store_at(path: str | Path) -> Store:
    """The store at `path` with its present stamp. Raises Refusal if it is held by another program or is no store."""
    return Store(str(path), stamp(path))


def rows(store: Store, sql: str, *params: object) -> pd.DataFrame:
    """The result of `sql` with `params` bound; a lazy copy, so that a caller may change its own."""
    return _rows(store.path, store.stamp, sql, params).copy(deep=False)


@lru_cache(maxsize=256)
def _rows(path: str, _stamp: str, sql: str, params: tuple) -> pd.DataFrame:
    with reading(path) as con:
        return con.execute(sql, list(params)).df()
