"""Looking ahead in the tokens of one cell: does a load, a list of amounts or a rating begin here, and how long is it?"""

from __future__ import annotations

from typing import NamedTuple

from etl.notation.loads import load
from etl.notation.numbers import number
from etl.notation.shorthand.tokens import Token
from etl.notation.things import MADE

LONGEST_LOAD = 8  # [D] tokens of a load in words: "bucket of sand ca. 15 kg"
PLATE_STEP = 0.25  # [D] "17,5" is a load with a decimal comma; "60,65" in no such step may be two loads
RATINGS = {"rating": "rpe", "reserve": "rir"}
BETWEEN = {"slash": "/", "comma": ",", "semicolon": ";", "dash": "-"}
_IN_A_LOAD = frozenset("number unit body about word of plus dash slash open close other".split())
_NO_BEGINNING = frozenset(("of", "slash", "open", "close", "other", "times", "side"))
_OF_HANDS = ("hand", "main", "mano", "mao")


class Unread(Exception):
    """The text is in no form that is known. Its argument says what is wrong; the cell stands before it."""


class Unclear(Exception):
    """The text can be read in two ways. Its argument says which; the cell stands before it."""


class UnclearBuild(Unclear):
    """The first number may be a load: other cells of the column that are built so may be meant so too."""


class Values(NamedTuple):
    """Numbers, times or loads that stand side by side."""

    texts: tuple[str, ...]
    kind: str  # number, hold, load, or group for segments in parentheses
    between: str = ""  # what stands between them: / , ; - or a blank
    word: str = ""  # reps or sets where a word says so


class Scan:
    """Takes no token: each question names a place and is answered with a number of tokens, 0 for no."""

    def __init__(self, tokens: list[Token], text: str, mark: str) -> None:
        self.tokens, self.text, self.mark = tokens, text, mark
        self._loads: dict[tuple[int, bool, bool], int] = {}

    def kind_at(self, place: int) -> str:
        return self.tokens[place].kind if place < len(self.tokens) else ""

    def text_of(self, place: int, length: int) -> str:
        return self.text[self.tokens[place].start:self.tokens[place + length - 1].end]

    def load_at(self, place: int, behind: bool = False, signed: bool = False) -> int:
        """The load that begins there and says that it is one: by a unit, body weight or a thing.

        behind: it stands behind @, where "2x20", "+10" and "20/side" are loads too. signed: it may begin with a sign.
        """
        asked = place, behind, signed
        if asked not in self._loads:
            self._loads[asked] = self._length_of_load(*asked)
        return self._loads[asked]

    def _length_of_load(self, place: int, behind: bool, signed: bool) -> int:
        if self.kind_at(place) in ("", *_NO_BEGINNING) or self.kind_at(place) in ("plus", "dash") and not (behind or signed):
            return 0
        end = place
        while end < min(place + LONGEST_LOAD, len(self.tokens)) and self._may_be_in_a_load(end, place, behind):
            end += 1
        return next((last - place for last in range(end, place, -1) if self._is_load(place, last, behind)), 0)

    def _may_be_in_a_load(self, place: int, begin: int, behind: bool) -> bool:
        token = self.tokens[place]
        if token.kind == "times":
            return behind and place == begin + 1 and self.tokens[begin].text == "2"
        if token.kind == "side":
            tight = token.text.startswith("/") and self.tokens[place - 1].end == token.start
            return token.text == "l" or token.means == "each" and (tight or any(word in token.text for word in _OF_HANDS))
        # "x 5 + BW x 3" is no load "5 + BW".
        return token.kind in _IN_A_LOAD and not (token.kind == "plus" and place == begin + 1 and self.kind_at(begin) == "number")

    def _is_load(self, begin: int, end: int, behind: bool) -> bool:
        part = self.tokens[begin:end]
        text = self.text_of(begin, end - begin)
        found = load(text, self.mark)
        if found.wordy:
            return part[-1].text in ("band", "bands") and all(token.kind == "word" for token in part)
        if found.value != found.value or any(token.text == "st" for token in part):
            return False
        of_body = found.body and not (part[0].kind == "number" and not found.unit)  # "8 assisted" is no load of -8
        says_so = found.unit or of_body or found.object or any(token.text in MADE for token in part)
        return bool(says_so or behind and (found.basis or text[0] in "+-~" or found.estimated))

    def amounts_at(self, place: int) -> tuple[Values, int]:
        """Numbers with or without a unit, and how many tokens they take. The last unit is that of those without one."""
        begin, texts, units, between = place, [], [], ""
        while self.kind_at(place) == "number":
            width = self.rough_number_at(place)
            texts.append("-".join(token.text for token in self.tokens[place:place + width:2]))
            place += width
            units.append(self.tokens[place].text if self.kind_at(place) == "unit" else "")
            place += units[-1] != ""
            sign = BETWEEN.get(self.kind_at(place), "")
            if sign not in (",", "/") or between not in ("", sign) or not self._is_one_more(place):
                break
            between, place = sign, place + 1
        if not any(units):
            return Values(tuple(texts), "number", between), place - begin
        if any("-" in text for text in texts):
            raise Unclear("gives a range of loads and not the one that was lifted")
        last = next(unit for unit in reversed(units) if unit)
        return Values(tuple(f"{text} {unit or last}" for text, unit in zip(texts, units, strict=True)), "load", between), place - begin

    def _is_one_more(self, sign: int) -> bool:
        """Whether behind the sign stands one more amount, and not a decimal, the next set or a rating."""
        if self.kind_at(sign + 1) != "number" or self.rating_at(sign + 1):
            return False
        decimal = self.tokens[sign].tight and (self.mark == "," or self.is_decimal_at(sign))
        return not decimal and self.kind_at(sign + 2) not in ("times", "at", "reps", "sets", "side")

    def is_decimal_at(self, sign: int) -> bool:
        """Whether the comma there may be that of a load in steps of a plate."""
        if not self.tokens[sign].tight:
            return False
        return number(f"{self.tokens[sign - 1].text}.{self.tokens[sign + 1].text}") % PLATE_STEP == 0

    def rating_at(self, place: int) -> int:
        """ "RPE 8", "RPE: 7/8/9", "8 RPE", "1-2 RIR"."""
        if self.kind_at(place) in RATINGS:
            begin = place + 1 + (self.kind_at(place + 1) in ("colon", "at"))
            end = begin + self.rough_number_at(begin)
            while end > begin and self.kind_at(end) == "slash" and self.kind_at(end + 1) == "number":
                end += 1 + self.rough_number_at(end + 1)
            return end - place if end > begin else 0
        end = place + self.rough_number_at(place)
        if end == place or self.kind_at(end) not in RATINGS:
            return 0
        # In "10 RPE 8" the first number is the repetitions.
        rated_next = self.kind_at(end + 1) == "number" and self.kind_at(end + 2) not in RATINGS and not self.load_at(end + 1)
        return 0 if rated_next else end + 1 - place

    def rough_number_at(self, place: int) -> int:
        """ "8" or "7-8"."""
        if self.kind_at(place) != "number":
            return 0
        return 3 if self.kind_at(place + 1) == "dash" and self.kind_at(place + 2) == "number" else 1
