"""The shelf: a plank for each part, a block for each hard set, and a dashed slot for what is missing.

A full block is a direct set; a narrow hatched one is an indirect set, which counts half. Shaded: the band, with a
notch at its low end. The line above the blocks is how sure the dose is, the triangle what is usual. At the right,
the last weeks, each with its range as an upright line, and the band's low end as a line across. All x positions are hard sets; y is in pixels, from the top.
"""

from __future__ import annotations

from collections.abc import Callable

import altair as alt
import pandas as pd
import pyarrow as pa

from dashboard.charts import shelf_rows
from dashboard.charts.picked import frame, pickable
from dashboard.sentences.dose import between, not_judged
from dashboard.sentences.grammar import plural
from dashboard.sentences.numbers import day, few, number
from dashboard.look import Look, finish, layered

READING = (
    "At the right of a name: hard sets this week, of the band. A full block is one direct set; a narrow hatched block is an "
    "indirect set, which counts half. Shaded is the band, with a notch at its low end; a dashed slot is what is missing. The line above the blocks is how sure the number is, the triangle "
    "what is usual. At the right: the last eight weeks, each with an upright line for how sure it is, and a line across at the band’s low end."
)


def shelf(parts: pd.DataFrame, history: pd.DataFrame, colours: Look, reach: float | None = None,
          headings: bool = False, picked: str | None = None) -> alt.LayerChart:
    """The shelf of `parts` (kept_parts rows with `name`, `fill`), in their order; history: part, week, dose, low, high.

    reach: the hard sets that a plank is long; shelves side by side share it. headings: name each muscle above
    its parts. picked: the part that is picked, '' for none; None where parts cannot be picked. Raises ValueError without a part.
    """
    if parts.empty:
        raise ValueError("a shelf needs at least one part")
    drawn = shelf_rows.lay_out(parts, history, reach or shelf_rows.plank_length(parts), headings)
    scales = _Scales(drawn)
    layers = [
        scales.framed(picked, colours) if picked else None,
        scales.boxes("bands", fill=colours.band), scales.boxes("planks", fill=colours.plank),
        scales.boxes("direct", fill=colours.done, stroke=colours.paper, strokeWidth=1.5, cornerRadius=3),
        scales.boxes("indirect", fill=colours.pale, stroke=colours.paper, strokeWidth=1.5, cornerRadius=3),
        scales.lines("hatches", stroke=colours.hatch, strokeWidth=1),
        scales.boxes("slots", fillOpacity=0, stroke=colours.missing, strokeDash=[4, 3], strokeWidth=1.5, cornerRadius=3),
        scales.lines("notches", stroke=colours.ink, strokeWidth=2), scales.lines("ranges", stroke=colours.ink, strokeWidth=2),
        scales.points("usual", colours.soft), scales.boxes("weeks", fill=colours.soft, fillOpacity=0.55),
        scales.lines("week_ranges", stroke=colours.soft, strokeWidth=1), scales.lines("week_lows", stroke=colours.ink, strokeWidth=1),
        scales.words("headings", fontSize=11, fontWeight=600, fill=colours.soft),
        scales.words("names", fontWeight=600, fontSize=12, fill=colours.ink), scales.words("doses", align="right", fill=colours.soft),
        scales.words("fills", fill=colours.missing), scales.words("shorts", fill=colours.missing, dx=6, baseline="middle"),
        scales.words("feet", fill=colours.soft, align="right"), scales.hover(picked is not None),
    ]
    return finish(layered(*filter(None, layers)), colours, drawn.height)


def in_words(parts: pd.DataFrame, week, ranged: str = "with each credit one tier lower or higher") -> str:
    """The text alternative: each part with its sets, their range and its band. ranged: what the range is."""
    told = [f"{row.name_}: {number(row.dose)}{between(row.low, row.high)} of {number(row.band_low)} to {number(row.band_high)} sets"
            + (f", {number(row.band_low - row.dose)} short" if row.status == "below" else ", above its band" if row.status == "above" else "")
            for row in parts.rename(columns={"name": "name_"}).itertuples()]
    return f"Hard sets of each part in the week of {day(week)}, in brackets {ranged}. " + "; ".join(told) + "."


def shortest_first(parts: pd.DataFrame) -> pd.DataFrame:
    """Parts by how much they lack to their band's low end, the largest shortage first: the order of all that a page says of what is short."""
    return parts.loc[(parts["dose"] - parts["band_low"]).sort_values(kind="stable").index]


def finding(parts: pd.DataFrame, easy: str | None = None, so_far: bool = False) -> str:
    """What the shelf shows, as a title. easy: a key of `sentences.dose.EASY` for a week whose doses are not judged. so_far: the week still runs."""
    if easy is not None:
        return not_judged(easy)
    parts = shortest_first(parts)
    short = parts.loc[parts["status"] == "below", "name"].tolist()
    above = parts.loc[parts["status"] == "above", "name"].tolist()
    if short:
        return f"{few(short)} {('is' if len(short) == 1 and not plural(short[0]) else 'are') + ' short so far' if so_far else 'went short'}"
    return f"every part reached its band; {few(above)} went above it" if above else "every part is within its band"


class _Scales:
    """The shared positions, and one small maker for each kind of mark."""

    def __init__(self, drawn: shelf_rows.Drawn) -> None:
        self.drawn = drawn
        scale = alt.Scale(domain=[0, drawn.right], nice=False, zero=False)
        axis = alt.Axis(title="hard sets in the week", titleAnchor="start", values=drawn.ticks, grid=False, domain=False, ticks=False, format="d")
        self.x = alt.X("x:Q", scale=scale, axis=axis)
        self.y = alt.Y("y:Q", scale=alt.Scale(domain=[drawn.height, 0], nice=False, zero=False), axis=None)

    def boxes(self, name: str, **style) -> alt.Chart | None:
        return self._made(name, lambda chart: chart.mark_rect(**style).encode(self.x, self.y, x2=alt.X2("x2"), y2=alt.Y2("y2")))

    def lines(self, name: str, **style) -> alt.Chart | None:
        return self._made(name, lambda chart: chart.mark_rule(strokeCap="butt", **style).encode(self.x, self.y, x2=alt.X2("x2"), y2=alt.Y2("y2")))

    def points(self, name: str, fill: str) -> alt.Chart | None:
        style = {"shape": "triangle-down", "size": 48, "filled": True, "fill": fill, "opacity": 1}
        return self._made(name, lambda chart: chart.mark_point(**style).encode(self.x, self.y))

    def words(self, name: str, align: str = "left", fontSize: int = 12, baseline: str = "alphabetic", **style) -> alt.Chart | None:
        return self._made(name, lambda chart: chart.mark_text(align=align, fontSize=fontSize, baseline=baseline, **style)
                          .encode(self.x, self.y, text=alt.Text("text:N")))

    def hover(self, picks: bool) -> alt.Chart:
        """An unseen box over each row that tells its numbers, and can be picked."""
        told = [alt.Tooltip(f"{column}:N", title=title) for column, title in shelf_rows.TOLD.items()]
        boxes = alt.Chart(self.drawn.told).mark_rect(fillOpacity=0).encode(self.x, self.y, x2=alt.X2("x2"), y2=alt.Y2("y2"), tooltip=told)
        return pickable(boxes) if picks else boxes

    def framed(self, part: str, colours: Look) -> alt.Chart:
        """The frame around one row."""
        rows = self.drawn.told
        return alt.Chart(rows[rows["key"] == part]).mark_rect(**frame(colours)).encode(self.x, self.y, x2=alt.X2("x2"), y2=alt.Y2("y2"))

    def _made(self, name: str, draw: Callable[[alt.Chart], alt.Chart]) -> alt.Chart | None:
        """The layer of one kind of mark, or None where there is none to draw."""
        marks = self.drawn.marks[name]
        return draw(alt.Chart(pa.table(dict(zip(shelf_rows.COLUMNS, zip(*marks, strict=True), strict=True))))) if marks else None
