"""Logs of two who climb a progression and rise in load, and the stairs of them, for the tests of the stair."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from dashboard.queries import stair
from dashboard.queries.kept import Store, store_at
from dashboard.sentences.stair import Stair
from dashboard.standing.refresh import refresh
from etl.importing import Answers, keep, understand
from etl.store import writing
from etl.store.athletes import say

MONDAY = date(2026, 1, 5)
# Of Ada, who climbs: exercise, its first week, the week after its last. Weeks 9 to 12 are a step back, week 6 has two steps.
CLIMB = [("Wall push-up", 0, 1), ("Incline push-up", 1, 3), ("Knee push-up", 3, 5), ("Low incline push-up", 5, 7), ("Push-up", 6, 9), ("Knee push-up", 9, 13),
         ("Push-up", 12, 15), ("Low decline push-up", 15, 16), ("Feet elevated push-up", 16, 19)]


def monday(week: int, later: int = 0) -> date:
    return MONDAY + timedelta(weeks=week, days=later)


def log(rows: list[str]) -> bytes:
    return ("Date,Exercise,Set,Load (kg),Reps,Hold (s),RIR,Body mass (kg)\n" + "\n".join(rows) + "\n").encode()


def ada() -> bytes:
    return log([f"{monday(week, later)},{name},{n},,{min(24, 9 + 3 * (week - first) + n)},,1,64" for name, first, end in CLIMB for week in range(first, end)
                for later in (0, 3) for n in (1, 2)])


def ben() -> bytes:
    """A dumbbell whose loads rise after a break of five weeks, a step that is held, dips with rising added load, and a barbell with eight loads."""
    rows = []
    for week in [*range(4), *range(9, 20)]:
        load = 4 if week < 11 else 6 if week < 15 else 8
        for later in (0, 3):
            rows.append(f"{monday(week, later)},DB curl,1,{load},{9 + (week + later) % 4},,1,70")
            rows.append(f"{monday(week, later)},Tuck front lever,1,,,{6 + week // 2},,70")
        rows.append(f"{monday(week)},Weighted dip,1,{2.5 * (week // 4)},6,,2,70")
        rows.append(f"{monday(week)},Bench press,1,{60 + 2.5 * (week % 8)},8,,2,70")
        rows.append(f"{monday(week)},Assisted pull-up machine,1,-20,8,,2,70")
    return log(rows)


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("stair") / "s.duckdb"
    for name in ("Ada", "Ben"):
        say(path, name, level="intermediate")
    keep(path, understand([("Ada.csv", ada()), ("Ben.csv", ben())], Answers(), names_give_athlete=True, today=date(2026, 11, 1)))
    with writing(path) as con:
        con.execute("update athletes set loads = '[10, 4, 8, 6, 16]' where athlete = 'Ben'")
    refresh(path, today=date(2026, 11, 1))
    return path


@pytest.fixture
def asked(path: Path) -> Store:
    return store_at(path)


def climb(asked: Store, week: int, weeks: int = 12) -> Stair:
    return stair.stair(asked, "Ada", "ladder:push_up", monday(week), weeks)
