"""Marks that can be picked by a click, and how what is picked looks. A picture has one layer of them, unseen, over all others."""

from __future__ import annotations

import altair as alt

from dashboard.look import Look

PICKED, KEY = "picked", "key"  # the selection, and the column of the marks that says what each is
FRAME = {"strokeWidth": 2, "cornerRadius": 4}


def pickable(layer: alt.Chart) -> alt.Chart:
    """The layer with the selection; its data have a column `key` of text."""
    layer = layer.add_params(alt.selection_point(name=PICKED, fields=[KEY], on="click", toggle=False))
    layer.mark.cursor = "pointer"
    return layer


def frame(colours: Look) -> dict:
    """The look of the mark around what is picked."""
    return FRAME | {"fill": colours.band, "fillOpacity": 0.6, "stroke": colours.done}
