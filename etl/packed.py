"""The bytes of a source file, hashed and compressed in one pass over them.

The hash is known at the end of the pass. What was added last may still be waiting to be compressed then: that goes on beside
the work of the caller, until somebody asks for the copy.
"""

from __future__ import annotations

import hashlib
import shutil
import tempfile
from collections import deque
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from typing import BinaryIO

import pyarrow as pa

CODEC = "zstd"  # at the library's fast level, 1: a log of text shrinks to about a sixth at some 600 MB/s of one core
WAITING = 128 * 2**20  # [D] bytes that may wait to be compressed beside what comes after
IN_MEMORY = 32 * 2**20  # [D] bytes of a copy that wait in memory; a larger one waits in an unnamed temporary file


@dataclass(frozen=True)
class Packed:
    """A source that was read once: its hash, its size in bytes, and its compressed copy, which nobody else can open."""

    sha256: str
    size: int
    packing: Future[BinaryIO]

    @property
    def copy(self) -> BinaryIO:
        """The compressed copy at its beginning, once it is whole. Raises OSError where it could not be written."""
        copy = self.packing.result()
        copy.seek(0)
        return copy

    def bytes(self) -> bytes:
        """The source as it was."""
        # From its bytes: a stream over the file would close it when it is collected.
        return pa.CompressedInputStream(pa.BufferReader(self.copy.read()), CODEC).read()

    def write_to(self, out: BinaryIO) -> None:
        """The compressed copy, from its beginning."""
        shutil.copyfileobj(self.copy, out, 2**20)


class Packer:
    """Takes a file's bytes piece by piece, hashes them and writes them compressed to `out`."""

    def __init__(self, out: BinaryIO) -> None:
        self._hash = hashlib.sha256()
        self._out, self._stream = out, pa.CompressedOutputStream(_Open(out), CODEC)
        self._waiting: deque[bytes] = deque()
        self.size = self._written = 0

    def add(self, piece: bytes) -> None:
        """Raises OSError where `out` takes no more."""
        self._hash.update(piece)
        self._waiting.append(piece)
        self.size += len(piece)
        while self.size - self._written > WAITING:
            self._write()

    def done(self) -> Packed:
        """What was added, as a whole; the rest of it is compressed from now on."""
        with_rest = ThreadPoolExecutor(1, thread_name_prefix="packing")
        packed = Packed(self._hash.hexdigest(), self.size, with_rest.submit(self._rest))
        with_rest.shutdown(wait=False)
        return packed

    def _rest(self) -> BinaryIO:
        while self._waiting:
            self._write()
        self._stream.close()
        return self._out

    def _write(self) -> None:
        piece = self._waiting.popleft()
        self._stream.write(piece)
        self._written += len(piece)


def waiting_place() -> BinaryIO:
    """An unnamed place for a copy until the store takes it: it goes with the program."""
    return tempfile.SpooledTemporaryFile(max_size=IN_MEMORY)


class _Open:
    """A file that the compressor's end does not close."""

    def __init__(self, out: BinaryIO) -> None:
        self._out = out
        self.closed = False

    def write(self, piece: bytes) -> int:
        return self._out.write(piece)

    def flush(self) -> None:
        self._out.flush()

    def close(self) -> None:
        self.closed = True
