"""The loads in the house, which are said as what one hand holds: which exercises they are for, and the next one up."""

from __future__ import annotations

from collections.abc import Collection, Iterable

HELD = frozenset({"dumbbell", "dumbbells", "kettlebell", "kettlebells"})
UNLOADED = frozenset({"bodyweight", "bench", "box", "rack", "ball", "towel"})  # what stands beside a held thing and has no load of its own
PLACES = 4  # decimals of a kilogram in which a load of the log and one of the house are the same


def held_in_hand(per_hand: bool, options: Collection[Collection[str]]) -> bool:
    """Whether an exercise's load is what hands hold: one of a pair, or one dumbbell or kettlebell alone. options: the things of each way to do it.

    Where a barbell, a machine, a cable, a band or a plate would do as well, nobody knows what a load was lifted with, and a machine's next step is not
    in the house: such an exercise hears nothing of it.

    >>> held_in_hand(True, [{"dumbbells"}]), held_in_hand(False, [{"dumbbell", "bench"}, {"kettlebell"}])
    (True, True)
    >>> held_in_hand(False, [{"machine"}, {"dumbbell"}]), held_in_hand(False, [{"barbell", "bench"}]), held_in_hand(False, [{"bodyweight"}])
    (False, False, False)
    """
    return per_hand or (any(HELD & set(option) for option in options) and all(set(option) <= HELD | UNLOADED for option in options))


def next_up(load: float, loads: Iterable[float]) -> float | None:
    """The lightest of the loads that is heavier; None where none is.

    >>> next_up(8.0, [12.0, 10.0, 6.0]), next_up(12.0, [12.00001, 8.0])
    (10.0, None)
    """
    return min((one for one in loads if round(one, PLACES) > round(load, PLACES)), default=None)
