"""Who is in the store, and who is meant by a name that is written a little otherwise."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable

import duckdb
from rapidfuzz import fuzz, process

from etl.refusal import Refusal

NEAREST = 5  # [D] names that are told where one is not known: as many as are read
LIKENESS_MIN = 50  # [D] of 100: below it a name is no slip of the other


def athletes(con: duckdb.DuckDBPyConnection) -> list[str]:
    """Every athlete by name, also one without a set."""
    return [name for (name,) in con.execute("select athlete from athletes order by athlete").fetchall()]


def folded(name: str) -> str:
    """The letters and digits of a name in small letters, without accents, apostrophes, hyphens and blanks.

    >>> folded("Anne-Sophie O’Neill") == folded("anne sophie o'neill"), folded("Zoë")
    (True, 'zoe')
    """
    return "".join(letter for letter in unicodedata.normalize("NFKD", name).casefold() if letter.isalnum())


def meant(name: str, known: Iterable[str]) -> str | None:
    """The one of `known` that is the name, else the only one that is it after folding; None where there is none or more than one."""
    known = list(known)
    alike = [one for one in known if folded(one) == folded(name)]
    return name if name in known else alike[0] if len(alike) == 1 and folded(name) else None


def nearest(name: str, known: Iterable[str]) -> list[str]:
    """Up to NEAREST of `known` that are like the name, the likest first."""
    found = process.extract(name, list(known), scorer=fuzz.WRatio, processor=folded, limit=NEAREST, score_cutoff=LIKENESS_MIN)
    return [one for one, _, _ in found]


def suggestion(name: str | None, known: list[str]) -> str:
    """What to write instead of a name: the nearest ones, all where they are few, else how many there are. name: None where none was given."""
    near = nearest(name, known) if name else []
    if len(known) <= NEAREST:
        return f"Known are: {', '.join(known) or 'none yet'}."
    return f"Perhaps: {', '.join(near)}." if near else f"Known are {len(known)}, such as {', '.join(known[:NEAREST])}."


def nobody(name: str, known: list[str], where: str = "", more: str = "") -> Refusal:
    """What is said of a name that the store does not have. where: which field or option holds it; more: what else can be done."""
    return Refusal(f"There is no athlete '{name}'", where, suggestion(name, known) + more)


def check(con: duckdb.DuckDBPyConnection, name: str, where: str = "") -> None:
    """Raises Refusal for an athlete that the store does not have."""
    if name not in (known := athletes(con)):
        raise nobody(name, known, where)
