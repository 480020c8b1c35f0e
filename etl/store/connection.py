"""Opening the store: short-lived connections, one writer at a time, and words when someone else holds it."""

from __future__ import annotations

import os
import random
import re
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import duckdb
import platformdirs

from etl.refusal import Refusal
from etl.store import instance, own
from etl.store.schema import migrate, needs_migration, version_of
from etl.tables import in_use, use

PATIENCE_S = 15.0


def store_path(said: str | None = None) -> Path:
    """The store to use: as said, else EVENSET_STORE, else evenset.duckdb in the user's data folder."""
    named = said or os.environ.get("EVENSET_STORE")
    return Path(named).expanduser() if named else Path(platformdirs.user_data_dir("evenset")) / "evenset.duckdb"


@contextmanager
def reading(path: str | Path) -> Iterator[duckdb.DuckDBPyConnection]:
    """A read-only connection, closed on leaving, with the store's catalogue in use. An absent store is made first, so that it reads as empty.

    Raises Refusal when the file is held by another program for longer than PATIENCE_S, or is no store.
    """
    path = Path(path)
    _ready(path)
    with _GATE.shared(), _opened(path, read_only=True) as con:
        own.lay_over(con)
        yield con


@contextmanager
def alone(path: str | Path) -> Iterator[duckdb.DuckDBPyConnection]:
    """The only connection to the store, in no transaction, and the one that may touch other files: to write the store anew."""
    path = Path(path)
    with _GATE.alone(), _patiently(path, lambda: duckdb.connect(str(path), config=instance.CONFIG)) as con:
        yield con


@contextmanager
def writing(path: str | Path) -> Iterator[duckdb.DuckDBPyConnection]:
    """A connection in one transaction: committed on leaving, rolled back if anything is raised."""
    path = Path(path)
    _make_room(path)
    with _GATE.alone(), _opened(path, read_only=False) as con:
        os.chmod(path, 0o600)
        migrate(con)
        own.lay_over(con)
        before = in_use().own
        con.execute("begin")
        try:
            yield con
            con.execute("update meta set value = (value::bigint + 1)::text where key = 'stamp'")
            con.execute("commit")
        except BaseException as error:
            _roll_back(con)
            use(before)
            if isinstance(error, duckdb.IOException | duckdb.OutOfMemoryException | duckdb.FatalException):
                raise _not_written(path, error) from error
            raise


def _roll_back(con: duckdb.DuckDBPyConnection) -> None:
    try:
        con.execute("rollback")
    except duckdb.Error:
        pass  # the connection is done for; nothing was committed, so the next one finds the store as it was


def stamp(path: str | Path) -> str:
    """A text that changes with every change of the store: the key for caches."""
    with reading(path) as con:
        return stamp_of(con)


def stamp_of(con: duckdb.DuckDBPyConnection) -> str:
    """`stamp` by a connection that is open."""
    return con.execute("select value from meta where key = 'stamp'").fetchall()[0][0]


def _make_room(path: Path) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Refusal("The folder of the store cannot be made", str(path.parent), str(error)) from error


def _ready(path: Path) -> None:
    """Make or migrate the store once in the life of the program, not at each reading."""
    known = (str(path), path.stat().st_ino) if path.exists() else None
    if known in _READY:
        return
    if known is None or needs_migration(_peek(path)):
        with writing(path):
            pass
    _READY.add((str(path), path.stat().st_ino))


def _peek(path: Path) -> int:
    with _GATE.shared(), _opened(path, read_only=True) as con:
        return version_of(con)


@contextmanager
def _opened(path: Path, read_only: bool) -> Iterator[duckdb.DuckDBPyConnection]:
    con = _patiently(path, lambda: instance.connect(path, read_only))
    try:
        yield con
    finally:
        instance.close(path, con)


def _patiently(path: Path, connect: Callable[[], duckdb.DuckDBPyConnection]) -> duckdb.DuckDBPyConnection:
    """Try until PATIENCE_S is over: another program's short connection is worth waiting for."""
    give_up = time.monotonic() + PATIENCE_S
    while True:
        try:
            return connect()
        except duckdb.IOException as error:
            if "lock" not in str(error):
                raise _not_a_store(path, error) from error
            if time.monotonic() > give_up:
                raise _held(path, str(error)) from error
            time.sleep(random.uniform(0.02, 0.08))
        except duckdb.Error as error:
            raise _not_a_store(path, error) from error


def _held(path: Path, text: str) -> Refusal:
    who = re.search(r"PID (\d+)", text)
    holder = f"by the program with process number {who[1]}" if who else "by another program"
    return Refusal(f"The store is held {holder}", str(path), "Close that program, or wait until it is done, and try again.")


def _not_written(path: Path, error: Exception) -> Refusal:
    return Refusal("The store cannot be written", str(path), "It is as it was before. Make room on its disk, and try again. "
                   f"({str(error).splitlines()[0]})")


def _not_a_store(path: Path, error: Exception) -> Refusal:
    return Refusal(
        "The file cannot be opened as a store", str(path),
        f"Name another one with --store, or move this file away. ({str(error).splitlines()[0]})",
    )


class _Gate:
    """Within one process: many readers or one writer, as DuckDB refuses both kinds at once on one file."""

    def __init__(self) -> None:
        self._changed = threading.Condition()
        self._readers = 0
        self._writing = False

    @contextmanager
    def shared(self) -> Iterator[None]:
        with self._changed:
            self._changed.wait_for(lambda: not self._writing)
            self._readers += 1
        try:
            yield
        finally:
            with self._changed:
                self._readers -= 1
                self._changed.notify_all()

    @contextmanager
    def alone(self) -> Iterator[None]:
        with self._changed:
            self._changed.wait_for(lambda: not self._writing and not self._readers)
            self._writing = True
        try:
            yield
        finally:
            with self._changed:
                self._writing = False
                self._changed.notify_all()


_GATE = _Gate()
_READY: set[tuple[str, int]] = set()
