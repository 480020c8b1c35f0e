"""A field for a number with decimals, which is written with the reader's mark and read with it."""

from __future__ import annotations

from typing import Any

import streamlit as st

from dashboard.sentences.decimal_mark import POINT, mark
from dashboard.sentences.read_number import read_number
from dashboard.sentences.numbers import number

NO_NUMBER = float("nan")


def number_field(label: str, least: float, most: float | None = None, value: float | None = None, step: float | None = None, **settings: Any) -> float | None:
    """The number, None while it is empty, NaN where it cannot be read or lies beyond `least` and `most`.

    The browser's own field goes by the language of the page or of the program, not by the reader's, and takes 82,5 for 825: where the mark is a
    comma, it is a field of text.
    """
    if mark() == POINT:
        return st.number_input(label, least, most, value, step, **settings)
    text = st.text_input(label, value="" if value is None else number(value, 2), **settings)
    if not text.strip():
        return None
    try:
        found = read_number(text)
    except ValueError:
        return NO_NUMBER
    return found if least <= found and (most is None or found <= most) else NO_NUMBER
