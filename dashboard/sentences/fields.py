"""What a column of a log may be, in words for the person who brings it in."""

from __future__ import annotations

from etl.told import FIELD_WORDS

NOT_USED = "not used"


def field_words(field: str | None) -> str:
    """The words for a field; for None, that the column is not used."""
    return FIELD_WORDS[field] if field else NOT_USED
