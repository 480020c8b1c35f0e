"""What the numbers of a shorthand stand for: sets, repetitions or a load. Decided over all items of a cell at once."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise, permutations
from typing import NamedTuple

from etl.notation.numbers import number
from etl.notation.shorthand.forms import Item
from etl.notation.shorthand.scan import Unclear, UnclearBuild, Unread, Values

FEW_SETS = 10  # [D] "10x8" is ten sets; a larger number before an x may be a load
MOST_SETS = 30  # [D] more sets in one cell are a slip
LONG_SET = 30  # [D] a bare number above it beside another one may be a load
MOST_REPS = 500  # [D] repetitions of one set, and of all sets of a cell that are longer than LONG_SET
HEAVIEST = 1000  # [D] in kg or lb
SETTLED_REPS = 100  # [D] sets of a bare pair with more repetitions in all may as well be repetitions at a load: 8x20
RPE_MAX, RPE_STEP = 10, 0.5  # [C] the scale from 1 to 10 is written in halves
LIGHTEST_DROP = 5  # [D] "3x10 + 1x8" is no drop from 3 kg to 1 kg
SEGMENTED = ("drop", "rest_pause", "cluster")  # kinds of set that have segments
SETS, REPS, LOAD = "sets", "reps", "load"
Order = tuple[str, ...]
# [C] The orders in which the trade writes three factors; others are read only where words say which is which. Common practice, no source.
_USUAL = ((SETS, REPS, LOAD), (LOAD, REPS, SETS), (SETS, LOAD, REPS))


class Told(NamedTuple):
    """What stands outside the cell and helps to read it."""

    mark: str = "."
    single: bool = False  # the cell is one set
    load_given: bool = False  # the row has its load elsewhere
    load_first: bool | None = None  # which of two bare numbers is the load
    sets: int | None = None  # how many sets the row says
    kind: str = ""  # the row's own kind of set
    listed: bool = False  # in its column a slash stands between sets


class _Products(NamedTuple):
    """The items that multiply, and what is known of all of them."""

    chains: Sequence[Sequence[Item]]
    told: Told
    joined: str  # + or > where they are segments of a set
    in_cell: bool  # a load is named beside them

    @property
    def items(self) -> list[Item]:
        return [item for chain in self.chains for item in chain]

    @property
    def known(self) -> bool:
        return self.in_cell or self.told.load_given


def order_of(chains: Sequence[Sequence[Item]], told: Told, joined: str) -> Order:
    """The role of each factor of the items, which have the same number of them, two at least.

    Raises Unclear where two orders fit and Unread where none does.
    """
    in_cell = any(_names_load(item, told.mark) for chain in chains for item in chain)
    products = _Products(chains, told, joined, in_cell)
    lengths = {len(item.factors) for item in products.items}
    if len(lengths) > 1 or max(lengths) > 3:
        raise Unread("is not written in one form")
    return _two(products) if lengths == {2} else _three(products)


def may_rate(values: Values, mark: str) -> bool:
    """Whether bare numbers behind @ may be RPE: "8", "7-8"."""
    ends = [number(end, mark) for text in values.texts for end in text.split("-")]
    return all(1 <= end <= RPE_MAX and end % RPE_STEP == 0 for end in ends)


def _names_load(item: Item, mark: str) -> bool:
    """Whether a load that cannot be a rating stands beside the factors."""
    return bool(item.loads) or any(not may_rate(values, mark) for values in item.bare)


def can_be(values: Values, role: str, mark: str) -> bool:
    """Whether the factor may play the role by its kind, its word and the widest sizes."""
    if values.kind == "load":
        return role == LOAD
    if values.kind in ("hold", "group"):
        return role == REPS
    if role == REPS:
        return values.word in ("", REPS) and _in_steps(values, 0.5, mark) and _at_most(values, MOST_REPS, mark)
    if role == LOAD:
        return not values.word and _at_most(values, HEAVIEST, mark)
    return len(values.texts) == 1 and values.word in ("", SETS) and _in_steps(values, 1, mark) and number(values.texts[0], mark) >= 1


def _at_most(values: Values, limit: float, mark: str) -> bool:
    return all(number(text, mark) <= limit for text in values.texts)


def _in_steps(values: Values, step: float, mark: str) -> bool:
    return all(number(text, mark) % step == 0 for text in values.texts)


def _is_said(values: Values) -> bool:
    """Whether the factor is work by its own word or sign: 10 reps, 45 s."""
    return values.kind in ("hold", "group") or values.word == REPS


def _is_usual_work(values: Values, mark: str) -> bool:
    """Whether it is work by its word or may be the repetitions of a set of no unusual length."""
    return _is_said(values) or _in_steps(values, 1, mark) and _at_most(values, LONG_SET, mark)


# --- two factors ---


def _two(products: _Products) -> Order:
    fitting = [order for order in ((SETS, REPS), (LOAD, REPS), (REPS, LOAD), (REPS, SETS)) if _fits(products, order)]
    broken = [order for order in ((LOAD, REPS), (REPS, LOAD)) if order in fitting and _are_broken(products, order)]
    if len(broken) == 1 and {(LOAD, REPS), (REPS, LOAD)} <= set(fitting):  # of "22.5 x 8" the load is the broken one
        fitting.remove(broken[0])
    if (SETS, REPS) in fitting and _is_settled(products):
        return SETS, REPS
    long = not all(_is_usual_work(item.factors[1], products.told.mark) for item in products.items)
    if fitting == [(SETS, REPS)] and products.told.load_given and not products.in_cell and long:
        raise Unclear("may be sets, or repetitions at the load that the row names again")
    if len(fitting) == 1:
        return fitting[0]
    raise _no_order(products, fitting)


def _are_broken(products: _Products, order: Order) -> bool:
    works = [item.factors[order.index(REPS)] for item in products.items]
    return not all(_is_said(work) or _in_steps(work, 1, products.told.mark) for work in works)


def _no_order(products: _Products, fitting: list[Order]) -> Exception:
    first, second = (values.texts[0] for values in products.items[0].factors)
    if not fitting and products.joined:
        return Unclear("may be segments of one set or sets of their own")
    if not fitting:
        return Unread(f"fits no reading of {first} x {second} as sets, repetitions or load")
    if len(fitting) == 2 and first == second:
        return Unclear(f"does not say what the two numbers {first} are")
    said = {(SETS, REPS): f"{first} sets of {second}", (LOAD, REPS): f"{second} at a load of {first}", (REPS, LOAD): f"{first} at a load of {second}",
            (REPS, SETS): f"{second} sets of {first}"}
    return (UnclearBuild if {(SETS, REPS), (LOAD, REPS)} <= set(fitting) else Unclear)("may be " + " or ".join(said[order] for order in fitting))


def _fits(products: _Products, order: Order) -> bool:
    mark = products.told.mark
    if not all(can_be(values, role, mark) for item in products.items for values, role in zip(item.factors, order, strict=True)):
        return False
    return _counts_fit(products, order) if SETS in order else _loads_fit(products, order)


def _counts_fit(products: _Products, order: Order) -> bool:
    """Sets and repetitions in this order."""
    told, mark = products.told, products.told.mark
    counts = [item.factors[order.index(SETS)] for item in products.items]
    works = [item.factors[order.index(REPS)] for item in products.items]
    said = all(count.word == SETS for count in counts)
    if products.joined == ">" or order == (REPS, SETS) and not (said or all(map(_is_said, works))):
        return False
    numbers = [number(count.texts[0], mark) for count in counts]
    if told.single and (numbers != [1] or not products.known) or not said and sum(numbers) > MOST_SETS:
        return False
    long = [(n, work) for n, work in zip(numbers, works, strict=True) if not _is_said(work) and not _at_most(work, LONG_SET, mark)]
    # Where the load is named in the cell, a long set is no load.
    total = sum(n * max(number(text, mark) for text in work.texts) for n, work in long)
    return products.in_cell or total <= MOST_REPS and all(_in_steps(work, 1, mark) for _, work in long)


def _loads_fit(products: _Products, order: Order) -> bool:
    """A load and repetitions in this order; of segments the loads go down."""
    told = products.told
    bare = [item for item in products.items if all(values.kind == "number" and not values.word for values in item.factors)]
    if bare and told.load_first not in (None, order[0] == LOAD):
        return False
    if not all(_is_load(item, order, products) for item in products.items):
        return False
    for chain in products.chains if products.joined else ():
        loads = [number(item.factors[order.index(LOAD)].texts[0], told.mark) for item in chain if item in bare]
        if any(a <= b for a, b in pairwise(loads)):
            return False
    return True


def _is_load(item: Item, order: Order, products: _Products) -> bool:
    """Whether the factor in the load's place may be one, beside the repetitions in theirs."""
    mark, load, work = products.told.mark, item.factors[order.index(LOAD)], item.factors[order.index(REPS)]
    if load.kind == "load":
        return True
    # "45 s x 3" is three sets, as far as 3 can be a count of sets.
    counts = _is_said(work) and order[0] == REPS and _at_most(load, FEW_SETS, mark)
    usual = _is_said(work) or (_at_most(work, LONG_SET, mark) if products.told.load_first is None else _in_steps(work, 1, mark))
    return usual and not counts and not products.known and load.between in ("", "/")


def _is_settled(products: _Products) -> bool:
    """Few sets of no unusual length are sets and repetitions, although a light load would fit as well.

    Of several pairs the repetitions may not rise: "8x20, 6x25" are loads that do.
    """
    mark, limit = products.told.mark, LIGHTEST_DROP if products.joined else FEW_SETS
    counts, works = ([item.factors[place] for item in products.items] for place in (0, 1))
    if products.in_cell or all(count.word == SETS for count in counts):
        return True
    if not all(_is_usual_work(work, mark) for work in works):
        return False
    if products.known or all(map(_is_said, works)):
        return products.known or all(_at_most(count, limit, mark) for count in counts)
    numbers = [(number(count.texts[0], mark), max(number(text, mark) for text in work.texts)) for count, work in zip(counts, works, strict=True)]
    few = all(n <= limit for n, _ in numbers) and sum(n for n, _ in numbers) <= FEW_SETS
    return few and sum(n * reps for n, reps in numbers) <= SETTLED_REPS and all(a[1] >= b[1] for a, b in pairwise(numbers))


# --- three factors ---


def _three(products: _Products) -> Order:
    mark = products.told.mark
    if products.in_cell or products.told.load_given and not all(any(values.kind == "load" for values in item.factors) for item in products.items):
        raise Unread("multiplies three numbers beside a load")
    fitting = [order for order in permutations((SETS, REPS, LOAD)) if all(_fits_three(item, order, products.told) for item in products.items)]
    usual = [order for order in fitting if all(_is_usual(item, order, mark) for item in products.items)]
    if len(usual) == 1:
        return usual[0]
    shown = " x ".join(values.texts[0] for values in products.items[0].factors)
    raise (Unclear if fitting else Unread)(f"does not say which of {shown} are sets, repetitions and load")


def _fits_three(item: Item, order: Order, told: Told) -> bool:
    said = dict(zip(order, item.factors, strict=True))
    if not all(can_be(values, role, told.mark) for role, values in said.items()) or not _is_usual_work(said[REPS], told.mark):
        return False
    count, load = number(said[SETS].texts[0], told.mark), said[LOAD]
    if told.single and count != 1 or count > FEW_SETS and not said[SETS].word:
        return False
    # A load in front has to be above every count of repetitions, one at the end above every count of sets.
    least = LONG_SET if order[0] == LOAD else FEW_SETS
    return load.kind == "load" or not _in_steps(load, 1, told.mark) or not _at_most(load, least, told.mark)


def _is_usual(item: Item, order: Order, mark: str) -> bool:
    said = dict(zip(order, item.factors, strict=True))
    if said[SETS].word or _is_said(said[REPS]) or order == (SETS, REPS, LOAD):
        return True
    if order not in _USUAL:
        return False
    count, work = number(said[SETS].texts[0], mark), number(said[REPS].texts[0], mark)
    return work >= count if order[0] == LOAD else count <= work and said[LOAD].kind == "load"
