"""How the pictures look: one palette for light, one for dark, and what every chart shares.

The colours keep apart for the common kinds of colour blindness, and none carries a meaning alone: indirect sets
are hatched as well as pale, what is missing is dashed and written out, a mark has a shape and a word.
Red is not used: a change of load is ordinary.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import altair as alt

FONT = "system-ui, sans-serif"
DAY = "%-d %b"


@dataclass(frozen=True)
class Look:
    """The colours of one theme, each named for what it draws (all CSS hex)."""

    paper: str  # the page behind the chart
    ink: str  # names and values
    soft: str  # axis labels and remarks, at least 4.5 : 1 on paper
    line: str  # rules and frames
    done: str  # direct sets, bars, points
    pale: str  # indirect sets, easy weeks, intervals
    hatch: str  # the strokes over `pale`
    band: str  # the shaded band
    plank: str  # the board that blocks stand on
    missing: str  # what is missing, or stands out


LIGHT = Look(paper="#fdfcfa", ink="#1f2d3a", soft="#5a6874", line="#d8d3c8", done="#2a6f8e", pale="#b5d2e0",
             hatch="#4d87a1", band="#ece8de", plank="#c4ad8f", missing="#9a4a22")
DARK = Look(paper="#14191d", ink="#e9e6e0", soft="#a3afb9", line="#3a454e", done="#6fb1cd", pale="#2f5568",
            hatch="#8cc3da", band="#252c32", plank="#7d6a50", missing="#e0a070")

PRINT = replace(LIGHT, paper="#ffffff")


def look(dark: bool) -> Look:
    return DARK if dark else LIGHT


def finish(chart: alt.LayerChart | alt.Chart, colours: Look, height: int) -> alt.LayerChart | alt.Chart:
    """The shared dress: no frame, quiet grid, system font, the page's colours; as wide as its container.

    height: of the plot, in pixels; axes and titles come on top of it.
    """
    return (
        chart.properties(width="container", height=height, background=colours.paper,
                         autosize=alt.AutoSizeParams(type="fit-x", contains="padding"))
        .configure(font=FONT, padding={"left": 4, "right": 8, "top": 6, "bottom": 4})
        .configure_view(stroke=None)
        .configure_axis(labelColor=colours.soft, titleColor=colours.soft, gridColor=colours.line, gridOpacity=0.6, domainColor=colours.line,
                        tickColor=colours.line, labelFontSize=12, titleFontSize=12, titleFontWeight="normal", labelOverlap=True)
        .configure_legend(labelColor=colours.ink, titleColor=colours.soft, labelFontSize=12, orient="top", title=None)
    )


def above(title: str) -> dict:
    """The title of a vertical axis, written level above it, where a narrow screen has room for it."""
    return {"title": title, "titleAngle": 0, "titleAlign": "left", "titleAnchor": "end", "titleY": -12, "titleX": 0,
            "titleBaseline": "bottom"}
