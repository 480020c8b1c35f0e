"""The bytes of each file that was imported, compressed and kept beside the store under their hash."""

from __future__ import annotations

import gzip
import os
from pathlib import Path

from etl.refusal import Refusal


def folder(store: str | Path) -> Path:
    """Where the source files of a store lie."""
    store = Path(store)
    return store.with_name(store.stem + ".sources")


def keep(store: str | Path, sha256: str, data: bytes) -> Path:
    """Write the bytes once. A half-written file never takes the place of a whole one."""
    place = folder(store)
    path = place / f"{sha256}.gz"
    if path.exists():
        return path
    try:
        place.mkdir(mode=0o700, parents=True, exist_ok=True)
        part = path.with_suffix(f".{os.getpid()}.part")
        with open(os.open(part, os.O_CREAT | os.O_WRONLY | os.O_TRUNC, 0o600), "wb") as out:
            # mtime 0: the same bytes give the same file
            out.write(gzip.compress(data, 6, mtime=0))
        os.replace(part, path)
    except OSError as error:
        raise Refusal("The copy of the file cannot be kept", str(place), f"Nothing was stored. {error.strerror}.") from error
    return path


def read(store: str | Path, sha256: str) -> bytes:
    """The bytes as they were imported. Raises Refusal if they are gone."""
    try:
        return gzip.decompress((folder(store) / f"{sha256}.gz").read_bytes())
    except OSError as error:
        raise Refusal("The kept copy of a file is missing", sha256[:12], "Import the file again.") from error
