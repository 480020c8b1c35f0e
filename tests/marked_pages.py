"""What a page shows, as texts: for the tests of the decimal mark."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator
from typing import Any

import pyarrow as pa
from streamlit.testing.v1 import AppTest

from tests.page_runs import nodes

# Where a point or a comma between digits is no decimal mark: code, formulas, DOIs and addresses, versions and sections.
NO_NUMBERS = re.compile(r"`[^`]*`|\$[^$]*\$|https?://\S+|doi:\S+|10\.\d{4,}/\S+|\d+(?:\.\d+){2,}|v\d\S*")
DECIMALS = {mark: re.compile(rf"\d[{mark}]\d") for mark in ".,"}
DRAWN = ("spec", "vega_lite_chart")


def texts(run: AppTest) -> Iterator[str]:
    """Every text of a page's run with Markdown's escapes taken away: headings, sentences, cells, labels, pictures with their rows."""
    for node in nodes(run.main):
        proto = getattr(node, "proto", None)
        if proto is not None and node.type != "latex":
            yield from (re.sub(r"\\(.)", r"\1", text).replace("\u2060", "") for text in of_message(proto))


def of_message(message: Any) -> Iterator[str]:
    """The texts of an element as it goes to the browser, but for its ids."""
    for field, value in message.ListFields():
        many = value if field.is_repeated else [value]
        if field.message_type is not None:
            for one in (many.values() if field.message_type.GetOptions().map_entry else many):
                yield from of_message(one) if hasattr(one, "ListFields") else ()
        elif field.type == field.TYPE_BYTES:
            for one in many:
                yield from of_table(one)
        elif field.type == field.TYPE_STRING and field.name not in ("id", "form_id", "url", "query_string", "page_script_hash", "element_id", "user_key", "page"):
            for one in many:
                yield from of_spec(json.loads(one)) if field.name == "spec" else [one]


def of_table(data: bytes) -> Iterator[str]:
    """The headings and the cells of text of a frame as it is sent."""
    try:
        table = pa.ipc.open_stream(io.BytesIO(data)).read_all()
    except pa.ArrowInvalid:
        return
    yield from table.column_names
    for column in table.columns:
        if pa.types.is_string(column.type) or pa.types.is_large_string(column.type):
            yield from filter(None, column.to_pylist())


def of_spec(part: Any) -> Iterator[str]:
    """The texts that a chart's specification draws: titles and rows."""
    if isinstance(part, dict):
        for name, value in part.items():
            if name not in ("config", "labelExpr", "expr", "test", "fill", "stroke", "shape", "d"):
                yield from of_spec(value)
    elif isinstance(part, list):
        for one in part:
            yield from of_spec(one)
    elif isinstance(part, str):
        yield part


def with_decimals(found: Iterator[str], mark: str) -> list[str]:
    """The texts in which the mark stands between two digits."""
    return sorted({text for text in found if DECIMALS[mark].search(NO_NUMBERS.sub(" ", text))})
