"""Charts outside a browser: as SVG whose text stays text, and as PNG. Nothing is fetched from another host."""

from __future__ import annotations

from typing import Any

import altair as alt
import vl_convert

FONT = "sans-serif"  # whoever shows the SVG has one; a system's own name may be unknown there
SHARPNESS = 2.0  # pixels of a PNG for each of the chart


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
    return drawn
