"""Columns that stand side by side for the sets, sides, rounds, days or exercises of one row."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable
from functools import cache
from typing import NamedTuple

import pandas as pd

from etl import notation
from etl.columns.column import REPEATED_FIELDS, Column
from etl.columns.content import sample_of
from etl.columns.headers import CONTAINED, UNIT_TOKENS, fields_named, says_share, words_of
from etl.notation.words import SIDES
from etl.read import TextTable
from etl.tables import header_words

MOST_PARTS = 20  # [D] a number in a header above this is a year, a percentage or a name
SURE = 0.9  # [D] confidence of columns that repeat
BY_PLACE = 0.5  # [D] confidence of a column without a known word between columns that are exercises
WORK_SHARE = 0.8  # [D] share of the cells of such a column that have to hold a number
WORK_FIELDS = ("reps", "hold", "work")
BY_UNIT = {"kg": "load", "lb": "load", "st": "load", "s": "hold", "min": "hold"}
_ORDINAL = re.compile(r"\b(\d+)(?:st|nd|rd|th)\b")
_COUNT = re.compile(r"x?\s?(\d{1,2})\s?(x|[^\W\d_]+\.?)?", re.IGNORECASE)
_RANGE = re.compile(r"\d{1,2}\s?[-–]\s?\d{1,2}")
_LOAD_IN_NAME = re.compile(r"[\s(,@-]*\b(\d+(?:[.,]\d+)?\s?(?:kg|lbs?))\b[)\s]*$", re.IGNORECASE)


class Repeat(NamedTuple):
    """One header that may be one of several alike: what it holds, of which part of the row."""

    position: int
    field: str
    unit: str
    number: int | None
    side: str
    counts: str  # set_no or round_no: what the number counts
    bare: bool  # nothing but a number


def repeated(table: TextTable, free: Iterable[int], is_exercise: Callable[[str], bool], has_exercise: bool) -> list[Column]:
    """The columns among `free` positions that hold one set, side, round, day or exercise each; [] where none repeat.

    is_exercise: whether a text is the name of an exercise. has_exercise: another column names the exercise.
    """
    free = list(free)
    found = _by_number_or_side(table, free) or _by_repetition(table, free) or _by_day(table, free)
    if not found and not has_exercise:
        found = _by_exercise(table, free, is_exercise)
    return found


def _by_number_or_side(table: TextTable, free: list[int]) -> list[Column]:
    repeats = [r for p in free if (r := _repeat(p, table.header[p]))]
    repeats = _shifted(repeats)
    repeats = [r for r in repeats if r.number is not None or r.side]
    bare = sorted(r.number for r in repeats if r.bare)
    if bare and bare != list(range(1, len(bare) + 1)):
        repeats = [r for r in repeats if not r.bare]
    # The same part twice ("Set 1 reps" two times): the first is read, and the other is said to be left.
    repeats = [r for at, r in enumerate(repeats) if (r.field, r.number, r.side) not in {(o.field, o.number, o.side) for o in repeats[:at]}]
    parts = defaultdict(set)
    for r in repeats:
        parts[r.field].add((r.number, r.side))
    if max((len(parts[field]) for field in (*WORK_FIELDS, "load")), default=0) < 2:
        return []
    return [_column(table, r) for r in repeats]


def _repeat(position: int, header: str) -> Repeat | None:
    if says_share(header):
        return None
    words = [w for word in words_of(header) for w in re.findall(r"\d+|[^\d]+", _ORDINAL.sub(r"\1", word))]
    numbers = [int(w) for w in words if w.isdigit()]
    if len(numbers) > 1 or (numbers and not 1 <= numbers[0] <= MOST_PARTS):
        return None
    words = [w for w in words if not w.isdigit()]
    sides = {SIDES[w] for w in words if _is_side(w, bool(numbers))}
    counted = {w for w in words if w in _counting("set_no")} if numbers else set()
    if len(counted) > 1:
        counted -= set(UNIT_TOKENS)  # "Set 1 (s)": the set and its seconds
    rounds = {w for w in words if w in _counting("round_no")} if numbers else set()
    rest = [w for w in words if w not in counted | rounds and not _is_side(w, bool(numbers))]
    if len(sides) > 1 or (not numbers and not rest):
        return None
    named = _holds(rest)
    if named is None:
        return None
    return Repeat(position, *named, numbers[0] if numbers else None, next(iter(sides), ""),
                  "round_no" if rounds and not counted else "set_no", not words)


def _is_side(word: str, numbered: bool) -> bool:
    """A side in a header: a whole word, or l and r where no number makes them another thing ("R1" is a round)."""
    return SIDES.get(word) in ("left", "right") and (len(word) > 1 or (word in ("l", "r") and not numbered))


def _holds(words: list[str]) -> tuple[str, str] | None:
    """Field and unit of what is left of a header; no words at all are a cell of work."""
    unit = next((UNIT_TOKENS[w] for w in words if w in UNIT_TOKENS), "")
    if all(w in UNIT_TOKENS for w in words):
        return BY_UNIT.get(unit, "work"), unit
    # "Goblet squat 16 kg" holds a word that is not known: it is the name of something, not the load of set 16.
    for named in fields_named(" ".join(words)):
        if named.field in REPEATED_FIELDS and named.confidence > CONTAINED:
            return named.field, named.unit
    return None


def _shifted(repeats: list[Repeat]) -> list[Repeat]:
    """ "Reps", "Reps.1", "Reps.2" are the first to the third: a name without a number comes before its numbered likes."""
    done = []
    for r in repeats:
        like = [o for o in repeats if (o.field, o.side) == (r.field, r.side)]
        numbers = [o.number for o in like if o.number is not None]
        base = sum(o.number is None for o in like) == 1 and numbers
        if base and 1 in numbers:
            r = r._replace(number=1 if r.number is None else r.number + 1)
        elif base and r.number is None:
            r = r._replace(number=1)
        done.append(r)
    return done


def _column(table: TextTable, r: Repeat) -> Column:
    gives = ((r.counts, str(r.number)),) if r.number is not None else ()
    gives += (("side", r.side),) if r.side else ()
    what = {"set_no": "set", "round_no": "round"}[r.counts]
    part = " ".join(filter(None, (f"{what} {r.number}" if r.number is not None else "", r.side)))
    return Column(r.position, table.header[r.position], r.field, r.unit, SURE, f"one of several columns alike: {part}", part, gives)


def _by_repetition(table: TextTable, free: list[int]) -> list[Column]:
    """The same header several times: "Reps, kg, Reps, kg"."""
    counts = Counter(words_of(table.header[p]) for p in free)
    seen: Counter = Counter()
    repeats = []
    for position in free:
        words = words_of(table.header[position])
        named = _holds(list(words)) if words and counts[words] > 1 else None
        if named:
            seen[words] += 1
            repeats.append(Repeat(position, *named, seen[words], "", "set_no", False))
    return [_column(table, r) for r in repeats] if any(r.field in WORK_FIELDS for r in repeats) else []


def _by_day(table: TextTable, free: list[int]) -> list[Column]:
    """One column for each day, with the exercises down the side."""
    headers = pd.Series([table.header[p] for p in free], dtype="str")
    is_date = [notation.read_dates(headers, order)["date"].notna() for order in (True, False)]
    is_day = is_date[0] | is_date[1] | notation.lack_year(headers, notation.SIGNED)
    days = [p for p, yes in zip(free, is_day, strict=True) if yes and _numeric(table, p)]
    if len(days) < 2:
        return []
    return [Column(p, table.header[p], "work", "", SURE, "its header is a day, one of several", table.header[p], (("date", table.header[p]),))
            for p in days]


class Named(NamedTuple):
    """A header that names an exercise: the name alone, what the column holds of it, and what the header gives."""

    name: str
    field: str
    unit: str
    side: str
    load: str


def _by_exercise(table: TextTable, free: list[int], is_exercise: Callable[[str], bool]) -> list[Column]:
    """One column or more for each exercise, as for the rounds of a circuit."""
    named = {p: n for p in free if (n := _exercise_in(table.header[p]))}
    known = [p for p, n in named.items() if is_exercise(n.name) and _numeric(table, p)]
    if len({named[p].name.casefold() for p in known}) < 2:
        return []
    between = [p for p in free if known[0] < p < known[-1] and p not in known and p in named and not fields_named(table.header[p]) and _numeric(table, p)]
    columns = []
    for position in sorted(known + between):
        n = named[position]
        gives = (("exercise", n.name), *((("side", n.side),) if n.side else ()), *((("load", n.load),) if n.load else ()))
        sure, why = (SURE, "its header is an exercise") if position in known else (BY_PLACE, "it stands among columns that are exercises")
        columns.append(Column(position, table.header[position], n.field, n.unit, sure, why, f"{n.name.casefold()} {n.side}".strip(), gives))
    return columns


def _exercise_in(header: str) -> Named | None:
    """The exercise that a header names, behind which may stand a load, a side, a unit or what the column holds of it."""
    if says_share(header):
        return None
    text, found = header, Named("", "work", "", "", "")
    while shorter := _without_last(text, found):
        text, found = shorter
    name = text.strip(" \t()[]_,:/-")
    return found._replace(name=name) if name else None


def _without_last(text: str, found: Named) -> tuple[str, Named] | None:
    """The text without its last word where that word says something of the column, and what it says; None where it is of the name."""
    if (load := _LOAD_IN_NAME.search(text)) and not found.load:
        return text[:load.start()], found._replace(load=load[1])
    m = re.search(r"[\s(\[_,:/-]+([^\W\d_]+)\W*$", text)
    word = (words_of(m[1]) or ("",))[0] if m else ""
    if word in UNIT_TOKENS and not found.unit:
        unit = UNIT_TOKENS[word]
        return text[:m.start()], found._replace(unit=unit, field=BY_UNIT[unit] if found.field == "work" else found.field)
    if _is_side(word, False) and not found.side:
        return text[:m.start()], found._replace(side=SIDES[word])
    held = next((n for n in fields_named(word) if n.field in REPEATED_FIELDS and n.field != "side"), None) if word else None
    if held and found.field in ("work", BY_UNIT.get(found.unit)):
        return text[:m.start()], found._replace(field=held.field, unit=found.unit or held.unit)
    return None


def _numeric(table: TextTable, position: int) -> bool:
    cells = sample_of(table.rows.iloc[:, position])
    return bool(len(cells)) and float(cells.str.contains(r"\d", regex=True).mean()) >= WORK_SHARE


def counted(cell: str, what: str) -> int | None:
    """The number in a count of sets or rounds that is no plain number: 3x, x3, 3 sets, 3 Runden; None for anything else. what: set or round."""
    m = _COUNT.fullmatch(cell.strip().replace("\u00d7", "x"))
    if m is None or m[2] and m[2].lower() != "x" and not set(words_of(m[2])) & _count_words(what):
        return None
    return int(m[1])


def is_range(cell: str) -> bool:
    """3-4: as a plan gives a count."""
    return _RANGE.fullmatch(cell.strip()) is not None


@cache
def _count_words(what: str) -> frozenset[str]:
    """Single words that stand beside a number of sets, or of rounds."""
    table = header_words()
    own = table.loc[table["field"] == f"{what}_count", "words"]
    return _counting(f"{what}_no") | {words_of(w)[0] for w in own if len(words_of(w)) == 1}


@cache
def _counting(field: str) -> frozenset[str]:
    """Words that say in a header that its number counts sets, or rounds."""
    table = header_words()
    words = {words_of(w)[0] for w in table.loc[table["field"] == field, "words"] if len(words_of(w)) == 1}
    return frozenset(words | {"set_no": {"s", "set", "sets"}, "round_no": {"r", "round"}}[field])
