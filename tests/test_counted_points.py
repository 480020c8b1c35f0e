"""Which sessions count in a trend of strength: not a set that hurt, and no lower bound among sessions whose effort is logged."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pandas as pd
import pytest

from dashboard.standing.bests import BESIDE_LOGGED, LOWER, PAINFUL
from dashboard.standing.refresh import refresh
from etl.settings import RULES
from etl.store import reading
from tests.logs import TODAY, bring

START = date(2026, 3, 2)
HEAD = "Date,Athlete,Exercise,Set,Load (kg),Reps,Hold (s),RIR,Limited by,Pain place,Pain score\n"


def day(session: int) -> date:
    return START + timedelta(days=7 * (session // 2) + 3 * (session % 2))


def row(session: int, exercise: str = "Bench press", n: int = 1, load: str = "60", reps: str = "8", hold: str = "", rir: str = "2", by: str = "", pain: str = "") -> str:
    return f"{day(session)},Ida,{exercise},{n},{load},{reps},{hold},{rir},{by},{'shoulder' if pain else ''},{pain}\n"


def points(store: Path, rows: str, measure: str = "e1rm") -> pd.DataFrame:
    """The points of one measure by the number of their session."""
    bring(store, HEAD + rows)
    refresh(store, today=TODAY)
    with reading(store) as con:
        found = con.execute("select date, value, reps, counted, note from kept_bests where measure = ? order by date", [measure]).df()
    return found.assign(session=[{day(n): n for n in range(200)}[when.date()] for when in found["date"]]).set_index("session")


@pytest.mark.parametrize(("given", "counts"), [
    ({"pain": "3"}, True), ({"pain": str(int(RULES.pain_no_trend))}, False), ({"pain": "9"}, False), ({"by": "pain"}, False), ({"by": "grip"}, True)])
@pytest.mark.parametrize(("measure", "kind"), [("e1rm", {}), ("reps", {"load": "10", "reps": "20", "exercise": "Hammer curl"}),
                                               ("hold", {"exercise": "Plank", "load": "", "reps": "", "hold": "40", "rir": ""})])
def test_a_set_that_hurt_is_shown_and_counts_in_no_trend(store: Path, given: dict, counts: bool, measure: str, kind: dict):
    found = points(store, "".join(row(n, **kind, **(given if n == 5 else {})) for n in range(10)), measure)
    assert found["counted"].tolist() == [counts or n != 5 for n in range(10)]
    assert (found.loc[5, "note"] == PAINFUL) == (not counts)


def test_of_a_session_the_set_that_did_not_hurt_speaks(store: Path):
    rows = "".join(row(n) for n in range(10) if n != 5) + row(5, n=1, load="70", pain="6") + row(5, n=2, load="55")
    found = points(store, rows)
    assert found["counted"].all() and found.loc[5, "value"] < found.loc[4, "value"] and found.loc[5, "note"] == ""


def test_more_repetitions_never_draw_a_lower_point(store: Path):
    """Three sets at one load, the last one repetition behind: its fewer possible ones do not speak for the first, that did better."""
    rows = "".join(row(n, n=one, load="10", reps=str(8 + n - (one == 3)), exercise="Hammer curl") for n in range(7) for one in (1, 2, 3))
    found = points(store, rows)
    possible = [10, 11, 12, 13, 14, 15, 15]  # of sixteen there is no estimate: the third set of fifteen is shown
    assert found["counted"].tolist() == [reps <= RULES.reps_trend_max for reps in possible]
    assert (found["reps"] + 2).tolist() == possible and found["value"].is_monotonic_increasing


def test_a_heavier_set_speaks_beside_many_repetitions_with_less(store: Path):
    rows = "".join(row(n, n=1, load="60", reps="8") + row(n, n=2, load="50", reps="13") + row(n, n=3, load="50", reps="9") for n in range(4))
    found = points(store, rows)
    assert found["counted"].all() and (found["reps"] == 8).all()


@pytest.mark.parametrize("first", [{"pain": "6"}, {"rir": "4"}])
def test_what_hurt_or_was_easy_takes_no_set_away(store: Path, first: dict):
    found = points(store, "".join(row(n, n=1, reps="13", **first) + row(n, n=2, reps="8") for n in range(4)))
    assert found["counted"].all() and (found["reps"] == 8).all()


def test_a_blank_effort_counts_until_logging_it_is_usual(store: Path):
    """Four of eight, by what was known on the day: the first blank ones count, those among logged ones do not, and counts again once logging has stopped."""
    logged = [False, False, True, True, True, True, False, True, False, *[False] * 9]
    found = points(store, "".join(row(n, rir="2" if there else "") for n, there in enumerate(logged)))
    usual = [sum(logged[max(0, n - RULES.effort_usual_of + 1) : n + 1]) >= RULES.effort_usual_least for n in range(len(logged))]
    assert found["counted"].tolist() == [there or not many for there, many in zip(logged, usual, strict=True)]
    assert not found["counted"].iloc[6] and found["counted"].iloc[[0, 1, -1]].all()
    assert found["note"].tolist() == ["" if there else BESIDE_LOGGED if many else LOWER for there, many in zip(logged, usual, strict=True)]


def test_blanks_among_logged_sessions_are_no_loss_of_strength(store: Path):
    """Ten repetitions in each session with two or three left, written down in two of three: nothing changed, so no fall and no lower best."""
    rows = "".join(row(n, "Hammer curl", load="10", reps="10", rir="" if n > 5 and n % 3 == 2 else "2") for n in range(30))
    bring(store, HEAD + rows)
    refresh(store, today=TODAY)
    with reading(store) as con:
        told = con.execute("select value, value_low, value_high, verdict, rate_pct_week from kept_strength where exercise = 'hammer_curl' "
                           "and verdict <> 'too_little_data' order by week").df()
    assert len(told) and told["rate_pct_week"].abs().max() < 1e-6 and told["value"].round(6).nunique() == 1
    assert not told["verdict"].isin(["declining", "progressing"]).any()


def test_what_a_point_counts_for_hangs_on_nothing_later(store: Path, tmp_path: Path):
    logged = [True, False, True, True, True, True, False, True, True, False, True, False]
    rows = [row(n, rir="2" if there else "") for n, there in enumerate(logged)]
    whole = points(store, "".join(rows))
    some = points(tmp_path / "some.duckdb", "".join(rows[:7]))
    assert some["counted"].tolist() == whole["counted"].tolist()[:7]
