"""Rows that wait to be mended are told where what they hold is missing: on Clients, on This week, by `evenset clients` and `review`."""

from __future__ import annotations

import doctest
import json
from datetime import date, timedelta
from pathlib import Path

import pytest

from dashboard.command.main import main
from dashboard.queries.imports import aside_by_athlete
from dashboard.queries.kept import store_at
from dashboard.sentences import aside
from dashboard.standing.refresh import refresh
from etl.importing import Answers, keep, known, mend, understand, waiting
from etl.importing.whose_rows import whose_rows
from tests.page_runs import all_text, unescaped

FIRST, TODAY = date(2026, 1, 5), date(2026, 3, 2)
HEAD, OWN_HEAD = "Date,Athlete,Exercise,Load (kg),Reps\n", "Date,Exercise,Load (kg),Reps\n"


def days(athlete: str = "") -> str:
    return "".join(f"{FIRST + timedelta(days=7 * week)},{athlete}Bench press,60,{reps}\n" for week in range(5) for reps in (8, 7))


def bring(store: Path, files: dict[str, str], answers: Answers = Answers()) -> None:
    keep(store, understand([(name, text.encode()) for name, text in files.items()], answers, known=known(store), today=TODAY, names_give_athlete=len(files) > 1))
    refresh(store, TODAY)


@pytest.fixture
def asides(store: Path) -> Path:
    """Ida's file holds two rows that cannot be read, a file of several one of Bo's and one of somebody who has no set."""
    bring(store, {"Ida.csv": OWN_HEAD + days() + "2026-02-31,Bench press,60,8\n2026-02-30,Bench press,60,8\n", "Mo.csv": OWN_HEAD + days()})
    bring(store, {"all.csv": HEAD + days("Bo,") + days("Cy,") + "2026-02-31,Bo,Bench press,60,8\n2026-02-31,Zed,Bench press,60,8\n"})
    return store


def test_whose_a_row_is_is_told_by_its_own_cell_or_a_file_of_one_and_else_by_nobody(asides: Path):
    assert whose_rows(asides) == {("Ida", "Ida.csv"): 2, ("Bo", "all.csv"): 1, (None, "all.csv"): 1}
    again = waiting(asides)
    mend(asides, int(again[again["file"] == "Ida.csv"]["import_id"].iloc[0]), "Ida.csv", dict.fromkeys(again[again["file"] == "Ida.csv"]["row"]))
    assert whose_rows(asides) == {("Bo", "all.csv"): 1, (None, "all.csv"): 1}


def test_in_a_file_of_one_a_row_that_names_somebody_else_is_not_theirs_and_one_that_names_nobody_is(store: Path):
    bring(store, {"log.csv": HEAD + days("Bo,") + "2026-02-31,Zed,Bench press,60,8\n2026-02-31,,Bench press,60,8\n"})
    assert whose_rows(store) == {(None, "log.csv"): 1, ("Bo", "log.csv"): 1}


def test_in_a_file_without_a_column_of_athletes_rows_are_theirs_whom_the_answer_named(store: Path):
    bring(store, {"log.csv": OWN_HEAD + days() + "2026-02-31,Bench press,60,8\n"}, Answers(athlete="Bo"))
    assert whose_rows(store) == {("Bo", "log.csv"): 1}


def test_pages_and_commands_tell_them(asides: Path, open_page, capsys):
    one = "2 rows of Ida.csv could not be read and wait to be mended ({}): what they hold is missing here."
    every = "4 rows could not be read and wait to be mended ({}): what they hold is missing here. Ida: 2; Bo: 1; whose they are cannot be told: 1, of all.csv."
    page = open_page(asides, "app_pages/this_week.py", athlete="Ida")
    assert not page.exception and one.format(aside.ON_PAGE) in unescaped(all_text(page))
    assert "to be mended" not in unescaped(all_text(open_page(asides, "app_pages/this_week.py", athlete="Mo")))
    page = open_page(asides, "app_pages/clients.py")
    assert not page.exception and every.format(aside.ON_PAGE) in unescaped(all_text(page))
    store = ("--store", str(asides))
    assert main(["clients", *store]) == 0 and every.format(aside.BY_COMMAND) in capsys.readouterr().out
    assert main(["review", "--athlete", "Ida", *store]) == 0 and one.format(aside.BY_COMMAND) in capsys.readouterr().out
    assert main(["review", "--athlete", "Ida", "--json", *store]) == 0 and json.loads(capsys.readouterr().out)["rows_set_aside"] == {"Ida.csv": 2}
    assert main(["review", "--athlete", "Mo", *store]) == 0 and "to be mended" not in capsys.readouterr().out
    assert main(["clients", "--json", *store]) == 0
    assert json.loads(capsys.readouterr().out)["rows_set_aside"] == aside_by_athlete(store_at(asides)) and len(aside_by_athlete(store_at(asides))) == 3


def test_examples_in_the_docstrings_hold():
    found = doctest.testmod(aside)
    assert found.attempted and not found.failed
