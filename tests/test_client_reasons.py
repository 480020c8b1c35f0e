"""What makes a reason to look at an athlete, its words, and what does not."""

from __future__ import annotations

from datetime import date, timedelta

import pandas as pd
import pytest

from dashboard.queries import clients
from dashboard.queries.kept import store_at
from etl.settings import RULES
from tests.client_store import BEFORE, LAST_SET, TODAY, WEEK, a_flag, a_part, a_set, a_verdict, a_week, basis, fill, looked_at, reasons


@pytest.mark.parametrize(("days", "said"), [(RULES.away_days - 1, False), (RULES.away_days, True)])
def test_not_trained_begins_with_the_setting(store, days, said):
    path = fill(store, **basis("A", "B", days={"A": TODAY - timedelta(days=days)}))
    assert looked_at(path)["A"].away == said
    assert looked_at(path)["A"].days_ago == days


def test_where_nobody_has_a_set_for_long_days_are_counted_to_the_end_of_that_week(store):
    path = fill(store, **basis("A", "B", days={"B": WEEK - timedelta(days=20)}))
    late = LAST_SET + timedelta(days=RULES.log_old_days)
    at = clients.seen(store_at(path), late)
    assert (at.week, at.until, at.today) == (WEEK, WEEK + timedelta(days=6), False)
    assert clients.seen(store_at(path), late - timedelta(days=1)).today
    found = looked_at(path, today=late)
    assert found["A"].days_ago == 1 and not found["A"].away and found["B"].away


def test_who_has_not_trained_is_told_when_something_of_theirs_last_came_in_and_an_earlier_week_does_not_know_it(store):
    def brought(number: int, day: date) -> dict:
        return {"import_id": number, "made_at": pd.Timestamp(day), "rows_read": 1, "rows_with_sets": 1, "sets_stored": 1, "days_stored": 0, "already_stored": 0,
                "rows_set_aside": 0, "answers": "{}", "files": "[]", "assumed": "[]", "undone": False}

    rows = basis("A", "B", "C", days={"A": WEEK - timedelta(days=3), "B": WEEK - timedelta(days=3)})
    rows["sets"] += [a_set("A", WEEK - timedelta(days=5), import_id=2), a_set("C", import_id=3)]
    path = fill(store, **rows, imports=[brought(1, WEEK - timedelta(days=4)), brought(2, WEEK + timedelta(days=1)), brought(3, TODAY)])
    told = reasons(path, "A")
    assert told["nothing_new"] == "No set for 10 days, since 6 March 2026. Nothing new has come in from them since 10 March, so that they may have trained."
    assert "not_trained" not in told and looked_at(path)["A"].away and looked_at(path)["A"].group == "rest"
    assert "since 5 March, so" in reasons(path, "B")["nothing_new"] and not {"not_trained", "nothing_new"} & set(reasons(path, "C"))
    assert reasons(path, "A", today=TODAY + timedelta(days=7), week=WEEK)["not_trained"] == "No set for 9 days, since 6 March 2026."


def test_an_earlier_week_knows_nothing_of_what_came_later(store):
    rows = basis("A", "B", days={"B": WEEK - timedelta(days=3)})
    rows["sets"] += [a_set("A", WEEK - timedelta(days=2)), a_set("A", pain_place="wrist", pain_score=3.0), a_set("B", WEEK, pain_place="hip", pain_score=8.0)]
    rows["kept_weeks"] += [a_week("C")]
    rows["sets"] += [a_set("C")]
    path = fill(store, **rows, kept_flags=[a_flag("A", "spike", "alert", "Whole body: 90 hard sets.")])
    before = looked_at(path, week=BEFORE)
    assert set(before) == {"A", "B"} and all(not one.reasons for one in before.values())
    assert before["A"].last_trained == WEEK - timedelta(days=2)
    assert list(looked_at(path)) == ["B", "A", "C"]


def test_a_flag_is_told_at_the_level_of_its_own_week(store):
    """An episode keeps the highest level that it ever reached: later than the week that is looked at, it may be."""
    rows = basis("A")
    path = fill(store, **rows, kept_flags=[a_flag("A", "return", "alert", "First words.", until=None)],
                kept_raised=[{"athlete": "A", "week": WEEK, "kind": "return", "subject": "whole_body", "level": "review", "message": "Own words.", "numbers": "{}", "rank": 1.0}])
    assert reasons(path, "A") == {"flag": "Own words."}


def test_an_alert_stands_before_other_new_flags_and_they_are_counted(store):
    path = fill(store, **basis("A"), kept_flags=[
        a_flag("A", "climb", "review", "Whole body climbs."), a_flag("A", "large_spike", "alert", "Lats: 20 sets.", subject="lats"),
        a_flag("A", "plateau", "review", "told as a verdict", subject="plank"), a_flag("A", "below_band", "review", "told as a part", subject="lats"),
        a_flag("A", "first_exposure", "note", "New: sled."), a_flag("A", "climb", "review", "of the week before", subject="vasti", week=BEFORE)])
    assert reasons(path, "A") == {"alert": "Lats: 20 sets. And 1 more flag.", "first_time": "New: sled."}


def test_pain_of_weeks_running_is_told_so(store):
    """Once with its side; what was noted a month before is another time."""
    rows = basis("A")
    rows["sets"] += [a_set("A", WEEK - timedelta(weeks=back), pain_place=place, pain_score=4.0) for place, back in (("knee", 0), ("left knee", 1), ("knee", 2), ("knee", 5))]
    assert reasons(fill(store, **rows), "A")["pain"] == "Noted on 9 March: knee, 4 of 10, 3 weeks running."


def test_pain_is_told_from_sets_days_and_notes_up_to_today(store):
    rows = basis("A", "B")
    rows["sets"] += [a_set("A", WEEK, pain_place="elbow", pain_score=2.0), a_set("A", WEEK, pain_place="elbow", pain_score=3.0)]
    day = {"import_id": 1, "identity": "x", "athlete": "A", "date": TODAY, "pain_place": "back", "pain_score": 6.0, "source": "log.csv", "source_row": 3}
    note = {"note_id": 1, "athlete": "B", "date": WEEK, "kind": "pain", "subject": "", "text": "sore after stairs", "place": None, "score": None, "private": True,
            "said_at": pd.Timestamp(WEEK)}
    old = note | {"note_id": 2, "date": WEEK - timedelta(days=1), "text": "long ago"}
    path = fill(store, **rows, days=[day], notes=[note, old, note | {"note_id": 3, "kind": "soreness", "text": "legs"}])
    assert reasons(path, "A")["pain"] == "Noted on 16 March: back, 6 of 10; on 9 March: elbow, 3 of 10."
    assert reasons(path, "B")["pain"] == "Noted on 9 March: sore after stairs."


def test_verdicts_of_parts_speak_for_their_exercises_and_too_little_data_is_no_turn(store):
    def exercise(week: date, verdict: str, name: str = "plank") -> dict:
        return {"athlete": "A", "week": week, "exercise": name, "measure": "hold", "series": "", "verdict": verdict}

    path = fill(store, **basis("A"), kept_part_strength=[
        a_verdict("A", BEFORE, "undecided"), a_verdict("A", WEEK, "plateau"), a_verdict("A", BEFORE, "too_little_data", "vasti"), a_verdict("A", WEEK, "declining", "vasti"),
        a_verdict("A", BEFORE, "plateau", "biceps"), a_verdict("A", WEEK, "plateau", "biceps")],
        kept_strength=[exercise(BEFORE, "progressing"), exercise(WEEK, "plateau"), exercise(BEFORE, "progressing", "push_up"), exercise(WEEK, "declining", "push_up")])
    assert reasons(path, "A") == {"falling": "Push-up is declining now.", "verdict": "Lats are standing still now."}


def test_a_part_crosses_its_band_only_between_two_weeks_of_training_that_were_no_deload(store):
    rows = basis("A", "B", "C", "D")
    rows["kept_weeks"] = [a_week(name, week, deload=name == "B" and week == WEEK, sessions=0 if name == "C" and week == BEFORE else 3) for name in "ABCD" for week in (BEFORE, WEEK)]
    path = fill(store, **rows, kept_parts=[
        *(a_part(name, week, status) for name in "ABC" for week, status in ((BEFORE, "within"), (WEEK, "below"))),
        a_part("A", BEFORE, "below", "biceps"), a_part("A", WEEK, "above", "biceps"),
        a_part("D", BEFORE, "within", in_focus=False), a_part("D", WEEK, "below", in_focus=False)])
    assert reasons(path, "A") == {"part_short": "Below its band, and not the week before: lats.", "part_back": "No longer below its band: biceps."}
    assert all(not looked_at(path)[name].reasons for name in "BCD")


@pytest.mark.parametrize(("mark", "told"), [("large_spike", False), ("spike", False), ("step_up", True), (None, True)])
def test_after_a_week_whose_load_jumped_no_part_is_told_as_having_gone_short(store, mark, told):
    path = fill(store, **basis("A"), kept_parts=[a_part("A", BEFORE, "within"), a_part("A", WEEK, "below")],
                kept_load=[{"athlete": "A", "week": BEFORE, "subject": "whole_body", "load": 80.0, "usual": 40.0, "mark": mark},
                           {"athlete": "A", "week": BEFORE, "subject": "lats", "load": 8.0, "usual": 4.0, "mark": "large_spike"}])
    assert ("part_short" in reasons(path, "A")) == told


@pytest.mark.parametrize(("before", "sure"), [(90.0, "within"), (80.0, "beyond")])
def test_a_best_says_whether_it_is_more_than_its_uncertainty(store, before, sure):
    def row(week: date, best: float, since: date, verdict: str = "undecided", exercise: str = "barbell_bench_press") -> dict:
        return {"athlete": "A", "week": week, "exercise": exercise, "measure": "e1rm", "series": "", "verdict": verdict, "best_value": best, "best_since": since}

    path = fill(store, **basis("A"), kept_strength=[
        row(BEFORE, before, BEFORE), row(WEEK, 92.5, WEEK), row(BEFORE, 50.0, BEFORE, "too_little_data", "back_squat"), row(WEEK, 60.0, WEEK, "too_little_data", "back_squat"),
        row(BEFORE, 70.0, BEFORE, exercise="barbell_row"), row(WEEK, 70.0, BEFORE, exercise="barbell_row")],
        kept_bests=[{"athlete": "A", "date": WEEK, "exercise": "barbell_bench_press", "series": "", "measure": "e1rm", "value": 92.5, "low": 88.4, "high": 96.8}])
    assert reasons(path, "A") == {"best": f"Barbell bench press: estimated maximum 92.5 kg (80 % interval 88.4 to 96.8 kg), before it {before:g} kg, {sure} its uncertainty."}


def test_the_first_week_after_a_break_asks_for_a_look(store):
    load = [{"athlete": "A", "week": week, "subject": subject, "load": 5.0, "state": state} for week, subject, state in (
        (BEFORE, "whole_body", "layoff"), (WEEK, "whole_body", "return"), (BEFORE, "lats", "layoff"), (WEEK, "lats", "return"))]
    path = fill(store, **basis("A"), kept_load=load)
    assert reasons(path, "A") == {"back": "First week after a break: 40 hard sets."} and looked_at(path)["A"].group == "first"


def test_a_name_on_which_somebody_has_decided_waits_no_more(store):
    rows = basis("A")
    rows["sets"] += [a_set("A", exercise=None, name_key="sled thing")]
    path = fill(store, **rows)
    assert "to_check" in reasons(path, "A")
    fill(path, name_decisions=[{"name_key": "sled thing", "exercise": "", "made_at": pd.Timestamp(WEEK)}])
    assert not reasons(path, "A")


@pytest.mark.parametrize(("subject", "when", "heard"), [
    ("", WEEK, True), ("lats", WEEK - timedelta(days=21), True), ("pull_up", WEEK, True), ("biceps", WEEK, False), ("push_up", WEEK, False),
    ("lats", WEEK - timedelta(days=22), False), ("lats", TODAY, True), ("lats", TODAY + timedelta(days=1), False)])
def test_who_stands_still_asks_until_something_about_it_is_decided(store, subject, when, heard):
    path = fill(store, **basis("A"), kept_parts=[a_part("A", WEEK, "within")],
                kept_part_strength=[a_verdict("A", WEEK - timedelta(weeks=back), "plateau") for back in range(6)],
                decisions=[{"decision_id": 1, "athlete": "A", "date": when, "text": "more", "subject": subject, "said_at": pd.Timestamp(WEEK)}])
    assert ("stands" not in reasons(path, "A")) == heard


def test_weeks_that_stand_still_are_counted_since_the_last_other_verdict_and_of_parts_in_focus_alone(store):
    turned = [a_verdict("A", WEEK - timedelta(weeks=back), verdict) for back, verdict in enumerate(["declining", "plateau", "plateau", "plateau", "undecided", "plateau"])]
    long = [a_verdict("A", WEEK - timedelta(weeks=back), "plateau", "biceps") for back in range(40)]
    early = [a_verdict("A", WEEK - timedelta(weeks=back), "plateau", "brachialis") for back in range(3)]
    past = [a_verdict("A", WEEK - timedelta(weeks=back), "plateau", "soleus") for back in range(1, 9)]
    beside = [a_verdict("A", WEEK - timedelta(weeks=back), "plateau", "gluteus_maximus") for back in range(9)]
    path = fill(store, **basis("A"), kept_part_strength=[*turned, *long, *early, *past, *beside],
                kept_parts=[a_part("A", WEEK, "within", part) for part in ("lats", "biceps", "brachialis", "soleus")]
                + [a_part("A", WEEK, "within", "gluteus_maximus", in_focus=False)])
    assert reasons(path, "A")["stands"] == ("No rise found: biceps (26 weeks running or more). Falling: lats (4 weeks running). "
                                            "No decision about them in the last 4 weeks.")
