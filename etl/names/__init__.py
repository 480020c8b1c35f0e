"""Exercise names: what somebody wrote -> the catalogue's exercise, with grip, stance and side, or suggestions."""

from etl.names.matcher import Match, Matcher, with_thing
from etl.names.things import named_thing
from etl.names.words import normalise_name

__all__ = ["Match", "Matcher", "named_thing", "normalise_name", "with_thing"]
