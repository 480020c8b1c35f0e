"""A cell that says whole sets: "3x10 @ 20 kg", "60x10, 70x8", "8+3+2", "10/8/6 @ 60/65/70 RPE 8".

tokens: text -> tokens. scan: looking ahead in them. forms: tokens -> what is written. roles: which number is what. spread: what is
said once of several sets. sets: what is written -> sets. The rule of all of them: one sensible reading is taken, two are a Doubt.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

import pandas as pd

from etl.notation.blanks import BLANK_WORDS, plain
from etl.notation.clock import duration_s
from etl.notation.loads import load
from etl.notation.numbers import LONGEST, number
from etl.notation.repetitions import repetitions
from etl.notation.shorthand.forms import Item, Reader
from etl.notation.shorthand.roles import FEW_SETS, Told, may_rate
from etl.notation.shorthand.scan import Unclear, UnclearBuild, Unread
from etl.notation.shorthand.sets import ALIKE, Piece, sets_of
from etl.notation.shorthand.tokens import Token, prepared, tokens

_NO_REPETITIONS = re.compile(r"(\d{1,2})\s?x\s?(?:@|at\b)", re.ASCII)
SHOWN = 40  # [D] characters of a cell that a sentence repeats
_OPERATORS = ("times", "at")
_AMOUNTS = ("number", "hold", "unit", "body", "open_ended", "metres")


@dataclass(frozen=True)
class Doubt:
    """A cell of shorthand that can be read in two ways or in none."""

    text: str  # one sentence that says why
    build: bool = False  # the way in which it is built is in doubt: other cells of the column that are built so wait too


@dataclass(frozen=True)
class _NoWay:
    """As a Doubt, but of a text that is in no form that is known."""

    text: str


_Found = list[list[Piece]] | Doubt | _NoWay | None


def shorthand(
    cell: str, *, mark: str = ".", single: bool = False, load_given: bool = False, load_first: bool | None = None,
    sets: int | None = None, kind: str = "", listed: bool = False,
) -> list[list[Piece]] | Doubt | None:
    """The sets that a cell says, each a list of its segments (or of its left and right side); None where it is no shorthand.

    mark: the decimal mark of the column. single: the cell stands in the place of one set; there a plain number is one too.
    load_given: the row has its load elsewhere, so that "@8" is RPE. load_first: which of two bare numbers is the load.
    sets, kind: what the row says elsewhere of the number and kind of its sets. listed: in this column a slash stands
    between sets (see `lists_sets`). A Doubt is no reading: the cell can be read in two ways, or in none.
    """
    if plain(cell) in BLANK_WORDS or len(cell.strip()) > LONGEST:
        return None
    text = prepared(cell)
    if not single and "," not in text and repetitions(text, mark).read:
        return None
    if (m := _NO_REPETITIONS.match(text)) and int(m[1]) <= FEW_SETS and not single:
        return Doubt(f'"{_shown(cell)}" may be {m[1]} repetitions, or {m[1]} sets without their repetitions')
    told = Told(mark, single, load_given, load_first, sets, kind, listed)
    whole = _reading(text, tokens(text, mark, parted=False), told)
    parted_tokens = tokens(text, mark, parted=True)
    found = whole if not any(token.tight for token in parted_tokens) else _by_comma(text, whole, _reading(text, parted_tokens, told), told)
    if isinstance(found, (Doubt, _NoWay)):
        return Doubt(f'"{_shown(cell)}" {found.text}', isinstance(found, Doubt) and found.build)
    return found


def load_and_ratings(cell: str, *, mark: str = ".") -> Piece | None:
    """The load and the RPE or RIR of a cell that says both and no work ("55 kg @9"), each in its field; None for any other cell."""
    if len(cell.strip()) > LONGEST:
        return None
    text = prepared(cell)
    try:
        chains, _ = Reader(tokens(text, mark, parted=False), text, mark).cell()
    except (Unclear, Unread):
        return None
    item = chains[0].items[0]
    ratings = item.ratings | ({"rpe": item.bare[0]} if item.bare and may_rate(item.bare[0], mark) else {})
    whole = len(chains) == len(chains[0].items) == 1 and item == Item(loads=item.loads, bare=item.bare[:1], ratings=item.ratings)
    if not whole or not item.loads or len(ratings) != len(item.ratings) + len(item.bare) or not ratings:
        return None
    one_each = all(len(values.texts) == 1 for values in (item.loads, *ratings.values()))
    return Piece(load=item.loads.texts[0], **{name: values.texts[0] for name, values in ratings.items()}) if one_each else None


def lists_sets(text: pd.Series) -> bool:
    """Whether a column's slashes stand between sets: some cell lists three or more, or two that go down, and none says sides."""
    found = [shorthand(cell) for cell in text.unique() if "/" in cell]
    lists = [sets for sets in found if isinstance(sets, list) and len(sets) > 1]
    return bool(lists) and not any(piece.side for sets in lists for pieces in sets for piece in pieces)


def _reading(text: str, found: list[Token], told: Told) -> _Found:
    kinds = [token.kind for token in found]
    if "date" in kinds or not ({"number", "hold"} & set(kinds) or kinds == ["open_ended"] or "open_ended" in kinds and "word" not in kinds):
        return None
    try:
        sets = sets_of(*Reader(found, text, told.mark).cell(), told)
        if sets is not None:
            _check(sets, told.mark)
        return sets
    except (Unclear, Unread) as wrong:
        if not _seems_shorthand(kinds):
            return None
        return Doubt(str(wrong), isinstance(wrong, UnclearBuild)) if isinstance(wrong, Unclear) else _NoWay(str(wrong))


def _seems_shorthand(kinds: list[str]) -> bool:
    """Whether a text that cannot be read is at least meant as sets: prose with a number in it is not."""
    amounts = sum(kind in ("number", "hold") for kind in kinds)
    if {"word", "other"} & set(kinds):
        return any(a in _AMOUNTS and b in _OPERATORS and c in _AMOUNTS for a, b, c in zip(kinds, kinds[1:], kinds[2:], strict=False))
    return "open_ended" in kinds or amounts > 1 or amounts == 1 and bool({*_OPERATORS, "plus", "greater", "sets", "metres"} & set(kinds))


def _by_comma(text: str, whole: _Found, parted: _Found, told: Told) -> _Found:
    """The reading of a cell with a comma between two digits: a decimal comma, or two sets."""
    if whole is None and isinstance(parted, list):
        if not _are_alike(parted, told.mark):
            return None
        decimal = told.mark == "," and repetitions(text, told.mark).read
        return Doubt("may be one number with a decimal comma or two sets") if decimal else parted
    if isinstance(whole, list):
        broken = any("," in piece.reps for pieces in whole for piece in pieces)
        rival = isinstance(parted, list) and parted != whole or broken and isinstance(parted, Doubt)
        return Doubt("may have a decimal comma, or a comma between two sets") if rival else whole
    return parted if isinstance(whole, _NoWay) else whole


def _are_alike(sets: list[list[Piece]], mark: str) -> bool:
    """Whether the repetitions of "10,8" may be those of two sets; "61,4" is a number."""
    reps = [number(piece.reps, mark) for pieces in sets for piece in pieces]
    return max(reps) <= ALIKE * min(reps)


def _check(sets: list[list[Piece]], mark: str) -> None:
    """Each text has to be read again by the reader of its column. Raises Unread else."""
    for piece in (piece for pieces in sets for piece in pieces):
        held, reps = duration_s(piece.hold, "s", mark), repetitions(piece.reps, mark)
        weight = load(piece.load, mark)
        if bool(piece.reps) == bool(piece.hold) or piece.reps and reps.reps != reps.reps or piece.hold and held != held:
            raise Unread("says no repetitions and no seconds that can be")
        if piece.reps and reps.reps == 0 and piece.side:
            raise Unclear("says no repetitions of one side, and may be a letter typed for a number")
        if piece.load and weight.value != weight.value and not weight.wordy:
            raise Unread(f'names a load that cannot be read: "{piece.load}"')


def _shown(cell: str) -> str:
    said = " ".join(cell.split())
    return said if len(said) <= SHOWN else said[:SHOWN - 1] + "…"
