"""Rows of text -> rows of the set log, or rows set aside with a reason. Knows no database."""

from etl.normalise.frame import DAY_COLUMNS, HELPERS, SET_COLUMNS, Normal
from etl.normalise.habits import Habits, habits_of
from etl.normalise.rows import normalise

__all__ = ["DAY_COLUMNS", "HELPERS", "SET_COLUMNS", "Habits", "Normal", "habits_of", "normalise"]
