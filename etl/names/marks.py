"""What stands around a name and is no part of it: list marks, tempo, seconds, and signs that stand for words."""

from __future__ import annotations

import re

# A letter or a number that counts the lines of a programme: 'A1)', '1.', 'B2 -', '#3', '(a)'. A letter alone needs a dot,
# colon or bracket, so that 'L-sit' and 'T-bar row' keep theirs; a number needs one too, so that '1-arm row' keeps its.
LIST_MARK = re.compile(
    r"^\s*(?:\(\s*(?:[a-z]\d{0,2}|\d{1,2}[a-z]?)\s*\)|#\s*\d{1,2}[.):]?|(?:[a-z]\d{0,2}|\d{1,2}[a-z]?)\s*[.):](?![\d.])"
    r"|(?:[a-z]\d{1,2}|\d{1,2}[a-z]?)\s*[-–—](?=\s)|[a-z]\d{1,2}(?=\s))\s*(?=\S)",
    re.IGNORECASE,
)
SIDE_MARK = re.compile(r"^\s*\(?\s*[lr]\s*[.):]", re.IGNORECASE)  # 'L: side plank' is a side, no list
TEMPO = re.compile(r"(?:@\s*)?\btempo\b[\s:=]*(?:\d[\dx/.\-: ]*\b)?|\b\d[-/.]\d[-/.][\dx](?:[-/.][\dx])?\b|\b\d\d[\dx]\d(?:\s+tempo)?\b", re.I)
SECONDS = re.compile(
    r"\b\d+(?:[.,]\d+)?\s*[-–]?\s*(?:s|secs?|seconds?|ct|counts?)\b\.?"
    r"(?:\s*[-–]?\s*(?:holds?|iso(?:metric)?s?|squeezes?|negatives?|eccentrics?|lowering|descents?|down|up|tempo)\b"
    r"(?:\s+(?:at|on)\s+(?:the\s+)?(?:top|bottom))?)?|\b(?:hold|squeeze)\s+(?:at|on)\s+(?:the\s+)?(?:top|bottom)\b",
    re.IGNORECASE,
)
SETS = re.compile(r"\b\d{1,2}\s*[x×]\s*\d{1,3}\b", re.IGNORECASE)
SIGNS = (
    (re.compile(r"\bw\s*/\s*o\b\.?", re.IGNORECASE), " without "),
    (re.compile(r"\bw\s*/\s*", re.IGNORECASE), " with "),
    (re.compile(r"/\s*(?=(?:side|leg|arm|hand)s?\b)", re.IGNORECASE), " per "),
    (re.compile(r"°|º|(?<=\d)\s*deg\b\.?", re.IGNORECASE), " degree "),
    (re.compile(r"(?<=\w)\s*\+\s*$"), " plus"),
    (re.compile(r"&|(?<=\w)\s*\+\s*(?=\w)"), " and "),
)


def plain(text: str) -> str:
    """The name without what stands around it; the text itself where nothing would be left.

    >>> plain("A1) Squat w/ dumbbells, 3s pause")
    'Squat with dumbbells, pause'
    >>> plain("L-sit")
    'L-sit'
    """
    bare = text if SIDE_MARK.match(text) else LIST_MARK.sub("", text)
    for pattern in (SECONDS, TEMPO, SETS):
        bare = pattern.sub(" ", bare)
    for pattern, word in SIGNS:
        bare = pattern.sub(word, bare)
    return " ".join(bare.split()) if re.search(r"\w", bare) else text
