"""Loads named by a thing: what the water in a jug weighs, a filled bag, a kettlebell with its number.

A home-made thing is a guess, since nobody has weighed it: a container is not added, and fillings shift. Iron says what it weighs.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from etl.notation.numbers import number
from etl.notation.words import UNIT_WORDS

WATER_KG_PER_L = 0.9982  # [P] at 20 °C: Tanaka et al. 2001, Metrologia 38:301-309, rounded
GALLON_L = 3.785411784  # [P] the US liquid gallon, 231 cubic inches, exactly: NIST SP 811 (2008), appendix B.8, rounds it


def _table(**words: str) -> dict[str, str]:
    return {word: meaning.replace("_", " ") for meaning, listed in words.items() for word in listed.split()}


# Word -> the thing that it names, in the languages of cell_words.csv, without accents.
VESSELS = _table(
    water_jug="jug jugs krug carafe garrafa garrafao jarra brocca kruik",
    water_can="canister kanister jerrycan bidon bidone bidao jerrycans",
    water_bottle="bottle bottles flasche flaschen bouteille bouteilles botella botellas bottiglia bottiglie garrafas fles flessen",
    water="water wasser eau agua acqua")
FILLED = _table(
    sandbag="sandbag sandbags sandsack zandzak", bag="bag sack tasche sac bolsa saco borsa sacco tas zak",
    box="box kiste crate caisse caja cassa caixa doos",
    backpack="backpack rucksack mochila zaino rugzak", bucket="bucket eimer seau cubo secchio balde emmer",
    suitcase="suitcase koffer valise maleta valigia mala", books="book books bucher livros libros libri boeken")
HOME_MADE = VESSELS | FILLED
CONTENTS = {"water", "books"}  # what another thing may hold
MADE = frozenset(
    "kettlebell kettlebells kb kugelhantel plate disc dumbbell dumbbells db dbs kurzhantel kurzhanteln hantel hanteln haltere halteres mancuerna "
    "mancuernas manubrio manubri barbell bar langhantel stange medball medizinball vest gewichtsweste".split())
SEVERAL = frozenset("jugs jerrycans bottles flaschen bouteilles botellas bottiglie garrafas flessen sandbags books".split())
MASSES = {word: unit for word, unit in UNIT_WORDS.items() if unit != "st"}  # the stones in a bucket are no unit
LITRES = dict.fromkeys("l liter liters litre litres ltr litro litros litri".split(), 1.0) | {"ml": 0.001, "cl": 0.01} | dict.fromkeys(
    "gallon gallons gal gals".split(), GALLON_L)
PARTS = {"half": 0.5, "quarter": 0.25}
# Words that add nothing to the weight, and fillings that are weighed with what holds them.
_LITTLE = frozenset("of de d di da do du mit with full filled a an the von en avec con com met van voll plein pleine weight".split())
_FILLING = frozenset("sand sable arena sabbia areia zand rice reis riz stones gravel bricks soil".split())
_WORD = re.compile(r"\d[\d.,]*½?|½|[^\W\d_]+|#|\S", re.ASCII)
_COUNTED = re.compile(r"2\s?x\s?(?=\d|½)", re.ASCII)
_ABOUT = re.compile(r"~|\b(?:ca\.?|circa|about|approx\.?|etwa|around)(?=\s)")


class Thing(NamedTuple):
    value: float  # in the unit; of water in kg
    unit: str  # kg, lb or "" where the cell says none
    guessed: bool  # home-made, or said to be a guess; iron says what it weighs
    name: str  # the home-made thing, "" for a made weight
    pair: bool  # two of them: value is that of one


def thing(cell: str, mark: str = ".") -> Thing | None:
    """What a folded cell such as "1 gallon jug", "backpack 10 kg" or "16 kg kettlebell" weighs. None where it says no thing or no size."""
    one_word = cell.replace("1/2", "½").replace("sac a dos", "rucksack").replace("medicine ball", "medball").replace("sand bag", "sandbag")
    cell, guessed = _ABOUT.subn(" ", one_word)
    bare, counted = _COUNTED.subn("", cell.strip(), count=1)
    words = _WORD.findall(re.sub(r"(?<=\w)-(?=\w)", " ", bare))
    sizes, names = _sizes_and_names(words, mark)
    if names is None or len(sizes) != 1:
        return None
    value, unit, place = sizes[0]
    if unit in LITRES:
        return _water(value * LITRES[unit], words, names, counted > 0)
    things = {HOME_MADE.get(n, "") for n in names}
    things -= CONTENTS if len(things) > 1 else set()
    if len(things) != 1:
        return None
    name = things.pop()
    # "2 bags" is a count, and the bare number of a backpack or a box may be litres or centimetres; iron and sand are named by their weight.
    if not unit and not (name in ("", "sandbag") and any(word in names for word in words[:place])):
        return None
    return Thing(value, unit, bool(name) or guessed > 0, name, counted > 0)


def _water(litres: float, words: list[str], names: set[str], pair: bool) -> Thing | None:
    """Water of so many litres. None where the thing may hold something else: the litres of a backpack are its room."""
    vessels = [n for n in names if n in VESSELS]
    other = names - set(vessels)
    gallon = any(LITRES.get(w) == GALLON_L for w in words)
    other_than_a_bucket = any(HOME_MADE.get(n) != "bucket" for n in other)
    if set(words) & _FILLING or not (vessels or gallon) or other_than_a_bucket or other and not vessels:
        return None
    if gallon and set(words) & SEVERAL and not pair:
        return None  # "2 gallon jugs": two of them, or jugs of two gallons
    kinds = {VESSELS[v] for v in vessels} - {"water"}
    name = "bucket" if other else kinds.pop() if len(kinds) == 1 else "water jug" if gallon else "water"
    return Thing(litres * WATER_KG_PER_L, "kg", True, name, pair)


def _sizes_and_names(words: list[str], mark: str) -> tuple[list[tuple[float, str, int]], set[str] | None]:
    """The sizes (value, unit or volume word, place) and the things named; None for names where a word is not known."""
    sizes, names, part = [], set(), 1.0  # part: half or a quarter of the gallon that follows
    for place, word in enumerate(words):
        behind_number = bool(sizes) and place > 0 and not sizes[-1][1] and number(words[place - 1], mark) == sizes[-1][0]
        unit = MASSES.get(word) or (word if word in LITRES else "")
        if (value := number(word, mark)) == value:
            sizes.append((value, "", place))
        elif word in PARTS:
            part = PARTS[word]
        elif unit and behind_number:
            sizes[-1] = (sizes[-1][0], unit, sizes[-1][2])
        elif LITRES.get(word) == GALLON_L:
            sizes.append((part, word, place))
            part = 1.0
        elif word in HOME_MADE or word in MADE:
            names.add(word)
        elif word not in _LITTLE and word not in _FILLING:
            return [], None
    return (sizes, names) if part == 1 else ([], None)
