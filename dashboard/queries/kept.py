"""Rows of the store as frames: a connection for each query, a cache keyed by the store's stamp, never by a frame."""

from __future__ import annotations

import threading
import time
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import pandas as pd

from etl.refusal import Refusal
from etl.store import reading, stamp

HELD_S = 0.25  # [D] as long as a page reads; a writer waits so long at most


@dataclass(frozen=True)
class Store:
    """A store as it stood: its file and the stamp that each change of it renews."""

    path: str
    stamp: str


def store_at(path: str | Path) -> Store:
    """The store at `path` with its present stamp. Raises Refusal if it is held by another program or is no store."""
    return Store(str(path), stamp(path))


def hold(store: Store) -> None:
    """Keep the store open to readers for HELD_S: attaching it takes as long as a query, and a page makes some fifteen of them.

    A thread of its own lets go, so that a page that writes to the store waits for that and does not wait for itself.
    """
    with _LOCK:
        if store.path in _HELD:
            return
        _HELD.add(store.path)
    threading.Thread(target=_held, args=(store.path,), daemon=True).start()


def _held(path: str) -> None:
    try:
        with reading(path):
            time.sleep(HELD_S)
    except Refusal:
        pass  # whoever reads next is told
    finally:
        with _LOCK:
            _HELD.discard(path)


_LOCK = threading.Lock()
_HELD: set[str] = set()


def rows(store: Store, sql: str, *params: object) -> pd.DataFrame:
    """The result of `sql` with `params` bound; a lazy copy, so that a caller may change its own."""
    return _rows(store.path, store.stamp, sql, params).copy(deep=False)


@lru_cache(maxsize=256)
def _rows(path: str, _stamp: str, sql: str, params: tuple) -> pd.DataFrame:
    with reading(path) as con:
        return con.execute(sql, list(params)).df()
