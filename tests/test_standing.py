"""What is kept: worked out from what was known at each week's end, and the same whichever way the log came in."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pandas as pd
import pytest

from dashboard.command.people import say
from dashboard.queries.kept import store_at
from dashboard.queries.review import flags, review
from dashboard.standing.refresh import refresh, stale
from etl.importing import Answers, keep, understand
from etl.store import reading

ROOT = Path(__file__).parent.parent
LOG = (ROOT / "sample_data" / "logs" / "Mina.csv").read_text("utf-8").splitlines()
TODAY = date(2026, 11, 1)
KEPT = ("kept_weeks", "kept_heads", "kept_parts", "kept_muscles", "kept_load", "kept_strength", "kept_part_strength", "kept_bests",
        "kept_flags", "kept_sides", "kept_next", "kept_cautions", "kept_raised")


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
    for table in ("kept_weeks", "kept_parts", "kept_load", "kept_strength", "kept_part_strength", "kept_sides", "kept_next", "kept_raised", "kept_bests"):
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
