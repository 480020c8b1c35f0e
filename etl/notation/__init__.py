"""The text of cells -> numbers, dates, durations, loads and words. Knows no column's name.

The functions that read a column take a Series of text and give a Series or frame on the same index. A blank cell and a
cell that cannot be read both give a missing value; `is_blank` tells the two apart. `shorthand` reads one cell that holds
whole sets.
"""

from etl.notation.blanks import is_blank
from etl.notation.clock import clock_times, durations_s
from etl.notation.dates import are_serials, day_first_from, is_weekday, read_dates
from etl.notation.effort import effort_scales, read_efforts
from etl.notation.loads import BAND_ALONE, bands, read_loads, stones_and_pounds
from etl.notation.numbers import decimal_mark, read_numbers
from etl.notation.pain_words import HINT, NOT_SAID, may_be_one_place, pain_in, pains_in, same_place
from etl.notation.repetitions import may_be_metres, read_repetitions
from etl.notation.shorthand import Doubt, Piece, lists_sets, load_and_ratings, shorthand
from etl.notation.words import booleans, kinds, limits, ranges, sides, states, totals, units
from etl.notation.yearless import NAMED, SIGNED, lack_year

__all__ = [
    "BAND_ALONE", "HINT", "NAMED", "NOT_SAID", "SIGNED", "Doubt", "Piece", "are_serials", "bands", "booleans", "clock_times", "day_first_from", "decimal_mark", "durations_s", "effort_scales", "is_blank", "is_weekday",
    "kinds", "lack_year", "limits", "lists_sets", "load_and_ratings", "may_be_metres", "pain_in", "pains_in", "ranges", "read_dates", "read_efforts", "read_loads", "read_numbers", "read_repetitions",
    "same_place", "may_be_one_place", "shorthand", "sides", "states", "stones_and_pounds", "totals", "units",
]
