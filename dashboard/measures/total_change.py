"""What a steady rate comes to over some weeks."""

from __future__ import annotations

from math import exp


def total_change(rate_pct_week: float, weeks: float) -> float:
    """The change in % after `weeks` weeks (0 or more) at a rate of `rate_pct_week`, which is 100 times the slope of ln(value).

    100 (exp(rate weeks / 100) - 1). NaN gives NaN.

    >>> round(total_change(0.5, 10), 2), round(total_change(-0.5, 10), 2), total_change(1.0, 0)
    (5.13, -4.88, 0.0)
    """
    return 100 * (exp(rate_pct_week * weeks / 100) - 1)
