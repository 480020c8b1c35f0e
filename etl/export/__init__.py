"""The store -> a data package: the set log and what was worked out of it, as CSV and Parquet, with every column described."""

from etl.export.package import export

__all__ = ["export"]
