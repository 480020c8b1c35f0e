"""Weekly hard sets as bars: what is usual, what was planned, and the weeks that stood out."""

from __future__ import annotations

import altair as alt
import pandas as pd

from dashboard.charts.picked import frame, pickable
from dashboard.charts.styled import Looks, of_row, rows_of, stroke, stroke_of_row
from dashboard.charts.weekly_rows import HEIGHT, PLANNED, Marks, Week, lay_out, span, weeks_of
from dashboard.look import Look, above, finish, layered
from dashboard.sentences.dose import between
from dashboard.sentences.numbers import day, number

READING = "Line across a bar: what is usual. A week that stood out has a shape and a word."
EASIER = " Pale and dashed: an easy, returning or running week."
BANDED = " Shaded: the band."
RANGED = " Upright line: how sure the number is, from each credit one tier lower to one higher."
OUTLINED = " Thin outline: what was planned."
INCREASE = ' A hollow shape and the word "planned": an increase that was planned.'
SHAPES = {"step up": "triangle-up", "spike": "diamond", "large spike": "cross", PLANNED: "circle"}
DATES = 26  # pixels below the plot, for the days
HALF_DATE = 18  # pixels of half a day as it is written


def weekly(series: pd.DataFrame, colours: Look, picked: str | None = None) -> alt.LayerChart:
    """Bars of `load` by `week` with `usual`; optional low, high, band_low, band_high, planned, mark, state, so_far, planned_increase. At least one week.

    Bars of an easy, returning or running week are pale, dashed and (but for the last) named; a mark has a shape and a word,
    and the shape is hollow where the increase was planned. picked: the Monday of the week that is picked, as an ISO date, '' for none; None where
    weeks cannot be picked.
    """
    weeks = weeks_of(series)
    marks = _Marks(lay_out(weeks, picked), span(weeks), colours)
    over = marks.hover(ranged=any(week.high is not None for week in weeks))
    return finish(layered(marks.boxes(), marks.lines(), marks.points(), marks.words(), marks.dates(), over if picked is None else pickable(over)), colours, HEIGHT)


def reading(series: pd.DataFrame) -> str:
    """How to read the chart of this series."""
    said = {"low": RANGED, "planned": OUTLINED, "band_low": BANDED}
    weeks = weeks_of(series)
    return (READING + EASIER * any(week.easy for week in weeks)
            + "".join(text for column, text in said.items() if column in series and series[column].notna().any()) + INCREASE * any(week.hollow for week in weeks))


def in_words(series: pd.DataFrame, subject: str) -> str:
    """The text alternative: the last week, with its range, against usual, and every week that stood out."""
    weeks = weeks_of(series)
    last, stood = weeks[-1], [week for week in weeks if week.told]
    usual = ", no usual yet" if last.usual is None else f", usual {number(last.usual)}"
    return (f"Hard sets a week, {subject}, {len(weeks)} weeks. Week of {day(last.week)}: {_sets(last)}{usual}. "
            + ("Stood out: " + "; ".join(f"{day(week.week)}: {week.told}, {_sets(week, ' sets')}" for week in stood) + "." if stood else "No week stood out."))


def _sets(week: Week, unit: str = "") -> str:
    return f"{number(week.load)}{unit}{between(week.low, week.high)}"


class _Marks:
    """The shared positions, and one small maker for each kind of mark. The axis goes up to where the layer `hover` ends."""

    def __init__(self, marks: Marks, weeks: int, colours: Look) -> None:
        self.marks, self.weeks, self.colours = marks, weeks, colours
        self.x = alt.X("x:Q", scale=alt.Scale(domain=[0, weeks], nice=False, zero=False),
                       axis=alt.Axis(title="week, by its Monday", titlePadding=DATES, values=[], grid=False))
        self.y = alt.Y("y:Q", scale=alt.Scale(nice=False, zero=True), axis=alt.Axis(**above("hard sets a week"), tickCount=5))
        self.box = {"x": self.x, "y": self.y, "x2": alt.X2("x2"), "y2": alt.Y2("y2")}

    def boxes(self) -> alt.Chart:
        colours = self.colours
        filled = {"fillOpacity": 1.0, "cornerRadius": 2} | stroke("transparent", 0.0)
        looks = {"frame": filled | frame(colours), "band": filled | {"fill": colours.band, "cornerRadius": 0}, "full": filled | {"fill": colours.done},
                 "easy": filled | {"fill": colours.pale} | stroke(colours.done, 1.0, 3.0, 2.0),
                 "planned": filled | {"fill": colours.paper, "fillOpacity": 0.0} | stroke(colours.ink, 1.0)}
        return self._of(looks).mark_rect(**of_row("fill", "fillOpacity", "cornerRadius"), **stroke_of_row()).encode(**self.box)

    def lines(self) -> alt.Chart:
        looks = {"usual": {"strokeWidth": 2.0}, "range": {"strokeWidth": 1.5}, "nothing": {"strokeWidth": 0.0}}
        return self._of(looks).mark_rule(stroke=self.colours.ink, **of_row("strokeWidth")).encode(**self.box)

    def points(self) -> alt.Chart:
        """A shape over each week that stood out."""
        looks = {"points": {"fill": self.colours.missing, "strokeWidth": 0.0}, "hollow_points": {"fill": self.colours.paper, "strokeWidth": 1.5}}
        unseen = {"fill": "transparent", "strokeWidth": 0.0, "shape": "circle"}
        shaped = {"nothing": self.marks["nothing"]} | {kind: [row | {"shape": SHAPES[row["kind"]]} for row in self.marks[kind]] for kind in looks}
        style = {"size": 70, "filled": True, "stroke": self.colours.missing, "opacity": 1, "yOffset": -9}
        return alt.Chart(rows_of(shaped, looks | {"nothing": unseen})).mark_point(**style, **of_row("shape", "fill", "strokeWidth")).encode(self.x, self.y)

    def words(self) -> alt.Chart:
        style = {"angle": 270, "align": "left", "baseline": "middle", "dx": 18, "fontSize": 12, "fill": self.colours.ink}
        return self._of({"words": {}, "nothing": {"label": ""}}).mark_text(**style).encode(self.x, self.y, text=alt.Text("label:N"))

    def dates(self) -> alt.Chart:
        """Mondays below the plot, those at its ends within it: ticks of an axis would be part of the specification, which is to be one for all weeks."""
        within = f"max({HALF_DATE}, min(datum.x / {self.weeks} * width, width - {HALF_DATE}))"
        style = {"align": "center", "baseline": "top", "fontSize": 12, "fill": self.colours.soft, "x": alt.expr(within), "y": alt.expr("height + 7")}
        return self._of({"dates": {}}).mark_text(**style).encode(text=alt.Text("text:N"))

    def hover(self, ranged: bool) -> alt.Chart:
        told = [alt.Tooltip("told_week:N", title="week of"), alt.Tooltip("told_load:N", title="hard sets"),
                *([alt.Tooltip("told_range:N", title="if each credit moves a tier")] if ranged else []), alt.Tooltip("told_usual:N", title="usual"), alt.Tooltip("told:N", title="stands out")]
        return self._of({"hover": {}}).mark_rect(fillOpacity=0).encode(**self.box, tooltip=told)

    def _of(self, looks: Looks) -> alt.Chart:
        return alt.Chart(rows_of(self.marks, looks))
