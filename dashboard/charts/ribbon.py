"""The ribbon: twelve tiles, one a week, planned outline and done fill, with the coach's decisions pinned below.

An easy week is pale and hatched, a week without training empty, and each has its word. A pin below a week carries the number of a
decision; its sentence stands below the picture (`sentences.ribbon.pin`). Brackets are blocks with their aim, a pennant is a goal.
"""

from __future__ import annotations

from collections.abc import Callable

import altair as alt
import pyarrow as pa

from dashboard.charts import ribbon_rows
from dashboard.charts.lines import long
from dashboard.charts.picked import pickable
from dashboard.look import Look, finish, layered
from dashboard.sentences import ribbon as say
from dashboard.sentences.ribbon import Ribbon

finding, in_words, pin, top_of = say.finding, say.in_words, say.pin, ribbon_rows.top_of
READING = "A tile is a week, its fill the hard sets that were done. "
PLANNED = "A full outline is what was planned. "
USUAL = "A dotted outline is what is usual, where the log holds no plan. "
LINES = "A pale line across a fill stands where it went past that. "
EASY = "Pale and hatched: an easy week, or one of return. "
BLOCKS = "A bracket is a block of training with its aim; a side without an end goes on. "
GOALS = "A pennant is the day of a goal. "
PINS = "A number below a week is a decision of the coach; its sentence is below."

END = {"x2": alt.X2, "y2": alt.Y2}


def reading(of: Ribbon) -> str:
    """How to read this ribbon: only of what is on it."""
    marks = _laid_out(of).marks
    said = ((PLANNED, marks["planned"] + marks["past_planned"]), (USUAL, marks["usual"] + marks["past_usual"]), (LINES, marks["past_planned"] + marks["past_usual"]),
            (EASY, marks["easy"]), (BLOCKS, marks["brackets"]), (GOALS, marks["flags"]), (PINS, marks["pins"]))
    return (READING + "".join(text for text, there in said if there)).strip()


def ribbon(of: Ribbon, colours: Look, top: float | None = None, picks: bool = False) -> alt.LayerChart:
    """The picture of a ribbon. top: the hard sets of the tallest tile, where pictures are to share it. picks: a click on a tile picks its week."""
    drawn = _laid_out(of, top)
    marks = _Marks(drawn, colours)
    layers = [
        marks.boxes("done", fill=colours.done, cornerRadius=3), marks.boxes("easy", fill=colours.pale, cornerRadius=3),
        marks.boxes("running", fill=colours.pale, fillOpacity=0.6, cornerRadius=3), marks.lines("hatches", ("x2", "y2"), stroke=colours.hatch, strokeWidth=1),
        marks.lines("past_planned", ("x2",), stroke=colours.paper, strokeWidth=2),
        marks.lines("past_usual", ("x2",), stroke=colours.paper, strokeWidth=1.5, strokeDash=[2, 3]),
        marks.boxes("planned", fillOpacity=0, stroke=colours.ink, strokeWidth=1.5, cornerRadius=3),
        marks.boxes("usual", fillOpacity=0, stroke=colours.soft, strokeWidth=1, strokeDash=[2, 3], cornerRadius=3),
        marks.boxes("board", fill=colours.plank, cornerRadius=2),
        marks.numbers(), *marks.word("inside", colours.paper, colours.done), *marks.word("on_pale", colours.ink, colours.pale),
        *marks.word("above", colours.ink, colours.paper),
        *marks.word("on_running", colours.ink, None),
        marks.middle("dates", fill=colours.soft), marks.middle("months", fill=colours.soft),
        marks.pins(), marks.middle("pin_numbers", fill=colours.paper, fontWeight=600, baseline="middle"),
        marks.lines("brackets", ("x2",), stroke=colours.soft, strokeWidth=1.5), marks.lines("posts", ("y2",), stroke=colours.soft, strokeWidth=1.5),
        marks.beside("aims", colours.ink), marks.lines("poles", ("y2",), stroke=colours.missing, strokeWidth=1.5), marks.flags(), marks.beside("goals", colours.ink),
        marks.hover(picks),
    ]
    return finish(layered(*layers), colours, drawn.height)


def _laid_out(of: Ribbon, top: float | None = None) -> ribbon_rows.Drawn:
    return ribbon_rows.lay_out(of, top or ribbon_rows.top_of(of.weeks))


class _Marks:
    """The shared positions, and one small maker for each kind of mark."""

    def __init__(self, drawn: ribbon_rows.Drawn, colours: Look) -> None:
        self.drawn, self.colours = drawn, colours
        self.x = alt.X("x:Q", scale=alt.Scale(domain=[0, drawn.weeks], nice=False, zero=False),
                       axis=alt.Axis(title="week, by its Monday; on each tile its hard sets", titleAnchor="start", values=[], domain=False, grid=False))
        self.y = alt.Y("y:Q", scale=alt.Scale(domain=[drawn.height, 0], nice=False, zero=False), axis=None)

    def boxes(self, kind: str, **style) -> alt.Chart | None:
        return self._made(kind, lambda chart: chart.mark_rect(**style).encode(self.x, self.y, x2=alt.X2("x2"), y2=alt.Y2("y2")))

    def lines(self, kind: str, ends: tuple[str, ...], **style) -> alt.Chart | None:
        return self._made(kind, lambda chart: chart.mark_rule(strokeCap="butt", **style).encode(self.x, self.y, **{end: END[end](end) for end in ends}))

    def middle(self, kind: str, baseline: str = "alphabetic", **style) -> alt.Chart | None:
        return self._made(kind, lambda chart: chart.mark_text(align="center", baseline=baseline, fontSize=12, **style).encode(self.x, self.y, text=alt.Text("text:N")))

    def numbers(self) -> alt.Chart | None:
        """What was done, and where there is room for it what was planned."""
        longest = max((long(mark["long"]) for mark in self.drawn.marks["numbers"]), default=0)
        text = alt.expr(f"{longest} < width / {self.drawn.weeks} ? datum.long : datum.text")
        return self._made("numbers", lambda chart: chart.mark_text(align="center", baseline="alphabetic", fontSize=12, fill=self.colours.ink, text=text)
                          .encode(self.x, self.y))

    def word(self, kind: str, fill: str, behind: str | None) -> list[alt.Chart | None]:
        """The word of a week: level where its tile is wide enough, else upward; `behind` keeps hatching off it."""
        level = f"datum.wide < {1 - 2 * ribbon_rows.MARGIN} * width / {self.drawn.weeks}"
        shared = {"angle": alt.expr(f"{level} ? 0 : 270"), "align": alt.expr(f"{level} ? 'center' : 'left'"), "dy": alt.expr(f"{level} ? -5 : 0"),
                  "baseline": "middle", "fontSize": 12, "fill": fill}
        halo = [shared | {"fill": behind, "stroke": behind, "strokeWidth": 4, "strokeJoin": "round"}] if behind else []
        return [self._made(kind, lambda chart, look=look: chart.mark_text(**look).encode(self.x, self.y, text=alt.Text("text:N"))) for look in [*halo, shared]]

    def beside(self, kind: str, fill: str) -> alt.Chart | None:
        """Text that begins at its x, or so far left of it that it ends within the picture."""
        begins = f"max(0, min(datum.x / {self.drawn.weeks} * width, width - datum.wide))"
        return self._made(kind, lambda chart: chart.mark_text(align="left", baseline="alphabetic", fontSize=12, fill=fill, x=alt.expr(begins))
                          .encode(self.y, text=alt.Text("text:N")))

    def flags(self) -> alt.Chart | None:
        style = {"shape": "triangle-right", "size": 70, "filled": True, "fill": self.colours.missing, "opacity": 1, "xOffset": 6}
        return self._made("flags", lambda chart: chart.mark_point(**style).encode(self.x, self.y))

    def pins(self) -> alt.Chart | None:
        style = {"shape": "circle", "size": 330, "filled": True, "fill": self.colours.missing, "opacity": 1}
        told = [alt.Tooltip("number:N", title="decision"), alt.Tooltip("told:N", title="and what followed")]
        return self._made("pins", lambda chart: chart.mark_point(**style).encode(self.x, self.y, tooltip=told))

    def hover(self, picks: bool) -> alt.Chart | None:
        told = [alt.Tooltip("week:T", title="week of", format="%-d %B %Y"), alt.Tooltip("done:N", title="hard sets"), alt.Tooltip("planned:N", title="planned"),
                alt.Tooltip("usual:N", title="usual"), alt.Tooltip("word:N", title="the week was")]
        boxes = self._made("hover", lambda chart: chart.mark_rect(fillOpacity=0).encode(self.x, self.y, x2=alt.X2("x2"), y2=alt.Y2("y2"), tooltip=told))
        return pickable(boxes) if picks and boxes is not None else boxes

    def _made(self, kind: str, draw: Callable[[alt.Chart], alt.Chart]) -> alt.Chart | None:
        """The layer of one kind of mark, or None where there is none to draw."""
        rows = self.drawn.marks[kind]
        return draw(alt.Chart(pa.Table.from_pylist(rows))) if rows else None
