"""One pass over a file: hashed, copied and cut into blocks of whole lines. What is stored is what was hashed and kept."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

from etl.packed import Packed, Packer, waiting_place
from etl.refusal import Refusal

FAST_BYTES = 4 * 2**20  # [D] a smaller file is read in Python within a few seconds
BLOCK_BYTES = 4 * 2**20  # [D] big enough for numpy to pay, small enough for the caches of a processor


class Source:
    """A file that is read once: first its head, then its blocks, then what was packed on the way."""

    def __init__(self, path: Path, name: str, block_bytes: int | None = None) -> None:
        self.path, self.name, self._size = path, name, block_bytes or BLOCK_BYTES
        try:
            self._file: BinaryIO = path.open("rb", buffering=0)
            self._before = os.fstat(self._file.fileno())
            self._packer = Packer(waiting_place())
            self._packed: Packed | None = None
            self._begin = self._more(self._size)
        except FileNotFoundError:
            raise Refusal("There is no such file", str(path), "Check the name and the folder.") from None
        except OSError as error:
            raise unreadable(path, error) from error
        self.size = self._before.st_size

    @property
    def read(self) -> int:
        """Bytes that were read so far."""
        return self._packer.size

    def head(self, lines: int) -> bytes:
        """The first lines of the file, or all of it where it has fewer."""
        at = 0
        for _ in range(lines):
            found = self._begin.find(b"\n", at) + 1
            while not found and (more := self._more(self._size)):
                self._begin += more
                found = self._begin.find(b"\n", at) + 1
            if not found:
                return self._begin
            at = found
        return self._begin[:at]

    def blocks(self, skip_lines: int) -> Iterator[tuple[int, bytes]]:
        """(physical line on which it starts, whole lines), after the first lines; also where the last line has no end."""
        at = 0
        for _ in range(skip_lines):
            at = self._begin.index(b"\n", at) + 1
        rest, line = b"", skip_lines + 1
        for piece in self._pieces(at):
            rest += piece
            if cut := rest.rfind(b"\n") + 1:
                yield line, rest[:cut]
                line += rest.count(b"\n", 0, cut)
                rest = rest[cut:]
        if rest:
            yield line, rest + b"\n"

    def _pieces(self, at: int) -> Iterator[bytes]:
        begin, self._begin = self._begin, b""
        for start in range(at, len(begin), self._size):
            yield begin[start:start + self._size]
        while piece := self._more(self._size):
            yield piece

    def packed(self) -> Packed:
        """The copy of the file, read to its end. Raises Refusal where the file has changed since it was opened."""
        if self._packed is not None:
            return self._packed
        try:
            while self._more(self._size):
                pass
            after = os.fstat(self._file.fileno())
            changed = (after.st_size, after.st_mtime_ns) != (self._before.st_size, self._before.st_mtime_ns)
            if changed or self._packer.size != after.st_size:
                raise changing(self.name)
            self._packed = self._packer.done()
            return self._packed
        finally:
            self._file.close()

    def _more(self, size: int) -> bytes:
        try:
            piece = self._file.read(size)
            if piece:
                self._packer.add(piece)
        except OSError as error:
            raise unreadable(self.path, error) from error
        return piece


def unreadable(path: Path, error: OSError) -> Refusal:
    """What is said where a file cannot be read, or its copy not be written."""
    return Refusal(f"The file cannot be read: {error.strerror or error}", str(path), "Check its permissions and the room on the disk, and try again.")


def changing(name: str) -> Refusal:
    """What is said of a file that another program is writing."""
    return Refusal("The file changed while it was read", name, "Wait until the program that writes it is done, and import it again.")
