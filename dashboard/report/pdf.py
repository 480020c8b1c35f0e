"""The report as PDF: tagged, checked against PDF/UA-1 by its maker, with vector pictures, the same bytes each time."""

from __future__ import annotations

import json
import re
from bisect import bisect_left
from functools import lru_cache, partial
from importlib.resources import files
from typing import Any

import typst

from dashboard.report.content import Report, Section
from dashboard.report.drawn import Drawn, in_columns, packed, plain
from dashboard.report.html import LONG_NAME

PAPERS = {"a4": "a4", "letter": "us-letter"}  # our word -> typst's
STANDARD = "ua-1"  # PDF/UA-1, ISO 14289-1
PICTURE_SHARES = (95, 89, 83, 78, 74, 71)  # % of a column: below that their words could not be read
TIGHT = (0.0, 0.5, 1.0)  # how much texts and the space between them give up: at 1 a sentence is of 8.75 and small print of 7.25 points
PAGES = re.compile(rb"/Type/Pages/Count (\d+)")
LONG_WORD, PIECE = re.compile(r"\S{31,}"), re.compile(r".{1,15}")
BREAK = "\u200b"  # a place where a line may end
MISSING = re.compile(r'the text `"(.*?)"` could not be displayed', re.DOTALL)
ESCAPED = re.compile(r"\\u\{([0-9a-f]+)\}")  # how its maker writes a letter that cannot be printed
NO_LETTER = "\ufffd"
LACKING = f"{NO_LETTER} stands for a letter that no font at hand has; the report as HTML shows it."
LARGE_SCRIPTS = 0x2E80  # from here on a font that lacks a letter lacks its neighbours too, 256 to a row
NOT_LATIN = re.compile(r"[^\x00-\u024f\u2000-\u206f\u2212\ufffd]")
TRIES = 40  # [D] kinds of letters that no font has, before all but Latin ones are left out


def pdf(report: Report, paper: str = "a4") -> bytes:
    """The whole file on `paper`, one of PAPERS, with the pictures as large as one page has room for, then with smaller texts. Where one page has no
    room at all, the pictures stand on the first and what is ahead begins the second. Only the fonts that come with its maker are used, so that it is the same on each machine; a letter that they lack is drawn with a font of the machine, and one that
    no font has as \ufffd.
    """
    for parted in (False, True):
        data = _data(report, paper, parted)
        tries = [data | {"picture_share": share, "tight": tight} for tight in TIGHT for share in PICTURE_SHARES]
        # The sizes go down, so that the first that fits is found by halving; nothing is made twice.
        made = lru_cache(lambda i, tries=tries: _compiled(tries[i]))
        first = bisect_left(range(len(tries)), True, key=lambda i, made=made, parted=parted: int(PAGES.search(made(i))[1]) <= 1 + parted)
        if first < len(tries):
            return made(first)
    return made(len(tries) - 1)


def _compiled(report: dict[str, Any]) -> bytes:
    data = json.dumps(report, ensure_ascii=False)
    for own_fonts in (True, False):
        try:
            return _made(data, own_fonts)
        except typst.TypstError as error:
            if not MISSING.search(str(error)):
                raise
    return _made_without(data)


def _made_without(data: str) -> bytes:
    """Without the letters that no font has, and with a word on it."""
    report = json.loads(data)
    data = json.dumps(report | {"foot": [*report["foot"], LACKING]}, ensure_ascii=False)
    for _ in range(TRIES):
        try:
            return _made(data, False)
        except typst.TypstError as error:
            found = MISSING.search(str(error))
            letters = ESCAPED.sub(lambda code: chr(int(code[1], 16)), found[1]) if found else ""
            if letters.isascii():
                raise
            data = "".join(NO_LETTER if any(map(partial(_alike, one), letters)) else one for one in data)
    return _made(NOT_LATIN.sub(NO_LETTER, data), False)


def _alike(one: str, missing: str) -> bool:
    return not one.isascii() and (one == missing or (missing >= chr(LARGE_SCRIPTS) and ord(one) >> 8 == ord(missing) >> 8 and one != NO_LETTER))


def _made(data: str, own_fonts: bool) -> bytes:
    page = files("dashboard.report").joinpath("page.typ").read_bytes()
    return typst.compile(page, format="pdf", sys_inputs={"report": data}, ignore_system_fonts=own_fonts, pdf_standards=STANDARD)


def _data(report: Report, paper: str, parted: bool) -> dict[str, Any]:
    """What the page is made of; parted: over two pages, with the pictures on the first, and what was said beside next to what is ahead."""
    columns, below = (in_columns(report, ahead=False), ((), report.beside)) if parted else packed(report)
    first, second = ([_picture(one) for one in column] for column in columns)
    return {
        "paper": PAPERS[paper], "parted": parted, "name": _text(report.athlete), "long": len(report.athlete) > LONG_NAME, "title": _text(report.title),
        "done": _text(report.done), "over": _text(report.over), "first": first, "second": second,
        "since": _text(report.since), "gain": _section(report.gain), "ahead": list(map(_section, report.ahead)), "beside": [list(map(_section, column)) for column in below],
        "foot": [_text(report.counting), *map(_text, report.foot)],
    }


def _picture(drawn: Drawn) -> dict[str, str]:
    return {"title": drawn.title, "words": drawn.words, "reading": drawn.reading, "svg": drawn.svg}


def _section(section: Section) -> dict[str, Any]:
    return {"title": section.title, "lines": list(map(_text, section.lines)), "listed": section.listed}


def _text(text: str) -> str:
    """Text as it stands, with places in long words where a line may end."""
    return LONG_WORD.sub(lambda word: BREAK.join(PIECE.findall(word[0])), plain(text))
