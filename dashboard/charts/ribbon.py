"""The ribbon: twelve tiles, one a week, planned outline and done fill, with the coach's decisions pinned below.

An easy week is pale and hatched, a week without training empty, and each has its word. A pin below a week carries the number of a
decision; its sentence stands below the picture (`sentences.ribbon.pin`). Brackets are blocks with their aim, a pennant is a goal.
"""

from __future__ import annotations

import altair as alt

from dashboard.charts import ribbon_rows
from dashboard.charts.lines import long
from dashboard.charts.picked import pickable
from dashboard.charts.styled import Looks, of_row, rows_of, stroke, stroke_of_row
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

DOTTED = 2.0, 3.0  # pixels of a dash and of a gap


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
        marks.boxes({"done": {"fill": colours.done}, "easy": {"fill": colours.pale}, "running": {"fill": colours.pale, "fillOpacity": 0.6}}),
        marks.lines(), marks.outlines(), marks.boxes({"board": {"fill": colours.plank}}),
        marks.numbers(), *marks.words(), marks.middle(("dates", "months"), fill=colours.soft),
        marks.pins(), marks.middle(("pin_numbers",), fill=colours.paper, fontWeight=600, baseline="middle"), marks.beside(), marks.flags(), marks.hover(picks),
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

    def boxes(self, looks: Looks) -> alt.Chart:
        looks = {kind: {"fillOpacity": 1.0} | look for kind, look in looks.items()}
        return self._of(looks).mark_rect(cornerRadius=3, **of_row("fill", "fillOpacity")).encode(self.x, self.y, x2=alt.X2("x2"), y2=alt.Y2("y2"))

    def lines(self) -> alt.Chart:
        """Hatches, how far a fill went past its outline, and the lines of blocks and goals."""
        colours = self.colours
        looks = {"hatches": stroke(colours.hatch, 1.0), "past_planned": stroke(colours.paper, 2.0), "past_usual": stroke(colours.paper, 1.5, *DOTTED),
                 "brackets": stroke(colours.soft, 1.5), "posts": stroke(colours.soft, 1.5), "poles": stroke(colours.missing, 1.5)}
        return self._of(looks).mark_rule(strokeCap="butt", **stroke_of_row()).encode(self.x, self.y, x2=alt.X2("x2"), y2=alt.Y2("y2"))

    def outlines(self) -> alt.Chart:
        looks = {"planned": stroke(self.colours.ink, 1.5), "usual": stroke(self.colours.soft, 1.0, *DOTTED)}
        return self._of(looks).mark_rect(fillOpacity=0, cornerRadius=3, **stroke_of_row()).encode(self.x, self.y, x2=alt.X2("x2"), y2=alt.Y2("y2"))

    def middle(self, kinds: tuple[str, ...], baseline: str = "alphabetic", **style) -> alt.Chart:
        return self._of(dict.fromkeys(kinds, {})).mark_text(align="center", baseline=baseline, fontSize=12, **style).encode(self.x, self.y, text=alt.Text("text:N"))

    def numbers(self) -> alt.Chart:
        """What was done, and where there is room for it what was planned."""
        longest = max((long(mark["long"]) for mark in self.drawn.marks["numbers"]), default=0)
        text = alt.expr(f"datum.longest < width / {self.drawn.weeks} ? datum.long : datum.text")
        return self._of({"numbers": {"longest": longest}}).mark_text(
            align="center", baseline="alphabetic", fontSize=12, fill=self.colours.ink, text=text).encode(self.x, self.y)

    def words(self) -> list[alt.Chart]:
        """The word of each week: level where its tile is wide enough, else upward; what is behind it keeps hatching off it."""
        colours = self.colours
        looks = {"inside": {"fill": colours.paper, "behind": colours.done}, "on_pale": {"fill": colours.ink, "behind": colours.pale},
                 "above": {"fill": colours.ink, "behind": colours.paper}, "on_running": {"fill": colours.ink, "halo": 0.0}}
        looks = {kind: {"behind": colours.paper, "halo": 1.0} | look for kind, look in looks.items()}
        level = f"datum.wide < {1 - 2 * ribbon_rows.MARGIN} * width / {self.drawn.weeks}"
        base = self._of(looks).encode(self.x, self.y, text=alt.Text("text:N"))
        shared = {"angle": alt.expr(f"{level} ? 0 : 270"), "align": alt.expr(f"{level} ? 'center' : 'left'"), "dy": alt.expr(f"{level} ? -5 : 0"),
                  "baseline": "middle", "fontSize": 12}
        behind = {"fill": alt.expr("datum.behind"), "stroke": alt.expr("datum.behind"), "opacity": alt.expr("datum.halo"), "strokeWidth": 4, "strokeJoin": "round"}
        return [base.mark_text(**shared, **behind), base.mark_text(**shared, **of_row("fill"))]

    def beside(self) -> alt.Chart:
        """What a block aims at and what a goal is: text that begins at its x, or so far left of it that it ends within the picture."""
        begins = f"max(0, min(datum.x / {self.drawn.weeks} * width, width - datum.wide))"
        return self._of({"aims": {}, "goals": {}}).mark_text(align="left", baseline="alphabetic", fontSize=12, fill=self.colours.ink, x=alt.expr(begins)).encode(
            self.y, text=alt.Text("text:N"))

    def flags(self) -> alt.Chart:
        style = {"shape": "triangle-right", "size": 70, "filled": True, "fill": self.colours.missing, "opacity": 1, "xOffset": 6}
        return self._of({"flags": {}}).mark_point(**style).encode(self.x, self.y)

    def pins(self) -> alt.Chart:
        style = {"shape": "circle", "size": 330, "filled": True, "fill": self.colours.missing, "opacity": 1}
        told = [alt.Tooltip("number:N", title="decision"), alt.Tooltip("told:N", title="and what followed")]
        return self._of({"pins": {}}).mark_point(**style).encode(self.x, self.y, tooltip=told)

    def hover(self, picks: bool) -> alt.Chart:
        told = [alt.Tooltip("week:T", title="week of", format="%-d %B %Y"), alt.Tooltip("done:N", title="hard sets"), alt.Tooltip("planned:N", title="planned"),
                alt.Tooltip("usual:N", title="usual"), alt.Tooltip("word:N", title="the week was")]
        boxes = self._of({"hover": {}}).mark_rect(fillOpacity=0).encode(self.x, self.y, x2=alt.X2("x2"), y2=alt.Y2("y2"), tooltip=told)
        return pickable(boxes) if picks else boxes

    def _of(self, looks: Looks) -> alt.Chart:
        return alt.Chart(rows_of(self.drawn.marks, looks))
