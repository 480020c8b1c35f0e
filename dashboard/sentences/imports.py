"""What became of an import, in words."""

from __future__ import annotations

from collections.abc import Mapping

from dashboard.sentences.numbers import counted


def taken_back(sets: int, held: Mapping[int, int]) -> str:
    """sets: that went with the import. held: import -> how many of its sets stay, because that one holds them too."""
    went = f"{counted(sets, 'set', 'sets')} went."
    if not held:
        return went
    others = ", ".join(f"{number} ({counted(count, 'set', 'sets')})" for number, count in held.items())
    return f"{went} What another import holds as well stays, under import {others}; take that back too if it should go."
