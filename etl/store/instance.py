"""One database instance for a store in the life of a program: the store is attached to it only while it is used.

Starting an instance takes five times as long as attaching a file to one that runs, and a page reads several times.
Between two uses nothing of the store is open, so that another program can have it.
"""

from __future__ import annotations

import threading
from pathlib import Path

import duckdb

MEMORY = "1GB"  # [D] of the database; what does not fit goes to a temporary file beside the store
# No extension is ever fetched.
CONFIG = {"memory_limit": MEMORY, "autoinstall_known_extensions": "false", "autoload_known_extensions": "false"}
# What the database names the files of a store: the store, and its changes before, while and after they go into it.
FILES = ("", ".wal", ".wal.checkpoint", ".wal.recovery")
# [D] Trying these on every column takes a twentieth of the time of writing, and saves less than a twentieth of the file.
LESS_TRIED = "set global disabled_compression_methods = 'rle,alprd,chimp,patas,zstd,fsst,dictionary'"


def named(text: str) -> str:
    """A name as SQL writes it."""
    return '"' + text.replace('"', '""') + '"'


def literal(text: str) -> str:
    """A text as SQL writes it, where no parameter can stand."""
    return "'" + text.replace("'", "''") + "'"


class Instance:
    """A database in memory that may touch the files of one store and no others."""

    def __init__(self, path: Path) -> None:
        self._store = literal(str(path))
        self._aside = path.with_name(f"{path.name}.tmp")
        self._users = 0
        self._base = duckdb.connect(":memory:", config=CONFIG)
        # In this order: nothing of it can be changed once access to files is off.
        self._base.execute(f"set temp_directory = {literal(str(self._aside))}")
        self._base.execute(f"set allowed_paths = [{', '.join(literal(f'{path}{end}') for end in FILES)}]")
        self._base.execute("set enable_external_access = false")
        self._base.execute(LESS_TRIED)

    @property
    def idle(self) -> bool:
        return self._users == 0

    @property
    def has_put_aside(self) -> bool:
        """Whether something did not fit into memory: its file goes with the instance only."""
        return self._aside.exists()

    def enter(self, read_only: bool) -> duckdb.DuckDBPyConnection:
        """A connection whose tables are the store's. Raises duckdb.Error where the file cannot be opened."""
        if self.idle:
            self._base.execute(f"attach {self._store} as store{' (read_only)' if read_only else ''}")
        con = self._base.cursor()
        con.execute("use store")
        self._users += 1
        return con

    def leave(self, con: duckdb.DuckDBPyConnection) -> None:
        """Close the connection, and with the last one the file. Raises duckdb.Error where the file cannot be closed in good order."""
        con.close()
        self._users -= 1
        if self.idle:
            self._base.execute("detach store")

    def end(self) -> None:
        self._base.close()


def connect(path: Path, read_only: bool) -> duckdb.DuckDBPyConnection:
    """A connection to the store at `path`; who asks for it sees to it that nobody writes while others read.

    Raises duckdb.Error where the file cannot be opened. Only the instance of the store used last is kept running.
    """
    path = path.absolute()
    with _LOCK:
        return (_RUNNING.get(path) or _start(path)).enter(read_only)


def close(path: Path, con: duckdb.DuckDBPyConnection) -> None:
    """Close a connection made by `connect`."""
    path = path.absolute()
    with _LOCK:
        instance = _RUNNING[path]
        try:
            instance.leave(con)
            spent = instance.idle and instance.has_put_aside
        except duckdb.Error:
            spent = True  # what was committed is safe in the file of changes, and the next instance reads it from there
        if spent:
            _RUNNING.pop(path).end()


def _start(path: Path) -> Instance:
    for other in [p for p, instance in _RUNNING.items() if instance.idle]:
        _RUNNING.pop(other).end()
    _RUNNING[path] = Instance(path)
    return _RUNNING[path]


_LOCK = threading.Lock()
_RUNNING: dict[Path, Instance] = {}
