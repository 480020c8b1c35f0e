"""Headers and a sample of cells -> which column is which field, with a confidence and a reason."""

from etl.columns.assign import HEAD_ROWS, NO_COLUMN, recognise
from etl.columns.column import DAY_FIELDS, FIELDS, MODIFIER_FIELDS, Column, ColumnQuestion

__all__ = ["DAY_FIELDS", "FIELDS", "HEAD_ROWS", "MODIFIER_FIELDS", "NO_COLUMN", "Column", "ColumnQuestion", "recognise"]
