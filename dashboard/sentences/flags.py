"""Flags that are not told one by one: how many of each kind."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from dashboard.sentences.numbers import counted, listed, number, together

KINDS = {
    "large_spike": ("large spike", "large spikes"), "spike": ("spike", "spikes"), "session_spike": ("session spike", "session spikes"), "climb": ("climb", "climbs"),
    "return": ("return", "returns"), "new_area": ("new area", "new areas"), "declining": ("decline", "declines"), "plateau": ("plateau", "plateaus"),
    "below_band": ("part below its band", "parts below their bands"), "side_difference": ("side difference", "side differences"),
    "first_exposure": ("exercise that is new or back", "exercises that are new or back"), "check_entry": ("entry to check", "entries to check"),
}


def more(counts: Mapping[str, int]) -> str:
    """Kind -> how many flags of it are not told one by one.

    >>> more({"plateau": 4, "side_difference": 1}), more({"first_exposure": 1})
    ('5 more: 4 plateaus and 1 side difference', '1 more: 1 exercise that is new or back')
    """
    return f"{number(sum(counts.values()))} more: {together([counted(count, *KINDS[kind]) for kind, count in counts.items()])}"


def standing_still(names: Sequence[str]) -> str:
    """Many plateaus in one line; the reason of each stands with its trend.

    >>> standing_still(["push-up", "lats", "plank"])
    'Standing still: push-up, lats and plank. Each with its trend and its reason on the page Strength.'
    """
    return f"Standing still: {listed(names)}. Each with its trend and its reason on the page Strength."


def falling(names: Sequence[str]) -> str:
    """Many declines in one line.

    >>> falling(["push-up", "lats", "plank"])
    'Falling: push-up, lats and plank. Each with its trend and its reason on the page Strength.'
    """
    return f"Falling: {listed(names)}. Each with its trend and its reason on the page Strength."


def apart(message: str) -> tuple[str, str]:
    """A flag's message as what it is about and what is said of it.

    >>> apart("Lats: plateau. No gain."), apart("Nothing of the kind.")
    (('Lats', 'plateau. No gain.'), ('Nothing of the kind.', ''))
    """
    about, _, said = message.partition(": ")
    return about, said
