"""One sample store for all tests that read it: built once from the invented logs, as `evenset demo` builds it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from dashboard import sample


@pytest.fixture(scope="session")
def sample_store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The path of the sample store. Tests read it and do not change it."""
    path = tmp_path_factory.mktemp("sample") / "sample.duckdb"
    sample.build(path)
    return path


@pytest.fixture
def today() -> date:
    """A day after every date in the tests' files."""
    return date(2026, 11, 1)
