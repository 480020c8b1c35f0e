"""The bytes of a source file, hashed and compressed in one pass over them."""

from __future__ import annotations

import hashlib
import shutil
import tempfile
from dataclasses import dataclass
from typing import BinaryIO

import pyarrow as pa

CODEC = "zstd"  # at the library's fast level, 1: a log of text shrinks to about a sixth at some 600 MB/s of one core
IN_MEMORY = 32 * 2**20  # [D] bytes of a copy that wait in memory; a larger one waits in an unnamed temporary file


@dataclass(frozen=True)
class Packed:
    """A source that was read once: its hash, its size in bytes, and its compressed copy, which nobody else can open."""

    sha256: str
    size: int
    copy: BinaryIO

    def bytes(self) -> bytes:
        """The source as it was."""
        self.copy.seek(0)
        # From its bytes: a stream over the file would close it when it is collected.
        return pa.CompressedInputStream(pa.BufferReader(self.copy.read()), CODEC).read()

    def write_to(self, out: BinaryIO) -> None:
        """The compressed copy, from its beginning."""
        self.copy.seek(0)
        shutil.copyfileobj(self.copy, out, 2**20)


class Packer:
    """Takes a file's bytes piece by piece, hashes them and writes them compressed to `out`."""

    def __init__(self, out: BinaryIO) -> None:
        self._hash = hashlib.sha256()
        self._stream = pa.CompressedOutputStream(_Open(out), CODEC)
        self.size = 0

    def add(self, piece: bytes) -> None:
        self._hash.update(piece)
        self._stream.write(piece)
        self.size += len(piece)

    def done(self) -> str:
        """Finish the compressed stream; returns the sha256 of all that was added."""
        self._stream.close()
        return self._hash.hexdigest()


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
