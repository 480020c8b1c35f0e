"""Headers and a sample of cells -> which column is which field, with a confidence and a reason."""

from etl.columns.assign import recognise
from etl.columns.column import DAY_FIELDS, FIELDS, MODIFIER_FIELDS, Column

__all__ = ["DAY_FIELDS", "FIELDS", "MODIFIER_FIELDS", "Column", "recognise"]
