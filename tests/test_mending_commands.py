"""The commands that list, mend, correct, merge, name, export and erase."""

from __future__ import annotations

import csv
import json
from pathlib import Path

from dashboard.command.main import CORRECTIONS
from etl.importing import mend, mended_rows, waiting
from etl.importing.corrections import CORRECTABLE
from tests.logs import BAD, PLAIN, THREE, ask, bring


def test_rows_are_mended_in_a_spreadsheet(run, store: Path, tmp_path: Path):
    bring(store, BAD)
    sheet = tmp_path / "mend.csv"
    assert "row 5" in run("mend")[1]
    assert run("mend", "1", "--out", str(sheet))[0] == 0
    rows = list(csv.DictReader(sheet.open(encoding="utf-8-sig", newline="")))
    assert [(r["import"], r["row"]) for r in rows] == [("1", "5"), ("1", "6")]
    rows[0]["text"], rows[1]["text"] = rows[0]["text"].replace("02-31", "03-02"), ""
    with sheet.open("w", encoding="utf-8", newline="") as out:  # as a spreadsheet of another land writes it
        writer = csv.DictWriter(out, rows[0].keys(), delimiter=";")
        writer.writeheader()
        writer.writerows(rows)
    report = json.loads(run("mend", str(sheet), "--json")[1])
    assert (report["taken_in"], report["left_out"], report["unchanged"], report["not_waiting"]) == (1, 1, 0, 0)
    assert json.loads(run("mend", "--json")[1]) == {"waiting": []}
    assert json.loads(run("mend", str(sheet), "--json")[1])["not_waiting"] == 2


def test_a_table_that_nobody_mended_changes_nothing(run, store: Path, tmp_path: Path):
    bring(store, BAD)
    run("mend", "--out", str(tmp_path / "mend.csv"))
    report = json.loads(run("mend", str(tmp_path / "mend.csv"), "--json")[1])
    assert report["unchanged"] == 2 and len(waiting(store)) == 2
    status, _, err = run("mend", "--out", str(tmp_path / "mend.csv"))
    assert status == 1 and "already" in err


def test_an_untouched_sheet_of_cells_parted_by_tabs_spoils_nothing(run, store: Path, tmp_path: Path):
    bring(store, "date\tathlete\texercise\tset\treps\n\tIda\tSquat\t1\tmany\n2026-03-02\tIda\tSquat\t2\t5\n", name="log.tsv")
    run("mend", "--out", str(tmp_path / "mend.csv"))
    assert json.loads(run("mend", str(tmp_path / "mend.csv"), "--json")[1])["unchanged"] == 1 and mended_rows(store).empty


def test_mended_rows_are_listed_and_taken_back_from_the_command_line(run, store: Path):
    number = bring(store, BAD)["import"]
    mend(store, number, "log.csv", {6: None})
    assert "left out" in run("mend", "--list")[1]
    (row,) = json.loads(run("mend", "--list", "--json")[1])["mended"]
    assert json.loads(run("mend", "--take-back", row["key"][:8], "--json")[1])["waiting"] == 1
    assert run("mend", "--take-back", row["key"])[0] == 1 and len(waiting(store)) == 2


def test_every_column_that_can_be_corrected_has_an_option():
    options = {name.replace("-", "_") for name in CORRECTIONS} | {"planned"}
    assert options == {"written" if name == "exercise_as_written" else name for name in CORRECTABLE}


def test_sets_are_listed_corrected_and_given_back(run, store: Path):
    bring(store, THREE)
    listed = json.loads(run("sets", "--athlete", "ida", "--week", "2026-W10", "--json")[1])["sets"]
    assert len(listed) == 3 and listed[0]["date"] == "2026-03-02" and listed[0]["hold_s"] is None
    number = str(listed[0]["set_id"])
    done = json.loads(run("correct", number, "--reps", "6", "--load-kg", "62.5", "--json")[1])
    assert "62.5 kg" in run("sets", "--date", "2026-03-02")[1]
    assert "reps 8.0 -> 6.0" in run("correct", "--list")[1]
    assert "taken back" in run("correct", "--take-back", str(done["change"]))[1]
    assert "removed" in run("correct", number, "--remove")[1]
    assert len(json.loads(run("sets", "--json")[1])["sets"]) == 2
    assert run("correct", number)[0] == 1 and run("correct", "--reps", "6")[0] == 1 and run("correct", "1", "--reps", "many")[0] == 1


def test_spellings_and_names_from_the_command_line(run, store: Path):
    bring(store, THREE)
    bring(store, THREE.replace("Ida", "I.").replace("03-02", "03-03"), name="i.csv")
    assert "3 sets moved" in run("merge", "I.", "Ida")[1]
    assert "6 sets settled" in run("name", "Bench press", "dumbbell bench press")[1]
    assert ask(store, "select distinct exercise from sets") == [("dumbbell_bench_press",)]
    assert "dumbbell bench press" in run("name", "bench press")[1].lower()
    assert run("name", "bench press", "--forget")[0] == 0 and ask(store, "select distinct exercise from sets") == [("barbell_bench_press",)]
    assert run("name", "bench press", "--none")[0] == 0 and ask(store, "select distinct exercise from sets") == [(None,)]
    assert run("name", "bench press", "moon walk")[0] == 1 and run("name", "x", "--none", "--forget")[0] == 1


def test_an_import_is_read_again_from_the_command_line(run, store: Path):
    bring(store, PLAIN)
    bring(store, PLAIN, name="again.csv")
    assert "evenset again 2" in run("again", "1", "--unit", "lb")[1]
    report = json.loads(run("again", "2", "--unit", "lb", "--json")[1])
    assert (report["sets_stored"], report["already_stored"], report["later"]) == (0, 2, {})
    assert ask(store, "select count(*), count(distinct import_id) from sets") == [(2, 1)]
    assert run("again", "7")[0] == 1


def test_one_file_of_an_import_is_read_again_from_the_command_line(run, store: Path, tmp_path: Path):
    folder = tmp_path / "clients"
    folder.mkdir()
    for name in ("Ida", "Kai", "Una"):
        (folder / f"{name}.csv").write_text("Date,Exercise,Set,Load,Reps\n2026-03-02,Curl,1,20,10\n")
    assert run("import", str(folder))[0] == 0
    assert run("again", "1", "--file", "Ida.csv", "--file", "Una.csv", "--unit", "lb")[0] == 0
    assert ask(store, "select athlete, round(load_kg, 2) from sets order by 1") == [("Ida", 9.07), ("Kai", 20.0), ("Una", 9.07)]
    status, _, said = run("again", "1", "--file", "Ole.csv", "--unit", "lb")
    assert status == 1 and "Ida.csv, Kai.csv, Una.csv" in said


def test_a_blank_log_can_be_filled_in_and_imported(run, store: Path, tmp_path: Path):
    path = tmp_path / "blank.csv"
    run("blank", "--out", str(path))
    assert len(path.read_text("utf-8-sig").splitlines()) == 1
    with path.open("a", encoding="utf-8") as out:
        out.write("2026-03-02,Ida,Side plank,1,,,30,,left,steady\n2026-03-02,Ida,Bench press,1,8,60,,2,,\n")
    report = json.loads(run("import", str(path), "--json")[1])
    assert (report["sets_stored"], report["rows_set_aside"], report["unmatched"]) == (2, 0, [])
    assert ask(store, "select set_no, reps, load_kg, hold_s, rir, side, note from sets order by hold_s nulls last") == [
        (1, None, None, 30.0, None, "left", "steady"), (1, 8.0, 60.0, None, 2.0, "both", None)]
    assert run("blank", "--out", str(path))[0] == 1, "a log is never written over"


def test_erase_asks_unless_it_is_told(run, store: Path):
    bring(store, THREE)
    status, _, err = run("erase", "--athlete", "Ida")
    assert status == 1 and "--yes" in err and ask(store, "select count(*) from sets") == [(3,)]
    assert json.loads(run("erase", "--athlete", "Ida", "--yes", "--json")[1])["sets"] == 3


def test_export_from_the_command_line(run, store: Path, tmp_path: Path):
    bring(store, THREE)
    report = json.loads(run("export", "--out", str(tmp_path / "out"), "--json")[1])
    assert report["rows"]["sets"] == 3 and report["rows"]["weekly_heads"] > 0 and (tmp_path / "out" / "datapackage.json").exists()
    assert "sets.csv (3)" in run("export", "--out", str(tmp_path / "ida"), "--athlete", "ida")[1]
