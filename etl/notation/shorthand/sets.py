"""What is written in a shorthand -> its sets: each item with its roles, lists laid over the sets, segments told from sets."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import NamedTuple

from etl.notation.clock import duration_s
from etl.notation.loads import load
from etl.notation.numbers import number
from etl.notation.shorthand.forms import Chain, Item
from etl.notation.shorthand.roles import LOAD, LONG_SET, MOST_SETS, REPS, RPE_MAX, SEGMENTED, SETS, Order, Told, can_be, may_rate, order_of
from etl.notation.shorthand.scan import Unclear, UnclearBuild, Unread, Values
from etl.notation.shorthand.spread import spread

ALIKE = 2  # [D] how many times the smallest the greatest of a list's repetitions may be, where it might be sets, repetitions and a load
APART = 4  # [D] the same where a comma stands between them or the row has its load elsewhere
SMALL = 5  # [D] repetitions up to this are listed in any steps: 5/3/1
LONGEST_LISTED = 100  # [D] a bare list with more repetitions is something else (120/80)
TEMPO = 2  # [D] "3-1-1" with a number up to this may be seconds of a tempo
MOST_HALVED = 15  # [D] a half repetition ends a hard set, as in 8, 7.5, 7: above this, or where a list goes up to it, the number may be a load
SHORT_OF = 2 / 3  # [D] after a short rest a set goes on with at most this share of its first repetitions


class Piece(NamedTuple):
    """One set, or one segment of a set, as texts that stand for cells of columns of their own; "" = not said."""

    reps: str = ""
    hold: str = ""
    load: str = ""
    rpe: str = ""
    rir: str = ""
    side: str = ""
    range: str = ""
    kind: str = ""
    segment: int = 0  # 0 = no segments


@dataclass(frozen=True)
class Work:
    """An item with its roles decided: so many sets of so much work."""

    work: Values
    count: int | None = None
    counted: bool = False  # the word "sets" stands beside the count
    load: Values | None = None
    group: Chain | None = None
    rpe: Values | None = None
    rir: Values | None = None
    side: str = ""
    kind: str = ""
    ranges: tuple[str, ...] = ()


def sets_of(chains: list[Chain], between: list[str], told: Told) -> list[list[Piece]] | None:
    """The pieces of each set; None where the cell holds no work, or one plain count or time.

    Two pieces of one set without segments are its left and its right side. Raises Unclear and Unread.
    """
    if all(item.is_marks() or _is_count(item) for chain in chains for item in chain.items):
        return None
    chains = spread(chains, between, told)
    order = _order(chains, told)
    rated = [values for chain in chains for item in chain.items for values in item.bare]
    works = [[_work(item, order, told, rated) for item in chain.items] for chain in chains]
    parts = [_of_chain(of_chain, chain.joined, order, told) for of_chain, chain in zip(works, chains, strict=True)]
    found = _in_one_unit(_sides_paired(parts), told.mark)
    if len(found) > MOST_SETS:
        raise Unclear(f"says {len(found)} sets in one cell")
    if told.single and len(found) != 1:
        raise Unread("says several sets in the place of one")
    return None if not told.single and _is_plain(found, works) else found


def _is_count(item: Item) -> bool:
    """Only "3 sets"."""
    return len(item.factors) == 1 and item.factors[0].word == SETS and not (item.has_load() or item.ratings)


def _is_plain(found: list[list[Piece]], works: list[list[Work]]) -> bool:
    piece = found[0][0]
    return len(found) == len(found[0]) == 1 and works[0][0].count is None and piece == Piece(reps=piece.reps, hold=piece.hold)


# --- roles ---


def _order(chains: list[Chain], told: Told) -> Order:
    """The roles of the factors of all items that multiply. The others are segments behind a load and repetitions: "60x8+4+3"."""
    products = [[item for item in chain.items if len(item.factors) > 1] for chain in chains]
    if not any(products):
        return (REPS,)
    joins = {chain.joined for chain in chains}
    order = order_of(products, told, ">" if ">" in joins else "+" if "+" in joins else "")
    for chain in chains:
        plain = [len(item.factors) == 1 for item in chain.items]
        if any(plain) and (plain[0] or order != (LOAD, REPS)):
            raise Unclear("does not say what each of its numbers is")
    alone = len(chains) == len(chains[0].items) == 1 and not told.single
    if alone and order == (REPS, LOAD) and (item := chains[0].items[0]).factors[0].texts == ("2",) and item.factors[1].kind == "load":
        raise Unclear("may be two repetitions, or the load of each hand")
    return order


def _work(item: Item, order: Order, told: Told, rated: Sequence[Values]) -> Work:
    """rated: the bare numbers behind @ of the whole cell."""
    said = dict(zip(order, item.factors, strict=True)) if len(item.factors) > 1 else {REPS: item.factors[0]} if item.factors else {}
    work, count = said.get(REPS), said.get(SETS)
    if work is None or not can_be(work, REPS, told.mark):
        raise Unread("says no repetitions and no seconds that can be")
    if any(text.isdigit() and len(text) > 1 and text.startswith("0") for text in work.texts):
        raise Unclear("may be a date")
    if count and "21s" in work.texts:
        raise Unclear('may be holds of 21 seconds, or "21s": three times seven repetitions')
    if LOAD in said and item.loads and said[LOAD] != item.loads:
        raise Unread("names two loads")
    named = said.get(LOAD) or item.loads
    behind, rpe = _behind_at(item, named is not None, told, rated)
    if behind and not count and not work.word and work.kind == "number" and _is_turned(work, behind, told.mark):
        raise Unclear("may be repetitions at a load, or a load with its repetitions")
    if rpe and "rpe" in item.ratings:
        raise Unread("names two values of RPE")
    return Work(work, int(number(count.texts[0], told.mark)) if count else None, bool(count and count.word), named or behind, item.group,
                rpe or item.ratings.get("rpe"), item.ratings.get("rir"), item.side, item.kind, item.ranges)


def _is_turned(work: Values, load_behind: Values, mark: str) -> bool:
    """ "80@12": rather 12 repetitions with 80."""
    reps, loads = ([number(text, mark) for text in values.texts] for values in (work, load_behind))
    return max(reps) > LONG_SET >= max(loads)


def _behind_at(item: Item, has_load: bool, told: Told, rated: Sequence[Values]) -> tuple[Values | None, Values | None]:
    """The load and the RPE among the bare numbers behind @. A light load may look like an RPE."""
    ratings = [values for values in item.bare if may_rate(values, told.mark)]
    loads = [values for values in item.bare if not may_rate(values, told.mark)]
    if any("-" in text for values in loads for text in values.texts):
        raise Unclear("gives a range of loads and not the one that was lifted")
    if len(loads) + has_load > 1 or len(ratings) > 1:
        raise Unread("names two loads")
    if not ratings or loads or has_load or told.load_given:
        return (loads or [None])[0], (ratings or [None])[0]
    if "rpe" in item.ratings or not all(may_rate(values, told.mark) for values in rated):
        return ratings[0], None
    raise Unclear(f'may mean a load or an RPE by "@{"/".join(ratings[0].texts)}"')


# --- segments ---


def _of_chain(works: list[Work], joined: str, order: Order, told: Told) -> list[list[Piece]]:
    """The sets of a chain: segments of one, or where each part counts its sets ("3x10 + 1x8") sets of their own."""
    if len(works) == 1 or order[0] == SETS:
        return [one for work in works for one in _sets(work, told)]
    works = [work if work.load else replace(work, load=works[0].load) for work in works]
    return [_segments(works, joined, told)]


def _segments(works: list[Work], joined: str, told: Told) -> list[Piece]:
    if any(work.count or work.group or len(work.work.texts) > 1 or len(work.ranges) > 1 or work.load and len(work.load.texts) > 1 for work in works):
        raise Unclear("does not say which parts make one set")
    kind = _kind_of(works, joined, told)
    return [_piece(replace(work, kind=kind), 0, segment) for segment, work in enumerate(works, 1)]


def _kind_of(works: list[Work], joined: str, told: Told) -> str:
    """drop, rest_pause or cluster by its word, else by loads and repetitions; "" of ranges, and where the row says its kind."""
    said = {work.kind for work in works} - {""}
    if len(said) > 1 or said - set(SEGMENTED):
        raise Unread("says a kind of set that has no segments")
    if said or told.kind in SEGMENTED:
        return said.pop() if said else ""
    ranged = [bool(work.ranges) for work in works]
    if any(ranged) and not all(ranged):
        raise Unread("names a range for some of its segments only")
    kind = "" if all(ranged) else "drop" if _loads_go_down(works, told.mark) else _rest_pause(works, joined, told.mark)
    return "" if told.kind else kind


def _loads_go_down(works: list[Work], mark: str) -> bool:
    """Whether each segment has a lower load than the one before; Unclear where the loads differ in another way."""
    if len({work.load for work in works}) == 1:
        return False
    loads = [load(work.load.texts[0] if work.load else "", mark) for work in works]
    alike = all(one.body for one in loads) or len({(one.unit, one.body, one.basis, one.object) for one in loads}) == 1
    if alike and all(a.value > b.value for a, b in pairwise(loads)):
        return True
    raise Unclear("may be segments of one set or sets of their own")


def _rest_pause(works: list[Work], joined: str, mark: str) -> str:
    if joined == ">":
        raise Unclear("says that something goes down, and not the loads")
    if any(work.work.kind != "number" for work in works):
        raise Unclear("may be segments of one set or sets of their own")
    reps = [number(work.work.texts[0], mark) for work in works]
    if len(reps) == 2:
        raise Unclear("may be segments of one set, two sides, or repetitions with and without help")
    if reps[1] <= reps[0] * SHORT_OF and _never_rises(reps):
        return "rest_pause"
    raise Unclear("may be segments of one set with a rest, with less load or over parts of the range")


def _never_rises(values: Sequence[float]) -> bool:
    return all(a >= b for a, b in pairwise(values))


# --- sets ---


def _sets(work: Work, told: Told) -> list[list[Piece]]:
    """The sets of one item, each a list of its pieces."""
    if work.group:
        parts = [_work(_with_marks(item, work), (REPS,), told, []) for item in work.group.items]
        return [_segments(parts, work.group.joined, told)] * (work.count or 1)
    if len(work.ranges) > 1:  # 7/7/7 lower/upper/full
        if len(work.ranges) != len(work.work.texts) or work.load and len(work.load.texts) > 1:
            raise Unread("names more or fewer ranges than repetitions")
        parts = [replace(work, work=Values((text,), work.work.kind), ranges=(one,)) for text, one in zip(work.work.texts, work.ranges, strict=True)]
        return [[_piece(part, 0, segment) for segment, part in enumerate(parts, 1)]] * (work.count or 1)
    work, count = _laid_out(work, told)
    return [[_piece(work, place)] for place in range(count)]


def _with_marks(item: Item, work: Work) -> Item:
    """A segment in parentheses with the marks that stand around them."""
    if item.ratings or work.rpe or work.rir or item.has_load() and work.load or len(item.factors) != 1:
        raise Unread("does not say which parts make one set")
    return replace(item, loads=item.loads or work.load, side=item.side or work.side, kind=item.kind or work.kind)


def _laid_out(work: Work, told: Told) -> tuple[Work, int]:
    """The work with one text, or with one for each set, and the number of sets."""
    listed, sign, loads = len(work.work.texts), work.work.between, work.load
    if work.count is None:
        _check_list(work, told)
        count = len(loads.texts) if loads and listed == 1 and loads.between == "/" and len(loads.texts) > 2 else listed
    elif listed == 2 and sign == "/" and len(set(work.work.texts)) == 1 and work.count != 2 and not work.side:  # 3x10/10
        work, count = replace(work, work=Values(work.work.texts[:1], work.work.kind), side="each"), work.count
    elif listed == 1 or listed == work.count and (work.counted and sign != "-" or sign == "/" and listed > 2):
        count = work.count
    else:
        raise _unclear_list(work.work)
    _check_lengths(work, count)
    return work, count


def _unclear_list(values: Values) -> Unclear:
    if values.between == "-" and len(values.texts) == 2:
        return Unclear("gives a range, as a plan does, and not what was done")
    if values.between == " ":
        return Unclear(f'does not say what the number "{values.texts[1]}" is')
    return Unclear(f"does not say of which sets the list {values.between.join(values.texts)} is")


def _check_lengths(work: Work, count: int) -> None:
    for name, values in (("loads", work.load), ("ratings", work.rpe), ("ratings", work.rir)):
        if values and len(values.texts) not in (1, count):
            raise Unread(f"names {len(values.texts)} {name} for {count} {'set' if count == 1 else 'sets'}")
        if values and name == "ratings" and len(values.texts) == 2 and values.texts[1] == str(RPE_MAX):
            raise Unclear(f'may mean one rating out of ten or two ratings by "{"/".join(values.texts)}"')


def _check_list(work: Work, told: Told) -> None:
    """Unclear where a list may be something else: sides, a range, a tempo, or sets and repetitions and a load."""
    values, listed, sign = work.work, len(work.work.texts), work.work.between
    sizes = [number(text, told.mark) if values.kind == "number" else duration_s(text, "s", told.mark) for text in values.texts]
    bare = values.kind == "number" and not work.load and not told.load_given
    if sign == "-" and listed == 2:
        raise _unclear_list(values)
    if listed < 2 or told.sets == listed or work.load and len(work.load.texts) == listed:
        return
    if bare and max(sizes) > LONGEST_LISTED:
        raise Unclear("holds more repetitions than sets in a list have")
    if sign == "-" and bare and max(sizes) <= SMALL and min(sizes) <= TEMPO:
        raise Unclear("may be sets or a tempo")
    times = ALIKE if bare and sign in "/- " else APART
    if bare and not values.word:
        _check_for_loads(values, sizes, times)
    if told.listed and sign == "/":
        return
    if listed == 2:
        _check_two(sizes, sign, bare)
    elif values.kind == "number" and not work.load and not values.word and not _may_be_sets_only(sizes, times):
        raise Unclear(f"may be {listed} sets, or sets and repetitions and a load")


def _check_for_loads(values: Values, sizes: Sequence[float], times: float) -> None:
    """Unclear for "60 8 8 8" and "12.5 8 8", where the first number stands apart as a load does, and for "20 22.5 25"."""
    first, rest = sizes[0], sizes[1:]
    whole = all(size % 1 == 0 and size <= LONG_SET for size in rest)
    if len(rest) > 1 and whole and (first > times * max(rest) or first % 1):
        between = " " if "," in values.texts[0] else ", "
        others = between.join(values.texts[1:])
        raise UnclearBuild(f'may be {len(sizes)} sets, or {len(rest)} sets with a load of {values.texts[0]}: write "{values.texts[0]} x {others}", '
                      f'or "{values.texts[0]}{between}{others} reps"')
    if any(size > MOST_HALVED and size % 1 for size in sizes) or any(size % 1 for size in rest) and not _never_rises(sizes):
        raise Unclear('may list loads: write the load before its repetitions ("60 x 8")')


def _check_two(sizes: list[float], sign: str, bare: bool) -> None:
    if sign == " " and bare:
        raise Unclear("may be two sets, or a load and repetitions")
    if sign == "/" and sizes[0] == sizes[1]:
        raise Unclear("may be two sets or two sides")
    if sign == "/" and (sizes[0] < sizes[1] or sizes[0] > ALIKE * sizes[1]):
        raise Unclear("may be two sets, two sides, a range, or sets and repetitions")


def _may_be_sets_only(sizes: Sequence[float], times: float) -> bool:
    """Whether no step of a list is so large that its numbers may be of different kinds. Small numbers, and many, may go down freely."""
    if _never_rises(sizes):
        return len(sizes) > 3 or max(sizes) <= SMALL or all(a <= times * b for a, b in pairwise(sizes))
    return max(sizes) <= times * min(sizes)


def _sides_paired(parts: list[list[list[Piece]]]) -> list[list[Piece]]:
    """All sets; "L 12 / R 10" is the two sides of one, "3x10 L, 3x8 R" those of three."""
    found = [one for part in parts for one in part]
    if len(parts) == 2 and len(parts[0]) == len(parts[1]) and all(len(one) == 1 for one in found):
        sides = [{one[0].side for one in part} for part in parts]
        if sides in ([{"left"}, {"right"}], [{"right"}, {"left"}]):
            return [[one[0], other[0]] for one, other in zip(*parts, strict=True)]
    return found


def _in_one_unit(found: list[list[Piece]], mark: str) -> list[list[Piece]]:
    """ "10 @ 60, 8 @ 70 kg": a bare load takes the unit that another load of the cell says, where there is one only."""
    texts = {piece.load for one in found for piece in one}
    units = {text: load(text, mark).unit for text in texts}
    said = set(units.values()) - {""}
    if len(said) != 1:
        return found
    unit = said.pop()
    bare = {text for text in texts if number(text, mark) == number(text, mark)}
    return [[piece._replace(load=f"{piece.load} {unit}") if piece.load in bare else piece for piece in one] for one in found]


def _piece(work: Work, place: int, segment: int = 0) -> Piece:
    text = _nth(work.work, place)
    reps, hold = ("", text) if work.work.kind == "hold" else (text, "")
    load_text, rpe, rir = (_nth(values, place) for values in (work.load, work.rpe, work.rir))
    return Piece(reps, hold, load_text, rpe, rir, work.side, "".join(work.ranges), work.kind, segment)


def _nth(values: Values | None, place: int) -> str:
    if values is None:
        return ""
    return values.texts[place if len(values.texts) > 1 else 0]
