"""The reports of all clients from the page Clients: one ZIP, the files that `evenset report --all` writes, each with what its client may see."""

from __future__ import annotations

import doctest
import io
import zipfile
from datetime import date, timedelta
from pathlib import Path

import pytest

from dashboard.app_pages import reports_of_all
from dashboard.queries.kept import store_at
from dashboard.report import of_all
from dashboard.standing.refresh import refresh
from etl.store import said
from etl.store.athletes import say
from tests.page_runs import all_text, unescaped
from tests.test_stopped import FIRST, LAST_FULL, TODAY, two  # noqa: F401

BO_LAST = FIRST + timedelta(weeks=13)  # the page and the command work the weeks out once more, when it is over
NOTED = "slept badly before it"


@pytest.fixture
def noted(two: Path, monkeypatch: pytest.MonkeyPatch) -> Path:  # noqa: F811
    """A note on each, which Bo may see and Ida may not; it is TODAY for the page and the command."""
    class Day(date):
        @classmethod
        def today(cls) -> date:
            return TODAY

    for module in ("dashboard.app_pages.reports_of_all", "dashboard.command.report"):
        monkeypatch.setattr(f"{module}.date", Day)
    for name in ("Ida", "Bo"):
        said.say(two, said.NOTES, name, {"date": LAST_FULL, "text": NOTED, "private": False}, TODAY)
    say(two, "Bo", shows=["notes"])
    say(two, "Ida", shows=[])
    refresh(two, TODAY)
    return two


def taken(page) -> zipfile.ZipFile:
    """What the page has made, as its button gives it."""
    return zipfile.ZipFile(io.BytesIO(page.session_state[reports_of_all.MADE][1]))


def test_the_page_makes_what_the_command_writes(noted: Path, open_page, run, tmp_path: Path):
    page = open_page(noted, "app_pages/clients.py")
    assert not page.exception and reports_of_all.MADE not in page.session_state, "made only when it is asked for"
    page.button(key="reports_make").click().run()
    assert not page.exception
    assert run("report", "--all", "--out", str(tmp_path / "given"), "--as", "html")[0] == 0
    written = {file.name: file.read_bytes() for file in (tmp_path / "given").iterdir()}
    packed = taken(page)
    assert {name: packed.read(name) for name in packed.namelist()} == written
    assert sorted(written) == [f"Bo_{BO_LAST}.html", f"Ida_{LAST_FULL}.html"]
    assert NOTED in written[f"Bo_{BO_LAST}.html"].decode() and NOTED not in written[f"Ida_{LAST_FULL}.html"].decode()
    assert b"Ida" not in written[f"Bo_{BO_LAST}.html"]


def test_as_pdf_on_letter(noted: Path, open_page):
    page = open_page(noted, "app_pages/clients.py")
    page.radio(key="reports_as").set_value("PDF, Letter").run()
    page.button(key="reports_make").click().run()
    packed = taken(page)
    assert sorted(packed.namelist()) == [f"Bo_{BO_LAST}_letter.pdf", f"Ida_{LAST_FULL}_letter.pdf"]
    assert all(packed.read(name).startswith(b"%PDF-") for name in packed.namelist())
    page.radio(key="reports_as").set_value("PDF, A4").run()
    assert "reports_take" not in [getattr(node, "key", None) for node in page.get("download_button")], "of another kind nothing is made yet"


def test_of_a_week_that_is_asked_for_and_who_is_left_out(noted: Path, open_page):
    later = FIRST + timedelta(weeks=10)
    page = open_page(noted, "app_pages/clients.py", monday=later.isoformat())
    page.button(key="reports_make").click().run()
    assert taken(page).namelist() == [f"Bo_{later}.html"]
    assert "Left out: Ida (the log ends with the week of 2 March 2026)." in unescaped(all_text(page))


def test_progress_is_told_for_each(noted: Path):
    told = []
    store = store_at(noted)
    of_all.zipped(store, of_all.weeks_of_all(store, None, TODAY), "html", "a4", TODAY, lambda share, text: told.append((share, text)))
    assert told == [(0.0, "Report of Bo, 1 of 2"), (0.5, "Report of Ida, 2 of 2"), (1.0, "Done")]


def test_examples_in_the_docstrings_hold():
    found = doctest.testmod(of_all)
    assert found.attempted and not found.failed
