"""Repetition cells: 10, 10 reps, x10, 45s (a hold), 10/side, 8L, 30s/side."""

from __future__ import annotations

import re
from typing import NamedTuple

import pandas as pd

from etl.notation.blanks import BLANK_WORDS, by_distinct, folded, plain
from etl.notation.clock import duration_s
from etl.notation.numbers import LONGEST, NUMBER, decimal_mark, number
from etl.notation.words import SIDES

# Without accents, in English, German, French, Spanish, Italian, Portuguese and Dutch; the longest first where one begins another.
REP_WORDS = ("repetitions|repetition|repeticiones|repeticion|repeticoes|repeticao|reps|rep|wiederholungen|wiederholung|wdhl|wdh"
             "|ripetizioni|ripetizione|rip|herhalingen|herhaling|herh")
LIMBS = ("side|leg|arm|hand|foot|seite|bein|fuss|cote|jambe|bras|main|lado|pierna|brazo|mano|lato|gamba|braccio|perna|braco|mao"
         "|kant|been|zijde")
PER_LIMB = rf"/\s?(?:{LIMBS})|(?:per|each|pro|je|par|por|chaque|cada|ogni)\s(?:{LIMBS})"
# Beside a number a letter alone is no side, but for two; a number in words is none, and "je" may be "3 Sätze je 10" as well.
_NO_SIDE = ("two", "deux", "dos", "due", "dois", "zwei", "twee", "je")
SIDE_WORDS = {word: side for word, side in SIDES.items() if word in ("l", "r") or len(word) > 1 and word not in _NO_SIDE}
SIDE = "|".join([PER_LIMB, *sorted(map(re.escape, SIDE_WORDS), key=len, reverse=True)])
_REPS = re.compile(rf"x?\s?(?P<n>{NUMBER})\s?x?\s?(?:{REP_WORDS})?\.?\s?(?P<side>{SIDE})?", re.ASCII)
_HOLD = re.compile(rf"(?P<hold>(?:pt)?\d.*?)\s?(?P<side>{SIDE})?", re.ASCII)
_METRES = re.compile(rf"\d[\d.,]*\s?m\.?\s?(?:{SIDE})?", re.ASCII)  # metres or minutes; "1m30" is a time
NAN = float("nan")


class Repetitions(NamedTuple):
    reps: float  # NaN where the cell says seconds or nothing
    hold_s: float  # seconds, where the cell says so
    side: str  # left, right, both, each, or "" where the cell names none
    read: bool  # False for text that is neither


def read_repetitions(text: pd.Series, mark: str | None = None) -> pd.DataFrame:
    """Columns reps, hold_s, side, read; one row per cell (see `Repetitions`)."""
    mark = mark or decimal_mark(text)
    found = by_distinct(text, lambda cell: repetitions(cell, mark), "object")
    return pd.DataFrame(list(found), columns=Repetitions._fields, index=text.index).astype(
        {"reps": "float64", "hold_s": "float64", "side": "str", "read": "bool"})


def repetitions(cell: str, mark: str = ".") -> Repetitions:
    """One cell of repetitions or of seconds with their sign. "40m" is not read: metres of a carry, or minutes."""
    if plain(cell) in BLANK_WORDS:
        return Repetitions(NAN, NAN, "", True)
    if len(cell) > LONGEST:
        return Repetitions(NAN, NAN, "", False)
    cell = folded(cell)
    if m := _REPS.fullmatch(cell):
        # Halves are written of part repetitions; any other fraction is a list ("10,8") or a slip.
        value = number(m["n"], mark)
        read = value * 2 % 1 == 0
        return Repetitions(value if read else NAN, NAN, side_of(m["side"] or "") if read else "", read)
    m = None if _METRES.fullmatch(cell) else _HOLD.fullmatch(cell)
    seconds = duration_s(m["hold"], "s", mark) if m else NAN
    read = seconds == seconds
    return Repetitions(NAN, seconds, side_of(m["side"] or "") if read else "", read)


def may_be_metres(text: pd.Series) -> pd.Series:
    """True for cells such as "40m", which may mean metres or minutes."""
    return by_distinct(text, lambda cell: len(cell) <= LONGEST and _METRES.fullmatch(folded(cell)) is not None, "bool")


def side_of(word: str) -> str:
    """left, right, both or each for a word or sign that `SIDE` matches, "" for anything else."""
    return "each" if re.fullmatch(PER_LIMB, word) else SIDE_WORDS.get(word, "")
