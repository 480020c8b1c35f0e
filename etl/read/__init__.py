"""Bytes of a file -> a table of text. Knows nothing of training."""

from etl.read.table import TextTable, read_table

__all__ = ["TextTable", "read_table"]
