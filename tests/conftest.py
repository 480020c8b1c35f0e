"""One sample store for all tests that read it: built once from the invented logs, as `evenset demo` builds it."""

from __future__ import annotations

import os
from datetime import date
from pathlib import Path

import pytest
from hypothesis import settings

from dashboard import sample

# A run is the same each time, so that a failure can be looked at; EVENSET_RANDOM_TESTS=1 draws new examples.
settings.register_profile("evenset", derandomize=os.environ.get("EVENSET_RANDOM_TESTS") != "1")
settings.load_profile("evenset")


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


@pytest.fixture
def store(tmp_path: Path) -> Path:
    """The path of a store that does not exist yet."""
    return tmp_path / "store.duckdb"
