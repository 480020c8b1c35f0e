"""How many targets of the calibration are reached, and how surely."""

from __future__ import annotations

from dashboard.sentences.numbers import counted


def targets_sentence(targets: int, reached: int, near: int, added: int, added_reached: int, other: int | None = None) -> str:
    """near: of those reached, how many by less than their uncertainty; added: targets beside those that were set beforehand;
    other: how many are reached by other athletes.

    >>> targets_sentence(27, 25, 9, 4, 2)[:74]
    '25 of 27 targets are reached, 9 of these 25 by less than their uncertainty'
    >>> targets_sentence(2, 1, 0, 0, 0)
    '1 of 2 targets is reached, with the whole of its 95 % interval.'
    """
    told = f"{reached} of {counted(targets, 'target', 'targets')} {'is' if reached == 1 else 'are'} reached"
    if near:
        told += f", {near} of these {reached} by less than their uncertainty: the figure reaches the target, but not the whole of its 95 % interval"
    elif reached:
        told += f", with the whole of {'its' if reached == 1 else 'their'} 95 % interval{'' if reached == 1 else 's'}"
    if added:
        told += (f". {added} of the {targets} were added to those set beforehand, for parts, repetitions, holds, lifts of one's own body and the present value; "
                 f"{added_reached} of these {added} {'is' if added_reached == 1 else 'are'} reached")
    if other is not None:
        told += f". With as many other athletes, at whom nobody looked while the rules were decided, {other} of {targets} {'is' if other == 1 else 'are'} reached"
    return f"{told}."
