"""Logs in every shape that people keep, each with the sets that a careful person reads from it; tests/corpus/README.md says how."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pandas as pd
import pytest

from etl.importing import Answers, keep, known, understand
from etl.refusal import Question
from etl.store import reading

CORPUS = Path(__file__).parent / "corpus"
FILES = sorted(CORPUS.glob("*.csv"))
TODAY = date(2026, 11, 25)
ALWAYS = {"set_no": None, "reps": None, "load_kg": None, "hold_s": None, "rpe": None, "rir": None, "kind": "work", "side": "both", "range": "full"}
NAMES = {"as_written": "exercise_as_written"}
NUMBERS_NEAR = 0.006  # loads to 0.01 kg


def expected(path: Path) -> dict:
    return json.loads(path.with_suffix(".json").read_text("utf-8"))


def answers(said: dict) -> Answers:
    return Answers(said.get("athlete"), said.get("unit"), said.get("day_first"), said.get("columns") or {}, year=said.get("year"))


def import_it(store: Path, path: Path, said: dict) -> dict:
    return keep(store, understand([(path.name, path.read_bytes())], answers(said), known=known(store), today=TODAY))


def stored(store: Path) -> list[dict]:
    """The sets, in the order of the file."""
    with reading(store) as con:
        found = con.execute("select * from sets order by source_row, set_id").df()
    return [{key: None if value is None or value is pd.NaT or value != value else value for key, value in row.items()} for row in found.to_dict("records")]


def shown(sets: list[dict], keys: list[str]) -> list[dict]:
    return [{key: row.get(key) for key in keys} for row in sets]


def comparable(value, key: str):
    if key == "date" and value is not None:
        return str(value)[:10]
    if isinstance(value, bool) or type(value).__name__ == "bool":
        return bool(value)
    if isinstance(value, (int, float)) or hasattr(value, "item"):
        return round(float(value), 2)
    return value


def test_the_corpus_is_there():
    assert len(FILES) >= 60 and all(path.with_suffix(".json").exists() for path in FILES)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_file_reads_as_a_careful_person_reads_it(tmp_path: Path, path: Path):
    want, store = expected(path), tmp_path / "store.duckdb"
    said = want["options"]
    if want.get("question"):
        with pytest.raises(Question) as asked:
            import_it(store, path, said)
        assert want["question"].lower() in str(asked.value).lower()
        said = said | want["answer"]
    report = import_it(store, path, said)
    got = stored(store)
    keys = list(dict.fromkeys([*ALWAYS, *(key for row in want["sets"] for key in row)]))
    lines = []
    for want_row, got_row in zip(want["sets"], got, strict=False):
        wanted = ALWAYS | want_row
        for key, value in wanted.items():
            mine = got_row.get(NAMES.get(key, key))
            if key in ("kind",) and value == "work" and got_row["kind_source"] == "assumed":
                continue  # a warm-up that is assumed after storing is no reading of the file
            if comparable(mine, key) != comparable(value, key) and not (
                    isinstance(value, (int, float)) and isinstance(mine, (int, float)) and abs(mine - value) <= NUMBERS_NEAR):
                lines.append(f"row {got_row['source_row']}: {key} is {mine!r}, a careful person reads {value!r}")
    assert not lines, "\n".join(lines)
    assert len(got) == len(want["sets"]), shown(got, ["source_row", "exercise_as_written", *[NAMES.get(k, k) for k in keys[:4]]])
    assert sorted(row["row"] for row in report["set_aside"]) == sorted(want.get("set_aside", [])), report["set_aside"]
    assert report["days_stored"] == want.get("days", 0)
    for words in want.get("assumed", []):
        assert any(words.lower() in text.lower() for text in report["assumed"]), (words, report["assumed"])
    again = import_it(store, path, said)
    assert again["sets_stored"] == again["days_stored"] == 0
