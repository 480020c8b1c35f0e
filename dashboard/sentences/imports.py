"""What became of an import, in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from dashboard.sentences.numbers import counted, listed
from etl.told import otherwise, which

# What a sentence of the import says of the command's options, and the same on the page, where the columns stand below and the rest above.
ON_THE_PAGE = {
    otherwise("columns"): "(the choices below say otherwise)", **dict.fromkeys(map(otherwise, ("unit", "day-first", "month-first")), "(the field above says otherwise)"),
    which("load"): "choose “load” for it below", which("reps"): "choose “repetitions” for it below",
}


def taken_back(sets: int, held: Mapping[int, int]) -> str:
    """sets: that went with the import. held: import -> how many of its sets stay, because that one holds them too."""
    went = f"{counted(sets, 'set', 'sets')} went."
    if not held:
        return went
    others = ", ".join(f"{number} ({counted(count, 'set', 'sets')})" for number, count in held.items())
    return f"{went} What another import holds as well stays, under import {others}; take that back too if it should go."


def stored(import_id: int, sets: int, names: int, rows: int) -> str:
    """What was stored, and what of it waits. names: exercises without a match; rows: set aside.

    >>> stored(3, 120, 2, 0)
    '120 sets stored as import 3. The weeks are worked out. 2 exercises of it wait for a match: see What waits.'
    """
    waits = [text for count, text in ((names, f"{counted(names, 'exercise', 'exercises')} of it {'waits' if names == 1 else 'wait'} for a match"),
                                      (rows, f"{counted(rows, 'row', 'rows')} of it {'was' if rows == 1 else 'were'} set aside")) if count]
    return f"{counted(sets, 'set', 'sets')} stored as import {import_id}. The weeks are worked out." + (f" {listed(waits)}: see What waits." if waits else "")


def on_the_page(text: str) -> str:
    """A sentence on what was taken for granted, with the page's way to say otherwise in the place of an option of the command.

    >>> on_the_page("columns read as was said of an earlier file with this header (--columns says otherwise): no column as the load")
    'columns read as was said of an earlier file with this header (the choices below say otherwise): no column as the load'
    """
    for option, way in ON_THE_PAGE.items():
        text = text.replace(option, way)
    return text


def waiting(name: str, sets: int, like: Sequence[str]) -> str:
    """An exercise that the catalogue lacks, with what it may be. like: names of exercises.

    >>> waiting("Calf raise", 1, ["standing calf raise", "seated calf raise"]), waiting("Pelican", 12, [])
    ('Calf raise, 1 set: perhaps standing calf raise or seated calf raise', 'Pelican, 12 sets')
    """
    perhaps = " or ".join(filter(None, [", ".join(like[:-1]), *like[-1:]]))
    return f"{name}, {counted(sets, 'set', 'sets')}" + f": perhaps {perhaps}" * bool(perhaps)
