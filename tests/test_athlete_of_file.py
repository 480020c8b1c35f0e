"""The athlete that a file's name says."""

from __future__ import annotations

from pathlib import Path

import pytest

from etl.importing import Answers, keep, known, understand
from tests.logs import ask

LOG = b"Date,Exercise,Reps,Load (kg)\n2026-03-02,Squat,5,100\n"


def bring(store: Path, name: str, data: bytes | Path = LOG) -> list[str]:
    keep(store, understand([(name, data)], Answers(), known=known(store), names_give_athlete=True))
    return [athlete for (athlete,) in ask(store, "select distinct athlete from sets order by athlete")]


@pytest.mark.parametrize(("name", "athlete"), [("bram_oster.csv", "bram oster"), ("Bram__Oster .csv", "Bram Oster"), ("bram  oster.csv", "bram oster"), ("Ida-Lund.csv", "Ida-Lund")])
def test_underscores_are_blanks(store: Path, name: str, athlete: str):
    assert bring(store, name) == [athlete]


def test_by_the_fast_path_as_well(store: Path, monkeypatch, tmp_path: Path):
    monkeypatch.setattr("etl.fast.blocks.FAST_BYTES", 0)
    (tmp_path / "bram_oster.csv").write_bytes(LOG)
    assert bring(store, "bram_oster.csv", tmp_path / "bram_oster.csv") == ["bram oster"]


def test_an_athlete_who_is_known_with_the_underscore_keeps_it(store: Path):
    keep(store, understand([("log.csv", LOG)], Answers(athlete="bram_oster"), known=known(store)))
    assert bring(store, "bram_oster.csv", LOG + b"2026-03-04,Squat,5,100\n") == ["bram_oster"]
