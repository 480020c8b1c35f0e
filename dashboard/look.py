"""How the pictures look: one palette for light, one for dark, and what every chart shares.

The colours keep apart for the common kinds of colour blindness, and none carries a meaning alone: indirect sets
are hatched as well as pale, what is missing is dashed and written out, a mark has a shape and a word.
Red is not used: a change of load is ordinary.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from threading import Lock
from typing import Any

import altair as alt

from dashboard.sentences.decimal_mark import POINT, mark

# Each piece of a chart would be held against the schema as it is made, which takes longer than making it. A whole chart still can be: `to_dict()` does.
alt.utils.schemapi.disable_debug_mode()

FONT = "system-ui, sans-serif"
DAY = "%-d %b"
PLAIN = "format(datum.value, '~r')"  # the label of an axis: its number with as many decimals as it has
THIN_SPACE = "\u202f"  # between thousands, as SI writes them


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


class _Layers(alt.LayerChart):
    """Layers that are taken as they are. `alt.layer`, and each copy of what it makes, copies every layer twice to sort out selections."""

    def __init__(self, **kwds: Any) -> None:
        alt.TopLevelLayerSpec.__init__(self, **kwds)


def layered(*layers: alt.Chart | None) -> alt.LayerChart:
    """Layers on one panel, the first at the back; None is no layer. A layer's selection stands above the layers and names it, as Vega-Lite asks."""
    there, selections = [], []
    for layer in layers:
        if layer is None:
            continue
        if layer.params is not alt.Undefined:
            name = f"layer_{len(there)}"
            selections += [alt.TopLevelSelectionParameter(**param.to_dict(), views=[name]) for param in layer.params]
            layer = layer.copy(deep=False)
            layer.params, layer.name = alt.Undefined, name
        there.append(layer)
    return _Layers(layer=there, **({"params": selections} if selections else {}))


def finish(chart: alt.LayerChart | alt.Chart, colours: Look, height: int | alt.Step) -> alt.LayerChart | alt.Chart:
    """The chart in the shared dress: no frame, quiet grid, system font, the page's colours; as wide as its container.

    height: of the plot, in pixels, or of each of its rows; axes and titles come on top of it.
    """
    # Set at once, on the chart itself: each `configure_...` would copy the whole of it.
    chart.width, chart.height, chart.background = "container", height, colours.paper
    chart.autosize = alt.AutoSizeParams(type="fit-x", contains="padding")
    chart.config = alt.Config(mark=alt.MarkConfig(aria=False),
        font=FONT, padding={"left": 4, "right": 8, "top": 6, "bottom": 4}, view=alt.ViewConfig(stroke=None),
        axis=alt.AxisConfig(labelColor=colours.soft, titleColor=colours.soft, gridColor=colours.line, gridOpacity=0.6, domainColor=colours.line,
                            tickColor=colours.line, labelFontSize=12, titleFontSize=12, titleFontWeight="normal", labelOverlap=True),
        legend=alt.LegendConfig(labelColor=colours.ink, titleColor=colours.soft, labelFontSize=12, orient="top", title=None), **_written())
    return chart


def _written() -> dict[str, Any]:
    """How the browser, and who draws a chart outside of one, writes the numbers of axes and tooltips, where the mark is no point."""
    return {} if mark() == POINT else {"locale": {"number": {"decimal": mark(), "thousands": THIN_SPACE, "grouping": [3], "currency": ["", ""]}}}


def spec(chart: alt.LayerChart | alt.Chart) -> dict[str, Any]:
    """The chart as Vega-Lite with its frames beside it under `datasets`: each once, however many layers are drawn from it.

    It is not held against the schema, and shorthands such as x2="end" are not understood: the tests hold each kind of chart to what Altair writes.
    """
    frames: dict[int, tuple[str, Any]] = {}
    layers = list(chart.layer) if isinstance(chart, alt.LayerChart) else [chart]
    names = [None if layer.data is alt.Undefined else frames.setdefault(id(layer.data), (f"rows_{len(frames)}", layer.data))[0] for layer in layers]
    bare = [layer.copy(deep=False) for layer in layers]
    for layer, name in zip(bare, names, strict=True):
        layer.data = alt.NamedData(name=name) if name else alt.Undefined
    whole = bare[0]
    if isinstance(chart, alt.LayerChart):
        whole = chart.copy(deep=False)
        whole.layer = bare
    return _as_written(whole) | {"datasets": dict(frames.values())}


def _as_written(chart: alt.LayerChart | alt.Chart) -> dict[str, Any]:
    """The chart without its rows as Vega-Lite. From week to week only rows change, and to see that takes a tenth of writing it: the last ones are kept."""
    key = _frozen(chart)
    with _WRITING:
        if key not in _WRITTEN:
            while len(_WRITTEN) >= WRITTEN:
                del _WRITTEN[next(iter(_WRITTEN))]
            _WRITTEN[key] = chart.to_dict(validate=False)
        return _WRITTEN[key]


def _frozen(part: Any) -> Any:
    """A part of a chart as something that can be a key: equal for parts that are written alike."""
    if isinstance(part, alt.SchemaBase):
        return type(part), *map(_frozen, part._args), *((name, _frozen(value)) for name, value in part._kwds.items() if value is not alt.Undefined)
    if isinstance(part, dict):
        return dict, *((name, _frozen(value)) for name, value in part.items())
    if isinstance(part, list | tuple):
        return list, *map(_frozen, part)
    return type(part), part


WRITTEN = 200  # charts of some pages, in a few sizes and both themes
_WRITTEN: dict[Any, dict[str, Any]] = {}
_WRITING = Lock()  # each visit has a thread of its own


def above(title: str) -> dict:
    """The title of a vertical axis, written level above it, where a narrow screen has room for it."""
    return {"title": title, "titleAngle": 0, "titleAlign": "left", "titleAnchor": "end", "titleY": -12, "titleX": 0,
            "titleBaseline": "bottom"}
