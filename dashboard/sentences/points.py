"""What is said of single points of a strength series: kept with them, and shown as it stands."""

from __future__ import annotations

PAINFUL = "it hurt, or pain ended it: in no trend"
LOWER = "no effort logged: a lower bound"
BESIDE_LOGGED = f"{LOWER}; in no trend, as effort is usually logged"
AT_LEAST = "at least so much, as another set of that session had more repetitions, which tell a maximum less well"
