"""Reports as files: what each is called, and written whole or not at all, readable by their owner alone."""

from __future__ import annotations

import hashlib
import os
import re
import secrets
import unicodedata
from collections import Counter
from collections.abc import Mapping
from datetime import date
from pathlib import Path

from dashboard.report.content import Report
from dashboard.report.html import html
from dashboard.report.pdf import pdf
from etl.refusal import Refusal

HTML, PDF = "html", "pdf"
OFFERED = {"HTML, one file": (HTML, "a4", "text/html"), "PDF, A4": (PDF, "a4", "application/pdf"), "PDF, Letter": (PDF, "letter", "application/pdf")}  # on pages
LONGEST = 40  # characters of a name in a file's name: file systems take 255 bytes, and a character has up to four
UNFIT = re.compile(r"[^\w-]+")
RESERVED = re.compile(r"con|prn|aux|nul|com\d|lpt\d", re.IGNORECASE)  # names that Windows keeps for itself


def as_bytes(report: Report, kind: str, paper: str) -> bytes:
    """The file's content. kind: HTML or PDF; paper: one of `pdf.PAPERS`."""
    return html(report).encode("utf-8") if kind == HTML else pdf(report, paper)


def file_names(weeks: Mapping[str, date], kind: str, paper: str) -> dict[str, str]:
    """Athlete -> the name of their file: the letters and digits of theirs, the week and, of a PDF, the paper; with a mark where two would be alike or
    nothing could stand.

    weeks: athlete -> Monday.

    >>> file_names(dict.fromkeys(["Ida", "ida", "../..", "Mo Lee"], date(2026, 3, 9)), "html", "a4")
    {'Ida': 'Ida_48fc2630_2026-03-09.html', 'ida': 'ida_bb6b24bf_2026-03-09.html', '../..': '0cfd1c96_2026-03-09.html', 'Mo Lee': 'Mo_Lee_2026-03-09.html'}
    >>> file_names({"Ida": date(2026, 3, 9)}, "pdf", "letter")
    {'Ida': 'Ida_2026-03-09_letter.pdf'}
    """
    fit = {name: UNFIT.sub("_", unicodedata.normalize("NFC", name))[:LONGEST].strip("_-") for name in weeks}
    alike = Counter(map(_folded, fit.values()))
    marked = {name: f"{text}_{_mark(name)}".lstrip("_") if not text or alike[_folded(text)] > 1 or RESERVED.fullmatch(text) else text for name, text in fit.items()}
    of_paper = f"_{paper}" if kind == PDF else ""
    return {name: f"{text}_{weeks[name].isoformat()}{of_paper}.{kind}" for name, text in marked.items()}


def check(path: Path) -> None:
    """Refusal where there is a file of that name already, or where no file can be."""
    if path.exists() or path.is_symlink():
        raise Refusal("There is a file of that name already", str(path), "Name another one, or move it away: nothing is written over.")


def write(path: Path, content: bytes) -> None:
    """Write a file that was not there. Raises Refusal where there is one already, and where it cannot be written; then nothing of it is left."""
    check(path)
    part = path.with_name(f".{secrets.token_hex(8)}.part")
    try:
        with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as out:
            out.write(content)
            os.fsync(out.fileno())
        os.replace(part, path)
    except OSError as error:
        raise Refusal(f"The file cannot be written: {error.strerror}", str(path), "Check the folder and the room on its disk, and try again.") from error
    finally:
        part.unlink(missing_ok=True)


def _folded(text: str) -> str:
    """What file systems that do not tell case or forms of a letter apart see."""
    return unicodedata.normalize("NFKC", text).casefold()


def _mark(name: str) -> str:
    return hashlib.sha256(name.encode("utf-8", "surrogatepass")).hexdigest()[:8]
