"""Loads as people write them: 20, 20 kg, kg 20, 45lb, 11 st 4 lb, 20kg/44lb, BW, BW+10, BW-20, ~30, 2x20, 20 per side, 1 gallon jug."""

from __future__ import annotations

import functools
import re
from typing import NamedTuple

import pandas as pd

from etl.notation.blanks import BLANK_WORDS, by_distinct, folded, plain
from etl.notation.numbers import LONGEST, NUMBER, decimal_mark, number
from etl.notation.things import thing
from etl.notation.words import UNIT_WORDS
from etl.settings import RULES
from etl.tables import name_words

PER_SIDE, PER_HAND, PAIR = "per_side", "per_hand", "pair"
STONE_LB = 14  # [P] Weights and Measures Act 1985 (UK), schedule 1, cited from memory
IN_KG = {"kg": 1.0, "lb": RULES.pound_kg, "st": STONE_LB * RULES.pound_kg}  # 1 lb is 0.45359237 kg exactly (NIST SP 811, appendix B.8), 1 st 6.35029318 kg
AGREE = 0.025  # [D] share by which two units of one load may differ: 45 lb and 20 kg are one plate
# Without accents, in English, German, French, Spanish, Italian, Portuguese and Dutch. "KG" stays kilograms.
BODY = (r"(?P<body>bw|b\.w\.|body\s?-?weight|body\s?mass|body|k(?:o|oe)rpergewicht|eigen\s?gewicht|poids (?:du|de) corps|pdc|peso corpor(?:al|eo)"
        r"|peso del cuerpo|corpo libero|peso do corpo|lichaamsgewicht)")
SIDE_OF_BAR = r"(?:/\s?|(?:per|each|a|pro|je|par|por|cada|chaque|ogni)\s)(?:side|seite|cote|lado|lato|kant|zijde)"
HAND = (r"(?:/\s?|(?:per|each|pro|je|par|por|cada|chaque|ogni)\s)(?:hand|arm|main|mano|mao|dumbbell|db|hantel|kurzhantel|haltere|mancuerna|manubrio)"
        r"|each|ea\.?|e|ph|jeweils|je|chacune?|cada uno|c/u|ciascuno")
_WORDS = "|".join(sorted(map(re.escape, UNIT_WORDS), key=len, reverse=True))
_UNIT = rf"(?P<unit>{_WORDS})\.?"
_GUESS = r"(?P<guess>~\s?|(?:ca\.?|circa|about|approx\.?|est\.?|etwa|around|env\.?)\s)"
_LOAD = re.compile(
    rf"{_GUESS}?@?\s?(?P<pair>2\s?x\s?)?(?P<value>{NUMBER})\s?(?:{_UNIT})?"
    rf"(?:\s?(?:(?P<side>{SIDE_OF_BAR})|(?P<twice>x\s?2)|(?P<hand>{HAND})))?(?P<doubt>\?)?", re.ASCII)
_UNIT_FIRST = re.compile(rf"(?!#|st\b)(?P<unit>{_WORDS})[.:]?\s?(?P<value>{NUMBER})", re.ASCII)
_PLATES = re.compile(
    rf"(?:(?:plates?|discs?):?\s(?P<a>{NUMBER})\s?(?P<ua>{_WORDS})?|(?P<b>{NUMBER})\s?(?P<ub>{_WORDS})\s?(?:plates?|discs?))"
    rf"\s?{SIDE_OF_BAR}", re.ASCII)
_TWO_UNITS = re.compile(rf"(?P<a>{NUMBER})\s?(?P<ua>{_WORDS})\.?\s?[/(|=]\s?(?P<b>{NUMBER})\s?(?P<ub>{_WORDS})\.?\s?\)?", re.ASCII)
_STONES = re.compile(rf"(?P<st>\d+)\s?(?:stones?|st)\.?,?\s?(?P<lb>{NUMBER})\s?(?:(?:{'|'.join(w for w, unit in UNIT_WORDS.items() if unit == 'lb')})\.?)?", re.ASCII)
_BODY_LOAD = re.compile(rf"{BODY}(?:\s?(?P<value>[+-]\s?{NUMBER})\s?(?:{_UNIT})?)?", re.ASCII)
_ADDED_FIRST = re.compile(rf"(?P<value>{NUMBER})\s?(?:{_UNIT})?\s?\+\s?{BODY}", re.ASCII)
_BODY_AND = re.compile(rf"{BODY}\s?(?:\+|with|mit|avec|con|com|met)\s?(?P<rest>\S.*)", re.ASCII)
_ASSIST = r"assist(?:ed|ance)?"
_ASSISTED = re.compile(rf"(?:{_ASSIST}(?:\sby)?\s?-?(?P<a>{NUMBER})|-?(?P<b>{NUMBER}))\s?(?:{_UNIT})?(?:\s?{_ASSIST})?", re.ASCII)
BAND_ALONE, BAND_SAID = "alone", "said"
_BESIDE_BAND = frozenset("a the with one my ein eine mit un une avec con una com uma een met only nur".split())  # say nothing of which band
NAN = float("nan")


class Load(NamedTuple):
    value: float  # as written, in the unit that the cell says, or in none; of a pair one hand's, of plates one side's
    unit: str  # kg, lb, st or "" where the cell says none
    body: bool = False  # the cell names body weight; value is what is added to it
    estimated: bool = False  # the cell says that it is a guess, or names a home-made thing
    wordy: bool = False  # text without any digit that is no load: "red band"
    basis: str = ""  # per_side or per_hand where the cell says so, pair for "2x20" and "20 x2"
    object: str = ""  # the home-made thing: "water jug"


def read_loads(text: pd.Series, mark: str | None = None) -> pd.DataFrame:
    """Columns value, unit, body, estimated, wordy, basis, object; one row per cell (see `Load`).

    A load written for a pair ("2x20", "20 each") is that of one of the two, one per side is one side's. Value is NaN where a cell is
    blank or not read.
    """
    mark = mark or decimal_mark(text)
    found = by_distinct(text, lambda cell: load(cell, mark), "object")
    return pd.DataFrame(list(found), columns=Load._fields, index=text.index).astype(
        {"value": "float64", "unit": "str", "body": "bool", "estimated": "bool", "wordy": "bool", "basis": "str", "object": "str"})


def bands(text: pd.Series) -> pd.Series:
    """What each cell says of a band: BAND_ALONE where it says nothing else ("band", "mit Gummiband"), BAND_SAID where something
    tells which one ("red band", "Band rot"), "" where it names none or holds a number.
    """
    return by_distinct(text, _band, "str")


def _band(cell: str) -> str:
    cell = folded(cell)
    if any(c.isdigit() for c in cell) or not (m := _band_words().search(cell)):
        return ""
    beside = re.findall(r"\w+", f"{cell[:m.start()]} {cell[m.end():]}")
    return BAND_SAID if set(beside) - _BESIDE_BAND else BAND_ALONE


@functools.cache
def _band_words() -> re.Pattern[str]:
    """The words for a band that names of exercises know, the longest first, in one or several."""
    table = name_words()
    known = {"band", *map(folded, table.loc[(table["kind"] == "spelling") & (table["read_as"] == "band"), "written"])}
    return re.compile(rf"\b(?:{'|'.join(re.escape(word) for word in sorted(known, key=lambda word: (-len(word), word)))})(?:s|er)?\b")


def stones_and_pounds(text: pd.Series) -> pd.Series:
    """Pounds for cells such as "9 6" and "9/6" of a column of stones, NaN for any other and where the pounds make another stone."""
    parts = text.str.extract(r"^\s*(\d{1,3})(?:\s*/\s*|\s+)(\d{1,2}(?:[.,]\d+)?)\s*$")
    stones, pounds = parts[0].astype("float64"), parts[1].str.replace(",", ".").astype("float64")
    return (stones * STONE_LB + pounds).where(pounds < STONE_LB)


def load(cell: str, mark: str = ".") -> Load:
    """One load."""
    if plain(cell) in BLANK_WORDS:
        return Load(NAN, "")
    if len(cell) <= LONGEST:
        cell = folded(cell)
        for form in (_number_of, _stones, _plates, _two_units, _with_body, _assisted, _thing):
            if found := form(cell, mark):
                return found
    return Load(NAN, "", wordy=not any(c.isdigit() for c in cell))


def _number_of(cell: str, mark: str) -> Load | None:
    """A number with what stands around it. "2x20 per side" may be one plate of 20 or two: it has no value."""
    m = _LOAD.fullmatch(cell) or _UNIT_FIRST.fullmatch(cell)
    if m is None:
        return None
    parts = m.groupdict()
    side, hand, pair = bool(parts.get("side")), bool(parts.get("hand")), bool(parts.get("pair") or parts.get("twice"))
    value = NAN if pair and side else number(parts["value"].strip(), mark)
    return Load(value, UNIT_WORDS.get(parts["unit"] or "", ""), estimated=bool(parts.get("guess") or parts.get("doubt")),
                basis=PER_SIDE if side else PER_HAND if hand else PAIR if pair else "")


def _stones(cell: str, mark: str) -> Load | None:
    """Stones and pounds, "11 st 4 lb": pounds."""
    m = _STONES.fullmatch(cell)
    if m is None or not 0 <= (pounds := number(m["lb"].strip(), mark)) < STONE_LB:
        return None
    return Load(int(m["st"]) * STONE_LB + pounds, "lb")


def _plates(cell: str, mark: str) -> Load | None:
    """Plates on each side of a bar, by their weight; "2 plates per side" does not say it."""
    if m := _PLATES.fullmatch(cell):
        return Load(number(m["a"] or m["b"], mark), UNIT_WORDS.get(m["ua"] or m["ub"] or "", ""), basis=PER_SIDE)
    return None


def _two_units(cell: str, mark: str) -> Load | None:
    """One load in two units that agree: as it is in kg, or in lb where the other is stones."""
    m = _TWO_UNITS.fullmatch(cell)
    if m is None or UNIT_WORDS[m["ua"]] == UNIT_WORDS[m["ub"]]:
        return None
    said = {UNIT_WORDS[m["ua"]]: number(m["a"], mark), UNIT_WORDS[m["ub"]]: number(m["b"], mark)}
    first, second = (said[unit] * IN_KG[unit] for unit in said)
    unit = "kg" if "kg" in said else "lb"
    return Load(said[unit], unit) if abs(first - second) <= AGREE * abs(first) else None


def _with_body(cell: str, mark: str) -> Load | None:
    if m := _BODY_LOAD.fullmatch(cell) or _ADDED_FIRST.fullmatch(cell):
        return Load(number(m["value"].strip(), mark) if m["value"] else 0.0, UNIT_WORDS.get(m["unit"] or "", ""), body=True)
    if (m := _BODY_AND.fullmatch(cell)) and (found := _thing(m["rest"], mark)):
        return found._replace(body=True)
    return None


def _assisted(cell: str, mark: str) -> Load | None:
    if "assist" not in cell or not (m := _ASSISTED.fullmatch(cell)):
        return None
    return Load(-abs(number(m["a"] or m["b"], mark)), UNIT_WORDS.get(m["unit"] or "", ""), body=True)


def _thing(cell: str, mark: str) -> Load | None:
    if found := thing(cell, mark):
        return Load(found.value, found.unit, estimated=found.guessed, basis=PER_HAND if found.pair else "", object=found.name)
    return None
