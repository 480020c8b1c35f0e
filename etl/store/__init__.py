"""The store: one DuckDB file, opened for a moment at a time, with the bytes of each source file beside it."""

from etl.store.connection import reading, stamp, stamp_of, store_path, writing

__all__ = ["reading", "stamp", "stamp_of", "store_path", "writing"]
