"""Bytes -> text: byte order mark, then strict UTF-8, then Windows-1252 with a note.

No guessing by statistics: a guess that is right nine times in ten turns the tenth athlete's name into
another one without a word.
"""

from __future__ import annotations

import codecs

from etl.refusal import Refusal

SAVE_AS = "Save it as CSV (UTF-8) in the program it comes from and import that file"

# First bytes of files that are no text, whatever their name ends in.
SIGNATURES = (
    (b"\x89PNG", "a PNG picture"),
    (b"\xff\xd8\xff", "a JPEG picture"),
    (b"GIF8", "a GIF picture"),
    (b"RIFF", "a picture, sound or film"),
    (b"%PDF", "a PDF document"),
    (b"PK\x03\x04", "a spreadsheet workbook or a zip archive"),
    (b"PK\x05\x06", "an empty zip archive"),
    (b"\xd0\xcf\x11\xe0", "an old spreadsheet workbook"),
    (b"\x1f\x8b", "a gzip archive"),
    (b"7z\xbc\xaf", "a 7z archive"),
    (b"PAR1", "a Parquet file"),
    (b"SQLite format 3", "an SQLite database"),
)
MARKUP = ("<!doctype", "<html", "<?xml")


def decode(data: bytes, name: str) -> tuple[str, str, list[str]]:
    """Text of a file, the encoding used, and notes on what was taken for granted.

    data: the whole file. name: for messages only.
    Raises Refusal for a file that is empty, is no text, or fits no encoding that is read.
    """
    _refuse_other_kinds(data, name)
    text, encoding, notes = _by_mark(data, name) or _without_mark(data, name)
    if "\x00" in text:
        line = text.count("\n", 0, text.index("\x00")) + 1
        raise Refusal("The file holds NUL bytes, so it is damaged or saved as UTF-16 without its mark",
                      f"{name}, line {line}", f"{SAVE_AS}.")
    if text.lstrip()[:9].lower().startswith(MARKUP):
        raise Refusal("The file is a web page or XML, not a table of text", name, f"{SAVE_AS}.")
    if not text.strip():
        raise Refusal("The file is empty", name, "Export it again and look at it in a text editor first.")
    return text, encoding, notes


def _refuse_other_kinds(data: bytes, name: str) -> None:
    for signature, kind in SIGNATURES:
        if data.startswith(signature):
            raise Refusal(f"The file is {kind}, not a table of text", name, f"{SAVE_AS}.")


def _by_mark(data: bytes, name: str) -> tuple[str, str, list[str]] | None:
    """Text by its byte order mark, or None where there is no mark."""
    marks = ((codecs.BOM_UTF8, "utf-8-sig", "utf-8"), (codecs.BOM_UTF16_LE, "utf-16", "utf-16"),
             (codecs.BOM_UTF16_BE, "utf-16", "utf-16"))
    for mark, codec, shown in marks:
        if data.startswith(mark):
            try:
                return data.decode(codec), shown, []
            except UnicodeDecodeError as error:
                raise Refusal(f"The file is marked as {shown.upper()} but byte {error.start + 1} does not fit it",
                              name, f"{SAVE_AS}.") from None
    return None


def _without_mark(data: bytes, name: str) -> tuple[str, str, list[str]]:
    try:
        return data.decode("utf-8"), "utf-8", []
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
    try:
        note = f"read as Windows-1252, because line {line} is not valid UTF-8: look at names with accents"
        return data.decode("cp1252"), "cp1252", [note]
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise Refusal("The file is neither UTF-8 nor Windows-1252 text", f"{name}, line {line}",
                      f"{SAVE_AS}.") from None
