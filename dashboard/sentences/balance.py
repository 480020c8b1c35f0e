"""Parts and sides in words."""

from __future__ import annotations

from dashboard.sentences.numbers import listed, number, sets


def below_band(part: str, mean: float, low: float, weeks: int) -> str:
    """A part in focus whose mean stayed under its band at two looks running."""
    return (f"{part[0].upper() + part[1:]}: {sets(mean)} a week over the last {weeks} full weeks, under the low end of {number(low)} "
            "at this week's end and the one before.")


def under_bands(parts: list[str]) -> str:
    """Many parts under their bands, in one line."""
    return f"Under the low end of their bands at this week's end and the one before, over four full weeks: {listed(parts)}."


def side_difference(exercise: str, weaker: str, difference: float, sessions: int) -> str:
    """A difference between the sides that lasts; a difference, nothing more."""
    return (f"{exercise[0].upper() + exercise[1:]}: the {weaker} side is {number(abs(difference), 0)} % behind in {sessions} sessions over four weeks or more. "
            "It is a difference, not a diagnosis; matching the weaker side's repetitions would hide it.")
