"""Imports as they were made, and their kept files: opened, looked through, and unpacked to be read as logs once more."""

from __future__ import annotations

import codecs
import json
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any, BinaryIO

from etl.fast import blocks
from etl.importing.plan import Answers
from etl.read import TextTable, read_table
from etl.refusal import Refusal
from etl.shapes import second_header
from etl.store import sources
from etl.store.erase import as_words

PIECE = 2**20  # [D] bytes read at a time, or as many as make a file large where that is more
BY_NAME, OF_FILES = "names_give_athlete", "files"  # beside the answers of an import, in the store
OVERLAP = 400  # [D] characters looked at twice, so that a name over the edge of two pieces is found


@dataclass(frozen=True)
class KeptImport:
    """What an import was: its number, the answers given, and whether a file's name may say whose it is.

    of_files: the name of a file -> the answers that were given for it alone, in place of `answers`.
    """

    number: int
    answers: Answers
    by_name: bool
    files: tuple[dict[str, str], ...]
    of_files: Mapping[str, Answers] = field(default_factory=dict)

    def answers_for(self, name: str) -> Answers:
        return self.of_files.get(name, self.answers)

    def said(self) -> str:
        """The answers as the store keeps them; see `answers_in`."""
        return json.dumps(asdict(self.answers) | {BY_NAME: self.by_name} | ({OF_FILES: {n: asdict(a) for n, a in self.of_files.items()}} if self.of_files else {}))

    def named(self, said: Iterable[str]) -> list[str]:
        """The names of the import's files that are meant, each as it was imported. A path is taken by its last part, capitals make no difference.

        Raises Refusal for a name that none of them has.
        """
        known = [file["name"] for file in self.files]
        found = []
        for one in said:
            same = [name for name in (one, Path(one).name) if name in known] or [
                name for name in known if name.casefold() == Path(one).name.casefold()]
            if not same:
                raise Refusal(f"Import {self.number} has no file '{one}'", "--file", f"Its files are: {', '.join(known)}.")
            found.append(same[0])
        return list(dict.fromkeys(found))


def answers_in(text: str) -> tuple[Answers, bool, dict[str, Answers]]:
    """What `KeptImport.said` wrote: the answers, whether a file's name may say whose it is, and the answers of single files."""
    said = json.loads(text)
    by_name, of_files = said.pop(BY_NAME, False), said.pop(OF_FILES, {})
    return Answers(**said), by_name, {name: Answers(**own) for name, own in of_files.items()}


def import_of(con: Any, number: int) -> KeptImport:
    found = con.execute("select answers, files, undone from imports where import_id = ?", [number]).fetchall()
    if not found or found[0][2]:
        what = "was undone" if found else "is not in the store"
        raise Refusal(f"Import {number} {what}", "", "The page Data lists the imports.")
    answers, by_name, of_files = answers_in(found[0][0])
    return KeptImport(number, answers, by_name, tuple(json.loads(found[0][1])), of_files)


def digest_of(files: Iterable[dict[str, str]], name: str) -> str:
    digests = [f["sha256"] for f in files if f["name"] == name]
    if not digests:
        raise Refusal(f"The import has no file {name}", "", "The page Data lists the files of each import.")
    return digests[0]


def bytes_of(path: str | Path, files: Iterable[dict[str, str]], name: str) -> bytes:
    return sources.read(path, digest_of(files, name))


def head_of(path: str | Path, files: Iterable[dict[str, str]], name: str) -> TextTable:
    """The header and the first rows of a kept file."""
    with sources.opened(path, digest_of(files, name)) as stream:
        begin = _piece(stream, name)
    if len(begin) < blocks.FAST_BYTES:
        return second_header(read_table(begin, name))
    try:
        return second_header(read_table(begin[:begin.rfind(b"\n") + 1], name))
    except Refusal:
        return second_header(read_table(bytes_of(path, files, name), name))  # cut within a cell


@contextmanager
def unpacked(path: str | Path, was: KeptImport) -> Iterator[list[tuple[str, bytes | Path]]]:
    """The kept files of an import; a large one by its path, so that it is read as it was at first. It is deleted on leaving."""
    with tempfile.TemporaryDirectory(prefix=".again-", dir=Path(path).parent) as folder:
        files: list[tuple[str, bytes | Path]] = []
        for position, file in enumerate(was.files):
            with sources.opened(path, file["sha256"]) as stream:
                begin = _piece(stream, file["sha256"])
                if len(begin) < blocks.FAST_BYTES:
                    files.append((file["name"], begin))
                    continue
                whole_file = Path(folder) / str(position)
                with whole_file.open("wb") as out:
                    while begin:
                        out.write(begin)
                        begin = _piece(stream, file["sha256"])
                files.append((file["name"], whole_file))
        yield files


def _piece(stream: Any, sha256: str) -> bytes:
    """The next bytes of a kept file: as many as make a file large (at least PIECE), fewer only at its end."""
    wanted = max(blocks.FAST_BYTES, PIECE)
    try:
        found = stream.read(wanted)
        while found and len(found) < wanted and (more := stream.read(wanted - len(found))):
            found += more
        return found
    except (OSError, EOFError) as error:
        raise Refusal("The kept copy of a file is damaged", sha256[:12], "Import the file again.") from error


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
