"""The data package: valid by the specification's own reader, whole, and read back as the same set log."""

from __future__ import annotations

import csv
import json
from datetime import date
from pathlib import Path

import duckdb
import frictionless
import pandas as pd
import pytest

from dashboard.standing.refresh import refresh
from etl.export import export
from etl.export.described import SETS
from etl.importing import Answers, keep, known, understand
from etl.refusal import Refusal
from etl.store import reading

TODAY = date(2026, 11, 1)
NAMES = [f.name for f in SETS]
LOG = ("Date,Athlete,Exercise,Set,Load (lb),Reps,RIR,Side,Note\n"
       '2026-03-02,Ida,Bench press,1,135,8,2,,"=1+1, he said ""slow"""\n'
       "2026-03-02,Ida,Kitchen table pull,1,BW,8,2,left,zwölf\n2026-02-31,Ida,Squat,1,100,5,1,,secret of Ida\n"
       "2026-03-02,Ole,Squat,1,225,5,1,,\n2026-03-40,Ole,Squat,1,225,5,1,,\n")


@pytest.fixture
def store(tmp_path: Path) -> Path:
    path = tmp_path / "s.duckdb"
    bring(path, LOG.encode(), "gym.csv")
    bring(path, b"Date,Athlete,Body mass (kg),Exercise,Reps\n2026-03-03,Ida,70.5,,\n2026-03-99,Ida,,Squat,5\n", "ida.csv")
    refresh(path, TODAY)
    return path


def bring(path: Path, data: bytes, name: str) -> dict:
    return keep(path, understand([(name, data)], Answers(), known=known(path), today=TODAY))


def set_log(path: Path) -> pd.DataFrame:
    with reading(path) as con:
        names = [n for n in NAMES if n not in ("source", "source_row")]
        return con.execute(f"select {', '.join(names)} from sets order by all").df()


def rows(folder: Path, table: str) -> list[dict[str, str]]:
    with (folder / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_the_package_is_valid_by_the_specification_s_own_reader(sample_store: Path, tmp_path: Path):
    """Descriptor, hashes, types, constraints and keys: https://datapackage.org/standard/data-package/ and .../table-schema/"""
    export(sample_store, tmp_path / "out")
    descriptor = json.loads((tmp_path / "out" / "datapackage.json").read_text("utf-8"))
    assert frictionless.Package.validate_descriptor(descriptor, basepath=str(tmp_path / "out")).valid
    listed = [r for r in descriptor["resources"] if r["format"] == "csv"]
    report = frictionless.Package.from_descriptor(descriptor | {"resources": listed}, basepath=str(tmp_path / "out")).validate()
    assert report.valid, report.flatten(["title", "note", "rowNumber", "fieldName"])[:5]
    assert {r["path"] for r in listed} >= {"sets.csv", "weekly_heads.csv", "weekly_strength.csv", "set_aside.csv", "exercises.csv", "credits.csv"}
    assert {p.name for p in (tmp_path / "out").iterdir()} == {r["path"] for r in descriptor["resources"]} | {"datapackage.json"}


def test_the_reader_finds_what_is_broken(store: Path, tmp_path: Path):
    """The check itself: a text among the repetitions is found."""
    export(store, tmp_path / "out")
    path = tmp_path / "out" / "sets.csv"
    path.write_text(path.read_text("utf-8").replace(",8.0,", ",eight,", 1), "utf-8")
    resource = json.loads((tmp_path / "out" / "datapackage.json").read_text("utf-8"))["resources"][0]
    assert not frictionless.validate({**resource, "scheme": "file"}, basepath=str(tmp_path / "out")).valid


def test_csv_and_parquet_hold_the_same(store: Path, tmp_path: Path):
    report = export(store, tmp_path / "out")
    for table, count in report["rows"].items():
        parquet = duckdb.sql(f"select * from '{tmp_path / 'out' / table}.parquet'").df()
        assert len(parquet) == len(rows(tmp_path / "out", table)) == count
        assert list(parquet.columns) == list(csv.reader((tmp_path / "out" / f"{table}.csv").open(encoding="utf-8")))[0]


def test_cells_are_as_they_are(store: Path, tmp_path: Path):
    export(store, tmp_path / "out")
    notes = {r["note"] for r in rows(tmp_path / "out", "sets")}
    assert {'=1+1, he said "slow"', "zwölf"} <= notes
    assert [r["body_mass_kg"] for r in rows(tmp_path / "out", "days")] == ["70.5"]
    assert len(rows(tmp_path / "out", "set_aside")) == 3


def test_an_export_of_one_athlete_holds_nobody_else_s_rows(store: Path, tmp_path: Path):
    export(store, tmp_path / "ole", athlete="Ole")
    text = b"".join(p.read_bytes() for p in (tmp_path / "ole").iterdir() if p.suffix == ".csv")
    assert b"Ida" not in text and {r["athlete"] for r in rows(tmp_path / "ole", "sets")} == {"Ole"}
    assert rows(tmp_path / "ole", "set_aside") == []
    with pytest.raises(Refusal, match="no athlete"):
        export(store, tmp_path / "x", athlete="Nobody")


def test_rows_set_aside_of_a_file_with_a_mark_in_its_name_are_exported(tmp_path: Path):
    path = tmp_path / "s.duckdb"
    bring(path, b"Date,Athlete,Exercise,Set,Reps\n2026-03-02,Ida,Squat,1,5\n2026-03-02,Ida,Squat,2,xx\n", "log#2.csv")
    assert export(path, tmp_path / "out", athlete="Ida")["rows"]["set_aside"] == 1


def test_an_exported_set_log_comes_back_as_the_same_set_log(store: Path, tmp_path: Path):
    round_trip(store, tmp_path)


def test_the_sample_logs_come_back_as_the_same_set_log(sample_store: Path, tmp_path: Path):
    round_trip(sample_store, tmp_path)


def round_trip(path: Path, tmp_path: Path) -> None:
    """All columns of the set log but where a row stood."""
    export(path, tmp_path / "out")
    report = bring(tmp_path / "empty.duckdb", (tmp_path / "out" / "sets.csv").read_bytes(), "sets.csv")
    assert report["rows_set_aside"] == 0, report["set_aside"][:3]
    pd.testing.assert_frame_equal(set_log(tmp_path / "empty.duckdb"), set_log(path))


def test_a_folder_that_cannot_be_written_is_refused_and_nothing_is_left(store: Path, tmp_path: Path):
    (tmp_path / "file").write_text("here")
    with pytest.raises(Refusal, match="cannot be written"):
        export(store, tmp_path / "file" / "out")
    with pytest.raises(Refusal, match="cannot be written"):
        export(store, tmp_path / "file")
    assert not list(tmp_path.glob(".*.part")) and (tmp_path / "file").read_text() == "here"


def test_an_export_replaces_an_earlier_one(store: Path, tmp_path: Path):
    export(store, tmp_path / "out")
    export(store, tmp_path / "out", athlete="Ole")
    assert len(rows(tmp_path / "out", "sets")) == 1
