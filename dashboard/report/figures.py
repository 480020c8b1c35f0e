"""The pictures of a client's report, each with what it shows as its title, its text alternative and a line on how to read it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import islice
from math import ceil

import altair as alt
import pandas as pd

from dashboard.charts import ribbon, shelf, stair
from dashboard.look import Look
from dashboard.queries import balance, presented
from dashboard.queries import stair as stair_of
from dashboard.queries import week as week_of
from dashboard.queries.kept import Store
from dashboard.sentences.ribbon import Ribbon
from dashboard.sentences.plain_parts import places, with_place
from dashboard.sentences.stair import Stair, stair_in_unit
from dashboard.sentences.units import in_unit
from dashboard.sentences import client as say

PARTS_SHOWN, STEPS_SHOWN = 4, 4
STAIRS_TRIED = 10  # [D] the first ones are most worth showing
# Hard sets that an axis grows by, so that it is as long next month unless much more is done.
PLANK_STEP, TILE_STEP = 8, 20
READ_RIBBON = "A tile is a week, its fill the hard sets that were done. The outline is what was planned, or dotted what is usual."
READ_STAIR = "A board is a step, the harder one above. A dot is the best set of a session: the higher, the nearer to the next step; the dotted line is what that asks{met}. Shaded: how sure. Dashed: the next step."
MET = ", and a diamond reached it"
READ_SHELF = "A full block is a hard set, a hatched one counts half. Shaded: the aim. The line above: how sure the number is. At the right: the last eight weeks."


@dataclass(frozen=True)
class Figure:
    """title: what it shows. words: its text alternative. reading: how to read it."""

    title: str
    chart: alt.TopLevelMixin
    words: str
    reading: str


def figures(store: Store, athlete: str, week: date, weeks: int, unit: str, colours: Look, lately: Ribbon, acted_on: Sequence[str],
            which: str | None = None) -> tuple[Figure, ...]:
    """At most three, over `weeks` weeks. unit: of loads, kg or lb. lately: these weeks with everything that was decided in them. acted_on: the subjects
    of next week's changes, in their order. which: the stair that was chosen, by its id; None for the one that is shown by itself.
    """
    found = (_ribbon(store, athlete, week, weeks, colours, lately), _stair(store, athlete, week, weeks, unit, colours, which), _shelf(store, athlete, week, colours, acted_on))
    return tuple(one for one in found if one)


def _ribbon(store: Store, athlete: str, week: date, weeks: int, colours: Look, of: Ribbon) -> Figure | None:
    """The weeks, with the decisions that the client may see; what followed of one is the coach's to tell, and an illness is nobody's."""
    if of.weeks.empty:
        return None
    decided = presented.decisions(store, athlete, week, weeks)["decision_id"].tolist()
    pins = of.pins[of.pins["decision_id"].isin(decided)]
    pins = pins.assign(number=range(1, len(pins) + 1))
    of = replace(of, pins=pins, weeks=of.weeks.assign(word=of.weeks["word"].map(say.week_word)))
    chart = ribbon.ribbon(of, colours, TILE_STEP * ceil(ribbon.top_of(of.weeks) / TILE_STEP))
    words = ribbon.in_words(replace(of, pins=pins.head(0)))
    title = say.over_all(of.weeks["done"].sum(), of.weeks["planned"].sum() if of.weeks["planned"].notna().all() else None, len(of.weeks))
    return Figure(title, chart, " ".join([words, *(f"{row.number}: {row.text}" for row in pins.itertuples())]), READ_RIBBON)


def _stair(store: Store, athlete: str, week: date, weeks: int, unit: str, colours: Look, which: str | None) -> Figure | None:
    """The stair that was chosen, where something of it was done; else the first one that is low enough for half a sheet, else the lowest."""
    of = stair_of.stair(store, athlete, which, week, weeks) if which else None
    of = of or _by_itself(store, athlete, week, weeks)
    if of is None:
        return None
    of = stair_in_unit(of, unit)
    return Figure(stair.finding(of), stair.stair(of, colours), in_unit(stair.in_words(of), unit), READ_STAIR.format(met=MET * bool((of.sessions["near"] >= 1).any())))


def _by_itself(store: Store, athlete: str, week: date, weeks: int) -> Stair | None:
    """Not one that hurt lately, unless there is no other."""
    known, hurting = list(stair_of.stairs(store, athlete, week, weeks)), stair_of.hurting(store, athlete, week)
    every = (stair_of.stair(store, athlete, which, week, weeks) for which in known)
    found = list(islice((one for one in every if not stair_of.hurts(one, hurting)), STAIRS_TRIED))
    found = found or [stair_of.stair(store, athlete, which, week, weeks) for which in known[:STAIRS_TRIED]]
    return min(found, key=lambda one: max(len(one.steps), STEPS_SHOWN), default=None)


def _shelf(store: Store, athlete: str, week: date, colours: Look, acted_on: Sequence[str]) -> Figure | None:
    """The parts in focus that are nearest to the low end of their aim, the shortest first."""
    found, easy = balance.shown(store, athlete, week)
    focus = found[found["in_focus"].astype(bool)]
    if focus.empty:
        return None
    shown = shelf.shortest_first(focus).head(PARTS_SHOWN).assign(fill="")
    history = balance.history(store, athlete, week)
    chart = shelf.shelf(shown, history, colours, _reach(shown, history))
    beside = f"Of {len(focus)} parts the {len(shown)} with least to spare are shown." if len(shown) < len(focus) else ""
    short, above = (focus[focus["status"] == status].set_index("part")["name"] for status in ("below", "above"))
    done = week_of.done(store, athlete, week)
    indirect = done["focus_parts"] - done["covered"] - len(short) if easy is None else 0
    title = say.EASY_WEEK if easy is not None else say.shares(
        done["focus_parts"], done["covered"], [with_place(part, short[part]) for part in acted_on if part in short.index], above.tolist(), bool(focus["dose"].any()))
    beside = [beside, say.indirect(indirect) if indirect else ""]
    where = places(zip(shown["part"], shown["name"], strict=True))
    return Figure(title, chart, shelf.in_words(shown, week, "how sure that is"), " ".join(filter(None, [READ_SHELF, *beside, where])))


def _reach(parts: pd.DataFrame, history: pd.DataFrame) -> float:
    """Hard sets that the planks are long: what the weeks shown need, in steps."""
    own = history[history["part"].isin(parts["part"])]
    return PLANK_STEP * ceil((max(parts[["dose", "high", "usual", "band_high"]].max(axis=None), own[["dose", "high"]].max(axis=None)) + 0.5) / PLANK_STEP)
