"""The bytes of each file that was imported, compressed and kept beside the store under their hash."""

from __future__ import annotations

import gzip
import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

import pyarrow as pa

from etl.packed import CODEC, Packed, Packer
from etl.refusal import Refusal

ENDING, OLD_ENDING = ".zst", ".gz"  # copies of earlier versions are gzip
LEFT_BEHIND_S = 86_400  # [D] a half-written copy of that age belongs to a program that was killed


def folder(store: str | Path) -> Path:
    """Where the source files of a store lie."""
    store = Path(store)
    return store.with_name(store.stem + ".sources")


def keep(store: str | Path, source: bytes | Packed) -> str:
    """Keep a source once, under the sha256 of its bytes, which is returned; hash and copy are one pass over it.

    A half-written copy never takes the place of a whole one. Raises Refusal where it cannot be read or written.
    """
    place = folder(store)
    try:
        place.mkdir(mode=0o700, parents=True, exist_ok=True)
        _clear(place)
        if isinstance(source, Packed) and _kept(store, source.sha256):
            return source.sha256
        part = place / f"{os.getpid()}.{time.monotonic_ns()}.part"
        try:
            with open(os.open(part, os.O_CREAT | os.O_WRONLY | os.O_EXCL, 0o600), "wb") as out:
                sha256 = _written(source, out)
            if not _kept(store, sha256):
                os.replace(part, place / f"{sha256}{ENDING}")
        finally:
            part.unlink(missing_ok=True)
    except OSError as error:
        raise Refusal("The copy of the file cannot be kept", str(place), f"Nothing was stored. {error.strerror or error}.") from error
    return sha256


def has(store: str | Path, sha256: str) -> bool:
    """Whether the copy is kept."""
    return _kept(store, sha256) is not None


def drop(store: str | Path, sha256: str) -> None:
    """Remove a copy that nothing refers to."""
    for ending in (ENDING, OLD_ENDING):
        (folder(store) / f"{sha256}{ending}").unlink(missing_ok=True)


def names(store: str | Path) -> list[str]:
    """The hashes of all that is kept."""
    place = folder(store)
    return sorted({p.stem for p in place.iterdir() if p.suffix in (ENDING, OLD_ENDING)}) if place.is_dir() else []


def read(store: str | Path, sha256: str) -> bytes:
    """The bytes as they were imported. Raises Refusal if they are gone or damaged."""
    with opened(store, sha256) as stream:
        try:
            return stream.read()
        except (OSError, EOFError) as error:
            raise Refusal("The kept copy of a file is damaged", sha256[:12], "Import the file again.") from error


@contextmanager
def opened(store: str | Path, sha256: str) -> Iterator[BinaryIO]:
    """The bytes as they were imported, as a stream: a large file need not fit into memory. Raises Refusal if they are gone."""
    path = _kept(store, sha256)
    if path is None:
        raise Refusal("The kept copy of a file is missing", sha256[:12], "Import the file again.")
    with gzip.open(path) if path.suffix == OLD_ENDING else pa.CompressedInputStream(str(path), CODEC) as stream:
        yield stream


def _written(source: bytes | Packed, out: BinaryIO) -> str:
    if isinstance(source, Packed):
        source.write_to(out)
        return source.sha256
    packer = Packer(out)
    packer.add(source)
    packed = packer.done()
    packed.packing.result()
    return packed.sha256


def _kept(store: str | Path, sha256: str) -> Path | None:
    paths = (folder(store) / f"{sha256}{ending}" for ending in (ENDING, OLD_ENDING))
    return next((path for path in paths if path.exists()), None)


def _clear(place: Path) -> None:
    """Half-written copies of programs that were killed."""
    for part in place.glob("*.part"):
        try:
            if time.time() - part.stat().st_mtime > LEFT_BEHIND_S:
                part.unlink()
        except FileNotFoundError:
            pass  # another program has just put it in its place
