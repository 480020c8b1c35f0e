"""A large file with one plain row per set, read block by block: each distinct cell is read once, by the careful path's own code.

What is not plain goes through the careful path row by row; a file that is mostly not plain goes there as a whole.
"""

from etl.fast.blocks import FAST_BYTES
from etl.fast.parse import Unfit
from etl.fast.sets import decoded, framed
from etl.fast.whole import Plan, read_fast

__all__ = ["FAST_BYTES", "Plan", "Unfit", "decoded", "framed", "read_fast"]
