"""Which sessions count in a trend of strength: not a set that hurt, and no lower bound among sessions whose effort is logged."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pandas as pd
import pytest

from dashboard.sentences.points import AT_LEAST, BESIDE_LOGGED, LOWER, PAINFUL
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


@pytest.mark.parametrize(("first", "third", "value", "said"), [(8, 7, 10, False), (9, 8, 10, True), (14, 7, 9, True), (10, 9, 12, False)])
def test_a_tired_set_in_the_place_of_a_better_one_is_told_as_at_least_so_much(store: Path, first: int, third: int, value: int, said: bool):
    """Three sets at one load with two in reserve: where the first had more than ten, the last one stands for it. Sixteen outdo it as well. Without one of ten and less the best of up to fifteen speaks."""
    found = points(store, "".join(row(n, n=one, load="10", reps=str(third if one == 3 else first), exercise="Hammer curl") for n in range(4) for one in (1, 2, 3)))
    assert len(found) == 4 and found["counted"].all() and (found["reps"] + 2 == value).all()
    assert (found["note"] == (AT_LEAST if said else "")).all()


def test_who_passes_fifteen_repetitions_is_not_told_by_a_later_set_of_fewer(store: Path):
    """Sixteen and more are beyond an estimate, and eleven to fifteen at that load after them say nothing of the session."""
    found = points(store, "".join(row(n, n=1, load="10", reps=str(12 + n), rir="1", exercise="Hammer curl") + row(n, n=2, load="10", reps="11", rir="1", exercise="Hammer curl") for n in range(6)))
    assert (found["reps"] + 1).tolist() == [13, 14, 15] and found["counted"].all()


@pytest.mark.parametrize("others", [{"load": "50", "reps": "13"}, {"reps": "13", "pain": "6"}, {"reps": "13", "rir": "4"}])
def test_what_was_lighter_or_easy_or_hurt_outdoes_nothing(store: Path, others: dict):
    found = points(store, "".join(row(n, n=1, **others) + row(n, n=2, reps="8") for n in range(4)))
    assert found["counted"].all() and (found["reps"] == 8).all() and (found["note"] == "").all()


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
