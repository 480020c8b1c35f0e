"""What is kept: worked out from what was known at each week's end, and the same whichever way the log came in."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pandas as pd
import pytest

from dashboard.queries.kept import store_at
from dashboard.queries.review import flags, review
from dashboard.standing.refresh import refresh, stale
from etl.importing import Answers, keep, understand, undo
from etl.store import reading, writing
from etl.store.athletes import say

ROOT = Path(__file__).parent.parent
LOG = (ROOT / "sample_data" / "logs" / "Mina.csv").read_text("utf-8").splitlines()
TODAY = date(2026, 11, 1)
KEPT = ("kept_weeks", "kept_heads", "kept_parts", "kept_muscles", "kept_load", "kept_strength", "kept_part_strength", "kept_bests",
        "kept_flags", "kept_sides", "kept_next", "kept_cautions", "kept_raised", "kept_onsets", "kept_load_columns")


def new_store(folder: Path) -> Path:
    """An empty store that knows Mina as a beginner."""
    say(folder / "s.duckdb", "Mina", level="beginner")
    return folder / "s.duckdb"


def bring(store: Path, lines: list[str], today: date = TODAY) -> None:
    text = "\n".join([LOG[0], *lines]) + "\n"
    keep(store, understand([("Mina.csv", text.encode())], Answers(athlete="Mina"), today=today))
    refresh(store, today=today)


def until(last: str) -> list[str]:
    """The rows of the log dated up to `last`; one damaged row is left out."""
    return [line for line in LOG[1:] if line[:10] <= last and ",abc," not in line and ",5000," not in line]


def kept(store: Path, table: str, before: date = date.max) -> pd.DataFrame:
    day = "date" if table == "kept_bests" else "week"
    with reading(store) as con:
        found = con.execute(f"select * from {table} where {day} < ?", [before]).df()
    return found.sort_values(list(found.columns), ignore_index=True)


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    store = new_store(tmp_path_factory.mktemp("whole"))
    bring(store, until("2026-08-02"))
    return store


@pytest.mark.parametrize("sunday", [date(2026, 5, 3), date(2026, 6, 14)])
def test_a_week_is_judged_from_what_was_known_then(tmp_path: Path, whole: Path, sunday: date):
    """The log that ends on that Sunday raises the same, week by week, as the log that goes on."""
    store = new_store(tmp_path)
    bring(store, until(sunday.isoformat()))
    after = sunday + timedelta(days=1)
    for table in ("kept_weeks", "kept_parts", "kept_muscles", "kept_load", "kept_strength", "kept_part_strength", "kept_sides", "kept_next", "kept_raised", "kept_bests", "kept_load_columns"):
        assert len(kept(store, table, after)), table
        pd.testing.assert_frame_equal(kept(store, table, after), kept(whole, table, after), check_exact=False, rtol=1e-9, obj=table)


def test_a_log_that_grows_is_kept_as_if_it_had_come_at_once(tmp_path: Path, whole: Path):
    """Only weeks from the first that a change touches are worked out again, and the whole is the same."""
    store = new_store(tmp_path)
    bring(store, until("2026-05-10"))
    bring(store, until("2026-08-02"))
    for table in KEPT:
        pd.testing.assert_frame_equal(kept(store, table), kept(whole, table), check_exact=False, rtol=1e-9, obj=table)


def test_a_change_touches_no_earlier_week(tmp_path: Path):
    store = new_store(tmp_path)
    bring(store, until("2026-05-10"))
    text = "\n".join([LOG[0], *until("2026-08-02")]) + "\n"
    keep(store, understand([("Mina.csv", text.encode())], Answers(athlete="Mina"), today=TODAY))
    early = kept(store, "kept_strength", date(2026, 3, 2))
    refresh(store, today=TODAY)
    pd.testing.assert_frame_equal(kept(store, "kept_strength", date(2026, 3, 2)), early)


def test_the_running_week_is_so_far_and_raises_nothing(tmp_path: Path):
    """On the Thursday of the week in which Mina comes back at full volume, the week is shown and no flag is."""
    store, thursday = new_store(tmp_path), date(2026, 5, 28)
    bring(store, until(thursday.isoformat()), today=thursday)
    last = kept(store, "kept_weeks").iloc[-1]
    assert last["so_far"] and last["week"].date() == date(2026, 5, 25) and last["hard_sets"] > 0
    assert not [f for f in flags(store_at(store), "Mina") if f["week"] >= "2026-05-25"]
    assert review(store_at(store), "Mina", date(2026, 5, 25))["so_far"] is True


def test_hard_sets_of_a_week_are_counted_once(whole: Path):
    """Whole-body hard sets equal the sum over exercises; a part's dose never exceeds them."""
    with reading(whole) as con:
        worst = con.execute("select max(p.dose - w.hard_sets) from kept_parts p join kept_weeks w using (athlete, week)").fetchall()[0][0]
        same = con.execute("select count(*) from kept_load l join kept_weeks w using (athlete, week) "
                           "where l.subject = 'whole_body' and abs(l.load - w.hard_sets) > 1e-9").fetchall()[0][0]
    assert worst <= 1e-9 and same == 0


def test_cautions_come_when_a_kind_of_work_is_new_and_no_oftener(whole: Path):
    topics = kept(whole, "kept_cautions").groupby("topic")["week"].agg(["min", "count"])
    assert topics.loc["start", "count"] == 1 and topics.loc["first_weeks", "count"] == 4
    assert topics.loc["coming_back", "min"].date() == date(2026, 5, 25)
    assert "upside_down" not in topics.index


PAIN = "Date,Athlete,Exercise,Load (kg),Reps,Pain place,Pain score\n"


def test_pain_is_answered_with_whom_to_see(tmp_path: Path):
    """Above 5 of 10; and an aching elbow two sessions running."""
    text = PAIN + "2026-03-02,Ida,Curl,8,10,elbow,3\n2026-03-05,Ida,Curl,8,10,elbow,2\n2026-03-16,Ida,Curl,8,10,hip,7\n"
    store = tmp_path / "s.duckdb"
    keep(store, understand([("p.csv", text.encode())], Answers(), today=TODAY))
    refresh(store, today=TODAY)
    found = kept(store, "kept_cautions")
    assert [(w.date(), t) for w, t in zip(found["week"], found["topic"], strict=True) if t in ("ache", "pain")] == [
        (date(2026, 3, 2), "ache"), (date(2026, 3, 16), "pain")]


HEAD = "Date,Athlete,Exercise,Set,Load (kg),Reps,RIR,Kind,Pain place,Pain score,Planned\n"


def log_of(tmp_path: Path, rows: list[str], today: date = TODAY) -> Path:
    """A store with one log of Ida, in files as given: each text of rows is imported and worked out on `today`."""
    store = tmp_path / "s.duckdb"
    keep(store, understand([("ida.csv", (HEAD + "".join(rows)).encode())], Answers(), today=today))
    refresh(store, today=today)
    return store


def row(day: date | str, exercise: str = "Bench press", n: int = 1, load: float | str = 60, reps: float = 8, rir: float | str = 2, kind: str = "",
        place: str = "", score: float | str = "", planned: str = "") -> str:
    return f"{day},Ida,{exercise},{n},{load},{reps},{rir},{kind},{place},{score},{planned}\n"


def weekly_rows(weeks: int, start: date = date(2026, 1, 5), **given) -> list[str]:
    return [row(start + timedelta(days=7 * w + d), n=n, **given) for w in range(weeks) for d in (0, 3) for n in (1, 2, 3)]


def test_a_week_imported_while_it_ran_is_judged_once_it_has_ended(tmp_path: Path):
    """Nine weekly imports on Sundays, the last week tripled; on the Monday after, the week is complete and flagged."""
    store = tmp_path / "s.duckdb"
    for week in range(9):
        sunday = date(2026, 1, 11) + timedelta(days=7 * week)
        rows = weekly_rows(1, sunday - timedelta(days=6))
        rows += [row(sunday, n=n) for n in range(4, 16)] if week == 8 else []
        keep(store, understand([("w.csv", (HEAD + "".join(rows)).encode())], Answers(), today=sunday))
        refresh(store, today=sunday)
    monday = date(2026, 3, 9)
    assert [athlete for athlete, _ in stale(store, monday)] == ["Ida"]
    refresh(store, today=monday)
    assert not kept(store, "kept_weeks")["so_far"].any()
    assert ("large_spike", "whole_body", "2026-03-02") in {(f["kind"], f["subject"], f["week"]) for f in flags(store_at(store), "Ida")}
    assert stale(store, monday) == []


@pytest.mark.parametrize("rows", [[row("2026-03-02", "zorbo")], [row("2026-03-02", kind="warm up")], [row("2026-03-02", reps=0)]])
def test_a_log_without_a_matched_work_set_is_no_fault(tmp_path: Path, rows: list[str]):
    store = log_of(tmp_path, rows)
    assert stale(store) == [] and kept(store, "kept_bests").empty


def test_pain_comes_first_and_no_load_is_added_to_it(tmp_path: Path):
    rows = weekly_rows(4, reps=12, rir=3, place="elbow", score=7)
    found = review(store_at(log_of(tmp_path, rows)), "Ida", date(2026, 1, 26))["next"]
    assert "hold, or trim and lighten" in found[0]["action"] and found[0]["subject"] == "barbell_bench_press"
    assert not any("next load up" in n["action"] or n["subject"] == "chest_sternal" for n in found)


def test_the_same_log_without_pain_is_ready_for_the_next_load(tmp_path: Path):
    rows = weekly_rows(4, reps=12, rir=3)
    found = review(store_at(log_of(tmp_path, rows)), "Ida", date(2026, 1, 26))["next"]
    assert any("next load up" in n["action"] and n["subject"] == "barbell_bench_press" for n in found)


def test_a_station_left_out_is_not_done(tmp_path: Path):
    store = log_of(tmp_path, [row("2026-03-02"), row("2026-03-02", n=2, reps=0), row("2026-03-02", n=3, reps=0)])
    assert kept(store, "kept_weeks")["hard_sets"].tolist() == [1.0]


def test_a_band_in_the_load_gives_no_estimate(tmp_path: Path):
    rows = [row(date(2026, 3, 2), "Pull-up", n, load="red band", rir=1) for n in (1, 2)]
    store = log_of(tmp_path, rows)
    assert kept(store, "kept_bests")["measure"].tolist() == ["reps"] and kept(store, "kept_bests")["series"].tolist() == ["0 kg with a band"]
    assert kept(store, "kept_weeks")["tonnage_kg"].isna().all()


def test_undoing_what_filled_effort_works_the_weeks_out_again(tmp_path: Path):
    store = log_of(tmp_path, weekly_rows(1, rir=""))
    number = keep(store, understand([("b.csv", (HEAD + "".join(weekly_rows(1, rir=8))).encode())], Answers(), today=TODAY))["import"]
    refresh(store, today=TODAY)
    assert kept(store, "kept_weeks")["hard_sets"].tolist() == [3.0]
    undo(store, number)
    refresh(store, today=TODAY)
    assert kept(store, "kept_weeks")["hard_sets"].tolist() == [6.0]


def test_a_running_week_is_no_deload(tmp_path: Path):
    rows = weekly_rows(8) + [row("2026-03-02", n=n) for n in (1, 2)]
    last = kept(log_of(tmp_path, rows, today=date(2026, 3, 3)), "kept_weeks").iloc[-1]
    assert last["so_far"] and not last["deload"]


def test_planned_sets_stay_in_their_week(tmp_path: Path):
    rows = weekly_rows(2) + [row("2026-01-13", n=n, planned="yes") for n in (7, 8)] + [row("2026-01-27", n=9, planned="yes")]
    planned = kept(log_of(tmp_path, rows), "kept_weeks")["planned_sets"]
    assert planned.isna().tolist() == [True, False] and planned.iloc[1] == 6 + 2  # the two left out, and what was done


def test_an_exercise_no_longer_done_does_not_get_stronger(tmp_path: Path):
    rows = [r for w in range(12) for r in weekly_rows(1, date(2026, 1, 5) + timedelta(days=7 * w), load=60 + 0.5 * w)]
    rows += [r for w in range(12, 16) for r in weekly_rows(1, date(2026, 1, 5) + timedelta(days=7 * w), exercise="Dumbbell bench press", load=20)]
    found = kept(log_of(tmp_path, rows), "kept_strength").query("exercise == 'barbell_bench_press'").sort_values("week")
    assert found["e1rm_kg"].iloc[-4:].max() <= found["e1rm_kg"].iloc[-5] * 1.005
    assert "Last done on" in found["reason"].iloc[-1]


@pytest.mark.parametrize(("reps", "load"), [(8, 22), (12, 22)])
def test_a_load_in_the_other_unit_is_a_note_at_any_repetitions(tmp_path: Path, reps: int, load: float):
    rows = weekly_rows(5, exercise="Lateral raise", load=10, reps=reps) + [row("2026-02-10", "Lateral raise", load=load, reps=reps)]
    kinds = {(f["kind"], f["subject"]) for f in flags(store_at(log_of(tmp_path, rows)), "Ida")}
    assert ("check_entry", "dumbbell_lateral_raise") in kinds


def test_a_body_mass_speaks_for_the_ninety_days_before_it(tmp_path: Path):
    """Whether it came with the log or later: the same is kept."""
    pulls = weekly_rows(10, exercise="Pull-up", load="BW", reps=6)
    late, early = log_of(tmp_path, pulls), tmp_path / "early.duckdb"
    first_mass = understand([("m.csv", b"Date,Athlete,Exercise,Reps,Body mass (kg)\n2026-03-12,Ida,,,80\n")], Answers(), today=TODAY)
    keep(late, first_mass)
    refresh(late, today=TODAY)
    keep(early, first_mass)
    keep(early, understand([("ida.csv", (HEAD + "".join(pulls)).encode())], Answers(), today=TODAY))
    refresh(early, today=TODAY)
    assert set(kept(late, "kept_bests").query("date >= '2026-01-05'")["measure"]) == {"per_kg", "reps"}
    for table in ("kept_weeks", "kept_strength", "kept_bests"):
        pd.testing.assert_frame_equal(kept(late, table), kept(early, table), obj=table)


def test_changed_rules_or_catalogue_work_every_week_out_again(tmp_path: Path):
    """What is kept remembers what it was worked out with."""
    store = log_of(tmp_path, weekly_rows(3))
    assert stale(store) == []
    with writing(store) as con:
        con.execute("update meta set value = 'an older program' where key = 'worked_out_with'")
        con.execute("update kept_weeks set hard_sets = 99")
    assert stale(store) == [("Ida", date(2026, 1, 5))]
    refresh(store, today=TODAY)
    assert stale(store) == [] and kept(store, "kept_weeks")["hard_sets"].tolist() == [6.0, 6.0, 6.0]


def test_a_week_without_training_gets_no_advice_on_sets(tmp_path: Path):
    rows = weekly_rows(3) + weekly_rows(1, date(2026, 2, 2))
    found = review(store_at(log_of(tmp_path, rows)), "Ida", date(2026, 1, 26))["next"]
    assert [n["action"] for n in found] == ["Go on where you left off."]


def test_the_best_is_not_below_the_value_now(whole: Path):
    """Both are of the points that count in a trend."""
    found = kept(whole, "kept_strength").query("verdict == 'too_little_data'")
    assert len(found) and (found["best_value"] >= found["value"] - 1e-9).all()


def test_undoing_a_body_mass_takes_back_what_it_said_of_the_weeks_before(tmp_path: Path):
    store = log_of(tmp_path, weekly_rows(4, exercise="Pull-up", load="BW", reps=6))
    before = kept(store, "kept_weeks")
    mass = understand([("m.csv", b"Date,Athlete,Exercise,Reps,Body mass (kg)\n2026-01-29,Ida,,,80\n")], Answers(), today=TODAY)
    number = keep(store, mass)["import"]
    refresh(store, today=TODAY)
    assert kept(store, "kept_weeks")["tonnage_kg"].notna().all()
    undo(store, number)
    refresh(store, today=TODAY)
    pd.testing.assert_frame_equal(kept(store, "kept_weeks"), before)


def test_a_week_of_return_is_not_told_that_parts_are_short(tmp_path: Path):
    """Its doses are low on purpose."""
    rows = weekly_rows(6) + [row(date(2026, 3, 23), n=n) for n in (1, 2)] + weekly_rows(1, date(2026, 3, 30))
    found = review(store_at(log_of(tmp_path, rows)), "Ida", date(2026, 3, 23))["next"]
    assert "coming back" in found[0]["reason"] and not any("can wait" in n["reason"] for n in found)


def test_what_was_planned_is_told_by_how_the_log_wrote_its_plan_so_far(tmp_path: Path):
    """A plan with rows of its own is those rows; of one beside what was done only what was left out is stored, so the rest belongs to it. Neither hangs on later weeks."""
    own = [row(day, n=n, planned=said) for w in range(4) for day in (date(2026, 1, 5) + timedelta(weeks=w),) for said in ("", "yes") for n in (1, 2, 3)]
    beside = weekly_rows(4) + [row(date(2026, 1, 5) + timedelta(weeks=w), n=9, planned="yes") for w in (0, 2)]
    for rows, told in ((own, [3, 3, 3, 3]), (beside, [7, None, 7, None])):
        for weeks in (4, 3):
            (folder := tmp_path / f"{len(told)}{told[1]}{weeks}").mkdir()
            until_then = [one for one in rows if date.fromisoformat(one[:10]) < date(2026, 1, 5) + timedelta(weeks=weeks)]
            planned = kept(log_of(folder, until_then), "kept_weeks")["planned_sets"]
            assert [None if pd.isna(one) else one for one in planned] == told[:weeks]
