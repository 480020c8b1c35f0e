"""The loads in the house, which are said as what one hand holds: the next one up. `etl.tables.held_in_hands` tells which exercises they are for."""

from __future__ import annotations

from collections.abc import Iterable

PLACES = 4  # decimals of a kilogram in which a load of the log and one of the house are the same


def next_up(load: float, loads: Iterable[float]) -> float | None:
    """The lightest of the loads that is heavier; None where none is.

    >>> next_up(8.0, [12.0, 10.0, 6.0]), next_up(12.0, [12.00001, 8.0])
    (10.0, None)
    """
    return min((one for one in loads if round(one, PLACES) > round(load, PLACES)), default=None)
