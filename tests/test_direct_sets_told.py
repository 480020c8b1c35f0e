"""What the plan says of direct sets: for how long a short part had none, and how much of a full one they were."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from dashboard.sentences import plan
from tests.test_advice_agrees import LAST, following, log, week, weeks


def test_a_short_part_says_for_how_long_no_set_trained_it_directly(store: Path):
    """Lateral raises are done only up to three weeks before; the long head of the triceps had no exercise of its own in eight weeks."""
    raises = "".join(f"{LAST - timedelta(weeks=back, days=-1)},Ida,Lateral raise,{n},6,12,2,,\n" for back in range(3, 8) for n in (1, 2, 3))
    log(store, weeks(8, sets=2) + week(LAST, sets=2) + raises)
    told = {one["subject"]: one["reason"] for one in following(store)}
    assert "No set trained it directly in the last 3 weeks." in told["deltoid_acromial"]
    assert "in the last 8 weeks, or longer." in told["triceps_brachii_long_head"]


def test_a_part_over_its_band_says_how_much_of_it_was_direct():
    assert plan.trim("front delt", 26.0, 20, 11.5, 29.0, 6.0)[1] == "It had 26 hard sets (11.5 to 29), 6 of them direct, and its band ends at 20."
    assert plan.trim("front delt", 26.0, 20, 11.5, 29.0, 26.0)[1] == plan.trim("front delt", 26.0, 20, 11.5, 29.0)[1]
