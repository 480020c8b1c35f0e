"""Turns of phrase that sentences on what was taken for granted share, so that the places that order or reword them know them by more than a copy of their words."""

from __future__ import annotations

LOOK = "LOOK: "  # how a sentence begins that a person has to look at
NO_LOADS = "so every load is empty"  # in each sentence that says so


def otherwise(option: str) -> str:
    """How a sentence ends that an option of the command would make another one.

    >>> otherwise("unit")
    '(--unit says otherwise)'
    """
    return f"(--{option} says otherwise)"


def which(field: str) -> str:
    """How a sentence asks for the column of a field.

    >>> which("load")
    'say which: --columns "load=HEADER"'
    """
    return f'say which: --columns "{field}=HEADER"'
