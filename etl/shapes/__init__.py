"""A table of text in any grain -> one row of text per set, each with the row of the file that it comes from.

Sets across columns, a count of sets, lists and shorthand, a column for each exercise or day, headings between rows:
all of them become rows that hold the same fields as a file of one row per set. What a cell says is not decided here.
"""

from etl.shapes.headings import later_header, second_header
from etl.shapes.rows import SetRows
from etl.shapes.unfold import unfold

__all__ = ["SetRows", "later_header", "second_header", "unfold"]
