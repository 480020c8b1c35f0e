"""Charts outside a browser: as SVG whose text stays text, and as PNG. Nothing is fetched from another host."""

from __future__ import annotations

import re
from datetime import date, datetime, time
from math import isnan
from typing import Any

import altair as alt
import pandas as pd
import pyarrow as pa
import vl_convert

from dashboard.harmless import harmless
from dashboard.look import spec

FONT = "sans-serif"  # whoever shows the SVG has one; a system's own name may be unknown there
SHARPNESS = 2.0  # pixels of a PNG for each of the chart
NO_CHARACTERS = re.compile("[\ufffe\uffff]")  # XML 1.0, section 2.2: what no document may hold, beside the commands that `harmless` writes out


def wake() -> None:
    """Start the converter, which takes half a second in which the whole program stands: before anybody waits for a file."""
    vl_convert.vegalite_to_svg({"mark": "point", "data": {"values": []}}, allowed_base_urls=[])


def svg(chart: alt.TopLevelMixin, width: int) -> str:
    """The chart as SVG, `width` pixels wide."""
    return vl_convert.vegalite_to_svg(_sized(chart, width), allowed_base_urls=[])


def png(chart: alt.TopLevelMixin, width: int) -> bytes:
    """The chart as PNG, SHARPNESS times `width` pixels wide."""
    return vl_convert.vegalite_to_png(_sized(chart, width), scale=SHARPNESS, allowed_base_urls=[])


def _sized(chart: alt.TopLevelMixin, width: int) -> dict[str, Any]:
    """A chart as wide as its container has none here: it is given a width, and a font that is everywhere."""
    drawn = spec(chart)
    frames = {name: _records(rows) for name, rows in drawn["datasets"].items()}
    return _writable(drawn | {"datasets": frames, "config": drawn.get("config", {}) | {"font": FONT}} | ({"width": width} if drawn.get("width") == "container" else {}))


def _records(rows: pd.DataFrame | pa.Table) -> list[dict[str, Any]]:
    """A chart's rows, one dict each."""
    return alt.to_values(rows)["values"] if isinstance(rows, pd.DataFrame) else rows.to_pylist()


def _writable(part: Any) -> Any:
    """A part of a chart as JSON has it (a day is its beginning, by the local clock; NaN is null), with its texts as an XML file can hold them: the converter ends the whole program at a text that none can."""
    if isinstance(part, str):
        return NO_CHARACTERS.sub("\ufffd", harmless(part))
    if isinstance(part, date):
        return (part if isinstance(part, datetime) else datetime.combine(part, time())).isoformat()
    if isinstance(part, float) and isnan(part):
        return None
    if isinstance(part, dict):
        return {_writable(name): _writable(value) for name, value in part.items()}
    return [_writable(value) for value in part] if isinstance(part, list) else part
