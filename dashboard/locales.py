"""Which decimal mark a reader's locale writes, by the data of Unicode's CLDR."""

from __future__ import annotations

from functools import lru_cache

from babel import Locale, UnknownLocaleError
from babel.numbers import get_decimal_symbol

from dashboard.sentences.decimal_mark import COMMA, POINT

LATIN = "latn"  # the digits that we write


@lru_cache(maxsize=256)
def mark_of(locale: str | None) -> str:
    """The decimal mark of a locale as a browser names it (BCP 47): a comma where it writes one with the digits 0 to 9, else a point.

    >>> mark_of("de-DE"), mark_of("en-GB"), mark_of("fr"), mark_of("ar-EG"), mark_of(None), mark_of("no such")
    (',', '.', ',', '.', '.', '.')
    """
    try:
        known = Locale.parse(locale.partition("-u-")[0], sep="-") if locale else None
    except (ValueError, UnknownLocaleError):
        known = None
    if known is None or known.default_numbering_system != LATIN:
        return POINT
    return COMMA if get_decimal_symbol(known, numbering_system=LATIN) == COMMA else POINT
