"""Looking for words in the kept files, without reading them as logs."""

from __future__ import annotations

import codecs
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import BinaryIO

from etl.refusal import Refusal
from etl.store import sources
from etl.store.erase import as_words

PIECE = 4 * 2**20  # [D] bytes looked at at a time
OVERLAP = 400  # [D] characters looked at twice, so that a name over the edge of two pieces is found


def holding(store: str | Path, sha256: str, names: Iterable[str]) -> bool:
    """Whether one of the names may stand in a kept file: True also where that cannot be told (another encoding, a quote in the name)."""
    names = list(names)
    if any('"' in name for name in names):
        return True
    pattern = as_words(names)
    try:
        with sources.opened(store, sha256) as stream:
            before = ""
            for text in _texts(stream):
                # A word that goes on in the next piece is looked at again with it.
                if pattern.search(before + text):
                    return True
                before = (before + text)[-OVERLAP:]
    except (UnicodeDecodeError, OSError, EOFError, Refusal):
        return True
    return False


def _texts(stream: BinaryIO) -> Iterator[str]:
    decoder = codecs.getincrementaldecoder("utf-8")()
    while piece := stream.read(PIECE):
        if b"\0" in piece:
            raise UnicodeDecodeError("utf-8", piece, 0, 1, "NUL bytes: another encoding")
        yield decoder.decode(piece).casefold()
