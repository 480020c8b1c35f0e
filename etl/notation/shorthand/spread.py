"""Marks of a shorthand that stand for more than the item beside them: "10, 8, 6 @ 60 kg", "20 kg, 3x10", "3x10, RIR 2"."""

from __future__ import annotations

from collections.abc import Sequence

from etl.notation.shorthand.forms import Chain, Item
from etl.notation.numbers import number
from etl.notation.shorthand.roles import LONG_SET, SEGMENTED, Told
from etl.notation.shorthand.scan import Unclear, Unread


def spread(chains: list[Chain], between: list[str], told: Told) -> list[Chain]:
    """The chains with each mark at the items that it speaks of. Raises Unclear and Unread."""
    chains, between = _with_lone_marks(chains, between, told)
    _check_signs(chains, between)
    if told.single and len(chains) == 1:
        _split_pair(chains[0].items, told)
    for chain in chains:
        _share(chain.items, chain.joined)
    _share([chain.items[-1] for chain in chains], "")
    return chains


def _is_lone(chain: Chain) -> bool:
    return len(chain.items) == 1 and chain.items[0].is_marks()


def _may_be_loads(item: Item, sign: str, mark: str) -> bool:
    """ "70/65/60 kg" is no repetitions with a load."""
    if len(item.factors) != 1 or item.factors[0].word or item.factors[0].kind != "number":
        return False
    return sign in ("/", item.factors[0].between) or any(number(text, mark) > LONG_SET for text in item.factors[0].texts)


def _with_lone_marks(chains: list[Chain], between: list[str], told: Told) -> tuple[list[Chain], list[str]]:
    """Marks between two commas, put to the work that they belong to: the only one, or all where a load stands at an end."""
    lone = [chain.items[0] for chain in chains if _is_lone(chain)]
    rest = [chain for chain in chains if not _is_lone(chain)]
    if not lone:
        return chains, between
    if len(rest) == 1:
        for marks in lone:
            _add_marks(rest[0].items[-1], marks)
        if rest[0] is chains[0] and lone[0].loads and _may_be_loads(rest[0].items[-1], between[0], told.mark):
            raise Unclear("may name several loads, or repetitions and a load")
        return rest, []
    in_front, only_a_load = lone[0] is chains[0].items[0], lone[0] == Item(loads=lone[0].loads)
    at_an_end = len(lone) == 1 and (in_front or lone[0] is chains[-1].items[0])
    items = [item for chain in rest for item in chain.items]
    if not at_an_end or not only_a_load or any(item.has_load() for item in items):
        raise Unread("does not say to which set each part belongs")
    for item in items:
        item.loads = lone[0].loads
    return rest, between[1:] if in_front else between[:-1]


def _add_marks(item: Item, marks: Item) -> None:
    for name in ("loads", "side", "kind", "ranges"):
        if getattr(item, name) and getattr(marks, name):
            raise Unread("says one thing twice")
        setattr(item, name, getattr(item, name) or getattr(marks, name))
    if set(item.ratings) & set(marks.ratings):
        raise Unread("says one thing twice")
    item.bare += marks.bare
    item.ratings |= marks.ratings


def _check_signs(chains: list[Chain], between: list[str]) -> None:
    """One sign may not stand both between the sets and within a list."""
    if len(chains) == 1:
        return
    items = [item for chain in chains for item in chain.items]
    lists = {values.between for item in items for values in (*item.factors, *item.bare, *([item.loads] if item.loads else [])) if values.between}
    if lists & set(between) or len(set(between)) > 1:
        raise Unclear("does not say where one set ends and the next begins")
    if any(item.heads for item in items):
        raise Unclear("does not say how many of its sets are warm-ups")
    if any(item.ranges or item.kind in SEGMENTED for chain in chains if not chain.joined for item in chain.items):
        raise Unclear("may be segments of one set or sets of their own")


def _split_pair(items: list[Item], told: Told) -> None:
    """ "60/10" in the place of one set: a load and repetitions, and no list."""
    item = items[0]
    if len(items) == 1 and len(item.factors) == 1 and not item.has_load() and not told.load_given:
        values = item.factors[0]
        if len(values.texts) == 2 and values.kind == "number" and values.between in ("/", ",", " ") and not values.word:
            item.factors = [values._replace(texts=(text,), between="") for text in values.texts]


def _all_load_first(items: Sequence[Item]) -> bool:
    """ "60x10, 70 kg x 8": the place of the load shows that the bare numbers there are loads too."""
    named = [item for item in items if item.has_load()]
    alike = len({len(item.factors) for item in items}) == 1
    return alike and not any(item.loads or item.bare for item in items) and all(item.factors[0].kind == "load" for item in named)


def _share(items: Sequence[Item], joined: str) -> None:
    """A load said once behind the last item, or with the first segment, is that of all of them; so is a side of segments."""
    if len(items) < 2:
        return
    first, last, have = items[0], items[-1], [item.has_load() for item in items]
    if have == [False] * (len(items) - 1) + [True] and (last.loads or last.bare):
        for item in items[:-1]:
            item.loads, item.bare = last.loads, list(last.bare)
            item.ratings = item.ratings or ({} if joined else dict(last.ratings))
    elif joined and have[0] and not any(have[1:]):
        own = next((values for values in first.factors if values.kind == "load"), first.loads)
        for item in items[1:]:
            item.loads, item.bare = own, list(first.bare)
    elif any(have) and not all(have) and not _all_load_first(items):
        raise Unclear("names a load for some of its sets only")
    if joined and last.side and not any(item.side for item in items[:-1]):
        for item in items[:-1]:
            item.side = last.side
