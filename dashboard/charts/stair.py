"""The stair: the steps of a progression, or the loads of one exercise, rising over twelve weeks, with the next tread.

A tread is the weeks in which a step was stood on; a dot above it is the best set of a session, the higher the nearer to what the
way up asks; mist is how sure that is. The dashed tread is the next one, with what opens it.
"""

from __future__ import annotations

import altair as alt

from dashboard.charts import stair_rows
from dashboard.charts.picked import pickable
from dashboard.charts.styled import of_row, rows_of
from dashboard.look import Look, finish, layered
from dashboard.sentences import stair as say
from dashboard.sentences.stair import LOADS, Stair

finding, in_words = say.finding, say.in_words
READING = ("Each board is a step, the harder one above, over the weeks in which it was trained. A dot is the best set of a session: the higher above its board, "
           "the nearer to what the way up asks; on the dotted line it is as much as that")
MET = ", and the dot is a diamond"
MIST = " The mist is where best sets of those weeks lie, 8 of 10 in the paler and 5 of 10 in the darker, around their mean."
AHEAD = " The dashed board is the next step, with what opens it."
OF_LADDER = " A dot on its board would be no repetition at all."
OWN_BEST = " A step whose way up asks for no number is shown against the best set on it so far."
OF_LOADS = " A dot on its board is the low end of the exercise’s usual range of repetitions, one in reserve."


def reading(stair: Stair) -> str:
    """How to read this stair: only of what is on it."""
    of_kind = OF_LOADS if stair.kind == LOADS else OF_LADDER + OWN_BEST * bool((stair.steps["scale"] == "best").any())
    left_out = f" {stair.left_out} loads that were used less are left out." if stair.left_out else ""
    return READING + MET * bool((stair.sessions["near"] >= 1).any()) + "." + MIST + AHEAD * (stair.ahead is not None) + of_kind + left_out


def stair(of: Stair, colours: Look, picks: bool = False) -> alt.LayerChart:
    """The picture of a stair. The time axis spans all its weeks, whichever of them were trained. picks: a dot can be picked, by its day and exercise."""
    drawn = stair_rows.lay_out(of)
    marks = _Marks(drawn, of, colours)
    dashed = {"stroke": colours.missing, "strokeWidth": 1.5, "strokeDash": [4, 3]}
    layers = [
        marks.boxes("bodies", fill=colours.band, stroke=colours.band, strokeWidth=0.6), marks.lines("risers", stroke=colours.plank, strokeWidth=1.5),
        marks.mist("mist", 0.55), marks.mist("core", 0.9), marks.middle(),
        marks.lines("asked", stroke=colours.soft, strokeWidth=1, strokeDash=[1, 3]), marks.boxes("treads", fill=colours.plank, cornerRadius=2),
        marks.lines("next_lines", **dashed), marks.boxes("next_treads", fillOpacity=0, cornerRadius=2, **dashed),
        marks.points(), *marks.words(), marks.picks() if picks else None,
    ]
    return finish(layered(*layers), colours, drawn.height)


def _told() -> list[alt.Tooltip]:
    return [alt.Tooltip("name:N", title="step"), alt.Tooltip("date:N", title="session"), alt.Tooltip("told:N", title="best set"),
            alt.Tooltip("interval:N", title="80 % interval"), alt.Tooltip("asks:N", title="the way up asks")]


class _Marks:
    """The shared positions, and one small maker for each kind of mark."""

    def __init__(self, drawn: stair_rows.Drawn, of: Stair, colours: Look) -> None:
        self.drawn, self.colours = drawn, colours
        self.dots = self._of("points")
        label = f"utcFormat({stair_rows.epoch(of.start)} + datum.value * 864e5, '%-d %b')"
        self.x = alt.X("x:Q", scale=alt.Scale(domain=[0, drawn.right], nice=False, zero=False),
                       axis=alt.Axis(title="week, by its Monday", titleAnchor="start", values=drawn.ticks,
                                     labelExpr=label, labelAlign="left", labelOffset=0, grid=False))
        self.y = alt.Y("y:Q", scale=alt.Scale(domain=[drawn.height, 0], nice=False, zero=False), axis=None)

    def boxes(self, kind: str, **style) -> alt.Chart:
        return self._of(kind).mark_rect(**style).encode(self.x, self.y, x2=alt.X2("x2"), y2=alt.Y2("y2"))

    def lines(self, kind: str, **style) -> alt.Chart:
        return self._of(kind).mark_rule(strokeCap="butt", **style).encode(self.x, self.y, x2=alt.X2("x2"), y2=alt.Y2("y2"))

    def mist(self, kind: str, opacity: float) -> alt.Chart:
        style = {"fill": self.colours.pale, "fillOpacity": opacity, "interpolate": "monotone"}
        return self._of(kind).mark_area(**style).encode(self.x, self.y, y2=alt.Y2("y2"), detail=alt.Detail("run:N"))

    def middle(self) -> alt.Chart:
        style = {"stroke": self.colours.done, "strokeWidth": 1.5, "opacity": 0.7, "interpolate": "monotone"}
        return self._of("middle").mark_line(**style).encode(self.x, self.y, detail=alt.Detail("run:N"))

    def points(self) -> alt.Chart:
        style = {"filled": True, "fill": self.colours.done, "stroke": self.colours.paper, "strokeWidth": 1, "opacity": 1}
        shape = alt.Shape("met:N", scale=alt.Scale(domain=[False, True], range=["circle", "diamond"]), legend=None)
        size = alt.Size("met:N", scale=alt.Scale(domain=[False, True], range=[48, 75]), legend=None)
        return self.dots.mark_point(**style).encode(self.x, self.y, shape=shape, size=size, tooltip=_told())

    def picks(self) -> alt.Chart:
        """An unseen, larger dot over each."""
        return pickable(self.dots.mark_point(shape="circle", size=220, filled=True, opacity=0).encode(self.x, self.y, tooltip=_told()))

    def words(self) -> list[alt.Chart]:
        """Text that begins at its x, or so far left of it that it ends within the picture."""
        name, quiet = {"fontSize": 13, "fontWeight": 600}, {"fontSize": 12, "fontWeight": 400}
        now, ahead = {"fill": self.colours.ink}, {"fill": self.colours.missing}
        looks = {"names": name | now, "places": quiet | {"fill": self.colours.soft}, "next_names": name | ahead, "opens": quiet | ahead}
        base = alt.Chart(rows_of(self.drawn.marks, looks)).encode(self.y, text=alt.Text("text:N"))
        begins = f"max(0, min(datum.x / {self.drawn.right} * width, width - datum.wide))"
        shared = {"align": "left", "baseline": "alphabetic", "x": alt.expr(begins), **of_row("fontSize", "fontWeight", "fill")}
        behind = {"stroke": self.colours.paper, "strokeWidth": 3, "strokeOpacity": 0.75, "strokeJoin": "round"}  # so that a riser does not cross it
        return [base.mark_text(**shared, **behind), base.mark_text(**shared)]

    def _of(self, kind: str) -> alt.Chart:
        return alt.Chart(rows_of(self.drawn.marks, {kind: {}}))
