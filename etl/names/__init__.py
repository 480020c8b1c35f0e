"""Exercise names: what somebody wrote -> the catalogue's exercise, with grip, stance and side, or suggestions."""

from etl.names.matcher import Match, Matcher
from etl.names.words import normalise_name

__all__ = ["Match", "Matcher", "normalise_name"]
