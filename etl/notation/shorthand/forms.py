"""Tokens of a shorthand -> what is written: sets of items with their factors and marks.

    cell    = chain { between chain }             sets one behind the other
    chain   = item { ("+" | ">") item }           segments of one set
    item    = { mark } factor { "x" factor } { mark }
    factor  = values ["reps" | "sets"] | load | "(" chain ")"
    values  = value { between value }             10/8/6, 45s/40s
    mark    = load | "@" amounts | rating | side | range | kind | "(" { mark } ")"
    amounts = number ["-" number] [unit] { between ... }
    between = "," | ";" | "/" | "-" | a blank

What a bare number stands for is not decided here. Every step takes a token, so that the work is bounded by their number.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

from etl.notation.shorthand.scan import BETWEEN, RATINGS, Scan, Unclear, Unread, Values
from etl.notation.shorthand.tokens import Token

_ENDS = ("", "comma", "semicolon", "slash", "greater", "close")  # kinds of token before which an item ends
_OF_LEGS = ("leg", "bein", "jambe", "pierna", "gamba", "perna", "been", "foot", "fuss")


@dataclass
class Item:
    """One "3x10 @ 60 kg RPE 8": what is multiplied, and the marks."""

    factors: list[Values] = field(default_factory=list)
    group: Chain | None = None  # the segments of "(8+3+2)", for which a factor of that kind stands
    loads: Values | None = None  # a load with its unit, or body weight
    bare: list[Values] = field(default_factory=list)  # numbers behind @ that may be loads or ratings
    ratings: dict[str, Values] = field(default_factory=dict)  # rpe, rir
    side: str = ""
    kind: str = ""
    ranges: tuple[str, ...] = ()
    heads: bool = False  # a colon stands behind its kind: "warm-up: ..."

    def is_marks(self) -> bool:
        return not self.factors

    def has_load(self) -> bool:
        return bool(self.loads or self.bare or any(values.kind == "load" for values in self.factors))


class Chain(NamedTuple):
    items: list[Item]
    joined: str = ""  # + or >


@dataclass
class _Open:
    """An item that is being read."""

    item: Item
    due: bool = True  # a factor may stand here
    last: str = ""  # what was taken last: factor, times, load, bare, rating, side, range, kind


class Reader:
    """Recursive descent over the tokens of one cell. Raises Unread and Unclear."""

    def __init__(self, tokens: list[Token], text: str, mark: str) -> None:
        self.scan, self.at, self.inside = Scan(tokens, text, mark), 0, False

    def cell(self) -> tuple[list[Chain], list[str]]:
        """The chains, and what stands between each and the next."""
        chains, between = [self._chain()], []
        while self._kind():
            sign, decimal = " ", False
            while self._kind() in ("slash", "comma", "semicolon"):
                decimal = self.scan.is_decimal_at(self.at)
                sign = BETWEEN[self._take().kind]
            between.append(sign)
            chains.append(self._chain())
            # "@ 1,5 l" is no "@ 1" and no "5 l".
            if decimal and chains[-1].items[0].is_marks() and (self.scan.mark == "," or chains[-2].items[-1].has_load()):
                raise Unread("has a comma within a load")
        return chains, between

    def _chain(self) -> Chain:
        items, joined = [self._item()], ""
        while self._kind() in ("plus", "greater"):
            joined = ">" if self._take().kind == "greater" or joined == ">" else "+"
            items.append(self._item())
        return Chain(items, joined)

    def _item(self) -> Item:
        now, began = _Open(Item()), self.at
        while self._kind() not in _ENDS and self._takes_part(now):
            pass
        if self.at == began:
            raise self._stray()
        if now.last == "times" and len(now.item.factors) > 1:
            raise Unread("ends with a sign of multiplication")
        return now.item

    def _takes_part(self, now: _Open) -> bool:
        """Takes the next part of the item; False where the item ends before it."""
        kind = self._kind()
        if self._takes_rating(now.item):
            now.last = "rating"
        elif kind == "at" and now.due and self._says_of(now.item):
            self._take()
        elif kind == "at":
            now.last = self._behind_at(now.item)
        elif length := self._load_here(now):
            return self._takes_load(now, length)
        elif kind == "plus":
            return False
        elif kind in ("number", "hold"):
            return self._takes_factor(now)
        elif kind == "times" and (now.due or now.last == "factor"):
            self._take()
            now.due, now.last = True, "times"
        elif kind in ("side", "range", "kind"):
            if kind == "side" and now.item.side and now.item.factors and self._token().means != now.item.side:
                return False
            self._takes_mark(now.item, now.last)
            now.last = kind
        elif kind == "open":
            now.last = self._in_parentheses(now)
            now.due = now.due and now.last != "factor"
        elif kind in ("holding", "of") or kind == "colon" and now.due and (now.last in ("load", "side", "kind") or now.item.factors):
            now.item.heads |= kind == "colon" and now.last == "kind"
            self._take()
        else:
            raise self._stray()
        return True

    # --- tokens ---

    def _kind(self, ahead: int = 0) -> str:
        return self.scan.kind_at(self.at + ahead)

    def _token(self, ahead: int = 0) -> Token:
        return self.scan.tokens[self.at + ahead]

    def _take(self) -> Token:
        self.at += 1
        return self.scan.tokens[self.at - 1]

    def _take_load(self, length: int) -> Values:
        self.at += length
        return Values((self.scan.text_of(self.at - length, length),), "load")

    # --- factors ---

    def _says_of(self, item: Item) -> bool:
        """ "3 Sätze à 10": the word behind a count of sets that stands before the repetitions."""
        counted = bool(item.factors) and item.factors[-1].word == "sets"
        plain_number = self._kind(1) in ("number", "hold") and not self.scan.load_at(self.at + 1)
        return counted and plain_number and (self._token().text not in ("@", "at", "with") or self._kind(2) == "reps")

    def _takes_factor(self, now: _Open) -> bool:
        words = {factor.word for factor in now.item.factors}
        # "10 reps 3 sets", "3 sets, 10 reps"
        adds = self._kind(1) == "sets" and "sets" not in words or self._kind(1) == "reps" and words == {"sets"}
        if not now.due and not adds:
            if self._kind(1) in ("times", "at") or self._kind(1) == "side" and self._token(1).means in ("left", "right"):
                return False
            raise Unread(f'does not say what the number "{self._token().text}" is')
        now.item.factors.append(self._values(first=not now.item.factors))
        now.due, now.last = now.item.factors[-1].word == "sets", "factor"
        return True

    def _values(self, first: bool) -> Values:
        token = self._take()
        texts, kind, between, word = [token.text], token.kind, "", self._word()
        while word != "sets" and (sign := self._goes_on(kind, between, first)):
            between = sign
            self.at += sign != " "
            token = self._take()
            if token.kind == "hold" and kind == "number":  # 30/30/30 s
                unit = token.text.lstrip("0123456789.,")
                texts, kind = [text + unit for text in texts], "hold"
            texts.append(token.text)
            word = self._word() or word
        if word == "sets" and self._kind() == "comma" and self._kind(1) == "number" and self._kind(2) == "reps":
            self._take()
        return Values(tuple(texts), kind, between, word)

    def _word(self) -> str:
        return self._take().kind if self._kind() in ("reps", "sets") else ""

    def _goes_on(self, kind: str, between: str, first: bool) -> str:
        """What stands between a value and the next of the list, "" where the list ends."""
        sign = " " if self._kind() == "number" else BETWEEN.get(self._kind(), "")
        place = self.at + (sign != " ")
        next_kind, behind = self.scan.kind_at(place), self.scan.kind_at(place + 1)
        same = next_kind == kind or kind == "number" and next_kind == "hold" and sign in "/-"
        if not sign or between not in ("", sign) or not same or behind in ("sets", "percent"):
            return ""
        if self.scan.load_at(place) or self.scan.rating_at(place):
            return ""
        if behind == "side" and self.scan.tokens[place + 1].means in ("left", "right"):
            return ""
        # "10, 10, 8 x 50 kg" is one list; "10, 60 x 8" is not.
        return "" if behind == "times" and not (first and self.scan.load_at(place + 2)) else sign

    # --- loads and ratings ---

    def _load_here(self, now: _Open) -> int:
        """How many tokens a load takes that begins here. "+10 kg" behind the repetitions is one unless "x" follows."""
        if self._kind() != "plus":
            return self.scan.load_at(self.at)
        length = self.scan.load_at(self.at, signed=True) if now.last == "factor" else 0
        return 0 if self._kind(length) in ("times", "at") else length

    def _takes_load(self, now: _Open, length: int) -> bool:
        """A load beside "x" is a factor, any other a mark."""
        if now.last == "times" or self._kind(length) == "times":
            if not now.due:
                return False
            now.item.factors.append(self._take_load(length))
            now.due, now.last = False, "factor"
            return True
        if now.item.loads:
            return False
        now.item.loads, now.last = self._take_load(length), "load"
        return True

    def _behind_at(self, item: Item) -> str:
        self._take()
        length, (amounts, width) = self.scan.load_at(self.at, behind=True), self.scan.amounts_at(self.at)
        if not length and not width:
            raise Unread("says nothing that can be read behind the @")
        if width > length:
            self.at += width
        said = amounts if width > length else self._take_load(length)
        if self._kind() == "percent":
            raise self._stray()
        return self._add_amounts(item, said)

    def _add_amounts(self, item: Item, said: Values) -> str:
        if said.kind != "load":
            item.bare.append(said)
            return "bare"
        if item.loads:
            raise Unread("names two loads")
        item.loads = said
        return "load"

    def _takes_rating(self, item: Item) -> bool:
        begin = self.at + (self._kind() == "at")
        length = self.scan.rating_at(begin)
        if not length:
            return False
        part = self.scan.tokens[begin:begin + length]
        name = next(RATINGS[token.kind] for token in part if token.kind in RATINGS)
        if name in item.ratings:
            raise Unread(f"names two values of {name.upper()}")
        numbers = "".join({"number": token.text, "dash": "-", "slash": "/"}.get(token.kind, "") for token in part)
        item.ratings[name] = Values(tuple(numbers.split("/")), "number", "/" if "/" in numbers else "")
        self.at = begin + length
        return True

    # --- other marks ---

    def _takes_mark(self, item: Item, last: str) -> None:
        """A side, ranges or a kind of set."""
        token = self._take()
        if token.kind == "range":
            if item.ranges:
                raise Unread("names two ranges")
            item.ranges = (token.means,)
            while self._kind() == "slash" and self._kind(1) == "range":
                self._take()
                item.ranges += (self._take().means,)
            return
        if token.means == "each" and last in ("load", "bare") and not any(word in token.text for word in _OF_LEGS):
            raise Unclear(f'may say "{token.text}" of the load or of the repetitions')
        if getattr(item, token.kind) not in ("", token.means):
            raise Unread("names two sides" if token.kind == "side" else "names two kinds of set")
        setattr(item, token.kind, token.means)

    def _in_parentheses(self, now: _Open) -> str:
        """Takes "(8+3+2)" where a factor may stand, else the marks in parentheses. Returns what was taken last."""
        self._take()
        if now.due and not self.inside and not now.item.group and (chain := self._group()):
            now.item.group = chain
            now.item.factors.append(Values(("( )",), "group"))
            return "factor"
        amounts, last = None, "open"
        while self._kind() != "close":
            if self._kind() == "number" and amounts is None and not self.scan.rating_at(self.at) and not self.scan.load_at(self.at):
                amounts, width = self.scan.amounts_at(self.at)
                self.at += width
            else:
                last = self._mark_in_parentheses(now.item, last)
        self._take()
        return self._add_amounts(now.item, self._with_unit_behind(amounts)) if amounts else last

    def _mark_in_parentheses(self, item: Item, last: str) -> str:
        kind = self._kind()
        if self._takes_rating(item):
            return "rating"
        if kind == "at":
            return self._behind_at(item)
        if length := self.scan.load_at(self.at, signed=True):
            return self._add_amounts(item, self._take_load(length))
        if kind in ("side", "range", "kind"):
            self._takes_mark(item, last)
        elif kind in ("comma", "semicolon"):
            self._take()
        else:
            raise self._stray()
        return kind

    def _with_unit_behind(self, amounts: Values) -> Values:
        """ "(60/65/70) kg": the unit may stand behind the parentheses. Unclear for one bare number in them."""
        if amounts.kind == "load":
            return amounts
        if self._kind() == "unit":
            unit = self._take().text
            return amounts._replace(texts=tuple(f"{text} {unit}" for text in amounts.texts), kind="load")
        if len(amounts.texts) == 1:
            raise Unclear(f"does not say whether ({amounts.texts[0]}) is a load, a rest or an effort")
        return amounts

    def _group(self) -> Chain | None:
        """The segments in parentheses, whose closing one is taken; None, and nothing taken, where marks stand in them."""
        begin, self.inside = self.at, True
        try:
            chain = self._chain()
        except (Unread, Unclear):
            chain = Chain([])
        self.inside = False
        if self._kind() == "close" and len(chain.items) > 1:
            self._take()
            return chain
        self.at = begin
        return None

    def _stray(self) -> Exception:
        """What is said of a token that stands where it cannot."""
        kind = self._kind()
        text = self._token().text if kind else ""
        at_least = not kind and self.at > 0 and self._token(-1).kind == "plus"
        return {
            "": Unread("says at least so many and not how many" if at_least else "ends where something is still to come"),
            "open_ended": Unread("says as many as possible and not how many"),
            "metres": Unclear(f'may mean metres or minutes by "{text}"'),
            "rest": Unread("says a rest, which needs a column of its own"),
            "percent": Unread("gives a share of a maximum and no load"),
        }.get(kind, Unread(f'cannot be read at "{text}"'))
