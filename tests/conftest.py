"""Stores that several tests read, each built once, and pages opened on them."""

from __future__ import annotations

import os
from datetime import date
from pathlib import Path

import pytest
from hypothesis import settings
from streamlit.testing.v1 import AppTest

from dashboard import choices, sample
from dashboard.command.main import main
from etl import tables
from etl.own.what import NOTHING
from tests import kept_store
from tests.browsing import browser, demo, empty, fresh, own, visit  # noqa: F401 - fixtures

APP = Path(choices.__file__).parent / "app.py"
PAGE_S = 30  # seconds that a page may take

# A run is the same each time, so that a failure can be looked at; EVENSET_RANDOM_TESTS=1 draws new examples.
settings.register_profile("evenset", derandomize=os.environ.get("EVENSET_RANDOM_TESTS") != "1")
settings.load_profile("evenset")


@pytest.fixture(scope="session")
def sample_store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The path of the sample store. Tests read it and do not change it."""
    path = tmp_path_factory.mktemp("sample") / "sample.duckdb"
    sample.build(path)
    return path


@pytest.fixture(autouse=True)
def shipped_catalogue() -> None:
    """Each test begins with the shipped catalogue, whatever store the one before had opened."""
    tables.use(NOTHING)


@pytest.fixture
def today() -> date:
    """A day after every date in the tests' files."""
    return date(2026, 11, 1)


@pytest.fixture
def store(tmp_path: Path) -> Path:
    """The path of a store that does not exist yet."""
    return tmp_path / "store.duckdb"


@pytest.fixture
def run(store: Path, capsys: pytest.CaptureFixture):
    """A function that runs a command on `store`: exit status, what it printed, what it complained of."""

    def call(*words: str) -> tuple[int, str, str]:
        try:
            status = main([*words, "--store", str(store)])
        except SystemExit as stop:
            status = stop.code
        out, err = capsys.readouterr()
        return status, out, err

    return call


@pytest.fixture(scope="module")
def small_store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The path of a small store of two athletes with all that is kept of them. Tests read it and do not change it."""
    return kept_store.build(tmp_path_factory.mktemp("kept") / "small.duckdb")


@pytest.fixture
def open_page(monkeypatch):
    """A function that opens a page of a store and returns the run."""

    def opened(store: Path, page: str = "app_pages/this_week.py", **address: str) -> AppTest:
        monkeypatch.setenv("EVENSET_STORE", str(store))
        run = AppTest.from_file(str(APP), default_timeout=PAGE_S)
        for name, value in address.items():
            run.query_params[name] = value
        run.run()
        return run.switch_page(page).run() if page != "app_pages/this_week.py" else run

    return opened
