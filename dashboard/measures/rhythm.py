"""Whether somebody has not trained for longer than they themselves usually leave between two days of training."""

from __future__ import annotations

from etl.settings import RULES, Rules


def is_away(days: int, usual: float, long: float, intervals: int, rules: Rules = RULES) -> bool:
    """Whether `days` without a set are clearly beyond the athlete's own ups and downs.

    usual, long: the median and the `away_quantile` of the intervals between days of training, in days; intervals: how many there are. With fewer
    than `rhythm_least` nothing is usual yet, and a week without a set is what counts.

    >>> is_away(7, 3.5, 4.0, 20), is_away(8, 3.5, 4.0, 20), is_away(8, 3.5, 7.0, 20), is_away(7, float("nan"), float("nan"), 1)
    (False, True, False, True)
    """
    if days < rules.away_days:
        return False
    return intervals < rules.rhythm_least or days > usual + long
