"""Charts outside a browser: as SVG whose text stays text, and as PNG. Nothing is fetched from another host."""

from __future__ import annotations

import re
from typing import Any

import altair as alt
import vl_convert

from dashboard.command.output import harmless

FONT = "sans-serif"  # whoever shows the SVG has one; a system's own name may be unknown there
SHARPNESS = 2.0  # pixels of a PNG for each of the chart
NO_CHARACTERS = re.compile("[\ufffe\uffff]")  # XML 1.0, section 2.2: what no document may hold, beside the commands that `harmless` writes out


def svg(chart: alt.TopLevelMixin, width: int) -> str:
    """The chart as SVG, `width` pixels wide."""
    return vl_convert.vegalite_to_svg(_sized(chart, width), allowed_base_urls=[])


def png(chart: alt.TopLevelMixin, width: int) -> bytes:
    """The chart as PNG, SHARPNESS times `width` pixels wide."""
    return vl_convert.vegalite_to_png(_sized(chart, width), scale=SHARPNESS, allowed_base_urls=[])


def _sized(chart: alt.TopLevelMixin, width: int) -> dict[str, Any]:
    """A chart as wide as its container has none here: it is given a width, and a font that is everywhere."""
    drawn = chart.to_dict()
    if drawn.get("width") == "container":
        drawn["width"] = width
    drawn["config"] = {**drawn.get("config", {}), "font": FONT}
    return _writable(drawn)


def _writable(part: Any) -> Any:
    """A part of a chart with its texts as an XML file can hold them: the converter ends the whole program at a text that none can."""
    if isinstance(part, str):
        return NO_CHARACTERS.sub("\ufffd", harmless(part))
    if isinstance(part, dict):
        return {_writable(name): _writable(value) for name, value in part.items()}
    return [_writable(value) for value in part] if isinstance(part, list) else part
