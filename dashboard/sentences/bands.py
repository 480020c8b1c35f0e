"""How sets of more repetitions read beside sets of fewer: the offset that a trend allows for."""

from __future__ import annotations

from dashboard.sentences.numbers import measured
from etl.settings import RULES, Rules


def band_sentence(offset_pct: float, se_pct: float, rules: Rules = RULES) -> str:
    """offset_pct: level of 6-15 repetitions minus level of 1-5, %, and its SE. '' where only one band has been trained (nan).

    >>> band_sentence(2.1, 1.33)
    'Sets of 6-15 repetitions read 2.1 % (80 %: 0.4 to 3.8) above sets of 1-5 here; the trend allows for it.'
    >>> band_sentence(0.4, 1.0)
    'Whether sets of 6-15 repetitions read above or below sets of 1-5 cannot be told here (0.4 %, 80 %: −0.9 to 1.7); the trend allows for it.'
    >>> band_sentence(float("nan"), float("nan"))
    ''
    """
    if offset_pct != offset_pct or se_pct != se_pct:
        return ""
    low, high = offset_pct - rules.z_interval * se_pct, offset_pct + rules.z_interval * se_pct
    least, most = f"{rules.reps_low_band_max:.0f}", f"{rules.reps_estimate_max:.0f}"
    many, few = f"Sets of {int(rules.reps_low_band_max) + 1}-{most} repetitions", f"sets of 1-{least}"
    if low <= 0 <= high:
        return f"Whether {many[0].lower() + many[1:]} read above or below {few} cannot be told here ({measured(offset_pct)} %, 80 %: {measured(low)} to {measured(high)}); the trend allows for it."
    where = "above" if offset_pct > 0 else "below"
    ends = sorted((abs(low), abs(high)))
    return f"{many} read {measured(abs(offset_pct))} % (80 %: {measured(ends[0])} to {measured(ends[1])}) {where} {few} here; the trend allows for it."
