"""What the plan says of direct sets: for how long a short part had none, and how much of a full one they were."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from dashboard.sentences import plan
from etl.store import reading
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


def test_what_went_short_now_stands_before_what_the_log_never_trains_directly(store: Path):
    """Six lateral raises and six curls a week, in the last one of each; the long head of the triceps has no exercise of its own in any."""
    own = "".join(f"{LAST - timedelta(weeks=back, days=-1)},Ida,{name},{n},6,12,2,,\n"
                  for back in range(9) for name in ("Lateral raise", "Dumbbell curl") for n in range(1, 7 if back else 2))
    log(store, weeks(8, sets=2) + week(LAST, sets=2) + own)
    with reading(store) as con:
        short = dict(con.execute("select part, band_low - dose from kept_parts where athlete = 'Ida' and week = ? and in_focus and dose < band_low", [LAST]).fetchall())
    added = [one["subject"] for one in following(store) if "short." in one["reason"]]
    never = [one["subject"] for one in following(store) if "or longer" in one["reason"]]
    assert added[0] == "deltoid_acromial"
    assert never and added == [part for part in added if part not in never] + never
    assert short[never[0]] > short[added[0]], "the one that is shorter stands below"
    assert [short[part] for part in never] == sorted((short[part] for part in never), reverse=True)


def test_in_a_log_of_one_week_the_shortest_part_stands_first(store: Path):
    """There is no lately to speak of."""
    log(store, week(LAST, sets=3))
    with reading(store) as con:
        short = dict(con.execute("select part, band_low - dose from kept_parts where athlete = 'Ida' and week = ?", [LAST]).fetchall())
    added = [short[one["subject"]] for one in following(store) if "short." in one["reason"]]
    assert len(added) > 1 and added == sorted(added, reverse=True)


def test_a_part_that_is_to_be_trimmed_names_what_trained_it(store: Path):
    """Hammer curls in the last week, and other curls only before: the brachioradialis hears of the hammer curl alone."""
    before = "".join(f"{LAST - timedelta(weeks=2, days=-1)},Ida,Dumbbell curl,{n},10,10,2,,\n" for n in range(1, 4))
    log(store, weeks(8, sets=6) + before + week(LAST, sets=6) + "".join(f"{LAST + timedelta(days=3)},Ida,Hammer curl,{n},12,8,2,,\n" for n in range(1, 4)))
    told = {one["subject"]: one["reason"] for one in following(store) if "trim" in one["action"]}
    assert told["brachioradialis"] == "It had 21 hard sets (10.5 to 30), by hammer curl, and its band ends at 8."
    assert all("dumbbell curl" not in reason for reason in told.values())
