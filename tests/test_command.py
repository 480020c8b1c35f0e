"""The command line: its contract with other programs, and words instead of tracebacks."""

from __future__ import annotations

import json
import re
import signal
import subprocess
import sys
import time
from pathlib import Path
from urllib.request import urlopen

import pytest

from dashboard.command.main import EQUATIONS, main
from dashboard.measures import one_rep_max

TEXT = "Date,Athlete,Exercise,Set,Load (kg),Reps,RIR\n" + "".join(
    f"2026-0{month}-{day:02},Ida,{exercise},{n},{load},8,2\n"
    for month in (2, 3) for day in (2, 5, 9, 12, 16, 19, 23, 26) for exercise, load in (("Bench press", 60), ("Barbell row", 50)) for n in (1, 2, 3))


@pytest.fixture
def log(tmp_path: Path) -> Path:
    path = tmp_path / "log.csv"
    path.write_text(TEXT)
    return path


@pytest.fixture
def run(tmp_path: Path, capsys: pytest.CaptureFixture):
    def call(*words: str, store: str = "s.duckdb") -> tuple[int, str, str]:
        try:
            status = main([*words, "--store", str(tmp_path / store)])
        except SystemExit as stop:
            status = stop.code
        out, err = capsys.readouterr()
        return status, out, err

    return call


def test_import_json_keys(run, log: Path):
    status, out, _ = run("import", str(log), "--json")
    report = json.loads(out)
    assert status == 0
    assert {"rows_read", "sets_stored", "already_stored", "rows_set_aside", "set_aside", "unmatched", "assumed"} <= report.keys()
    assert (report["rows_read"], report["sets_stored"]) == (96, 96)


def test_dry_run_stores_nothing(run, log: Path):
    _, out, _ = run("import", str(log), "--dry-run", "--json")
    assert json.loads(out)["sets_stored"] == 96
    status, _, err = run("review")
    assert status == 1 and "no training yet" in err


def test_review_json_is_as_the_contract_says(run, log: Path):
    run("import", str(log))
    status, out, _ = run("review", "--athlete", "Ida", "--week", "2026-W12", "--json")
    review = json.loads(out)
    assert status == 0 and (review["athlete"], review["week"]) == ("Ida", "2026-03-16")
    assert {"athlete", "week", "done", "strength", "heads", "parts", "muscles", "coverage", "flags", "next"} <= review.keys()
    assert {"sessions", "hard_sets", "repetitions", "tonnage_kg", "hold_s", "planned"} <= review["done"].keys()
    assert (review["done"]["sessions"], review["done"]["hard_sets"], review["done"]["repetitions"]) == (2, 12, 96)
    assert review["done"]["tonnage_kg"] == 2 * 3 * 8 * (60 + 50)
    bench = next(s for s in review["strength"] if s.get("exercise") == "barbell_bench_press")
    assert {"e1rm_kg", "low_kg", "high_kg", "rate_pct_week", "rate_low", "rate_high", "verdict"} <= bench.keys()
    assert bench["low_kg"] < bench["e1rm_kg"] < bench["high_kg"]
    assert any("part" in s for s in review["strength"])
    assert all({"head", "dose", "low", "high", "direct_sets", "usual"} <= h.keys() for h in review["heads"])
    parts = {p["part"]: p for p in review["parts"]}
    assert {"part", "dose", "low", "high", "direct_sets", "usual", "band_low", "band_high", "status", "in_focus"} <= parts["chest_sternal"].keys()
    assert parts["chest_sternal"]["direct_sets"] == 6 and parts["soleus"]["status"] == "below"
    assert all({"muscle", "dose", "effective_heads", "heads"} <= m.keys() for m in review["muscles"])
    assert review["next"] and all({"subject", "action", "reason"} <= n.keys() for n in review["next"])


def test_flags_json_is_as_the_contract_says(run, sample_store: Path, capsys: pytest.CaptureFixture):
    assert main(["flags", "--json", "--store", str(sample_store)]) == 0
    flags = json.loads(capsys.readouterr().out)["flags"]
    kinds = {"plateau", "declining", "spike", "large_spike", "session_spike", "climb", "return", "new_area", "first_exposure", "below_band", "side_difference", "check_entry"}
    assert flags and {f["kind"] for f in flags} <= kinds
    for flag in flags:
        assert flag.keys() == {"athlete", "kind", "subject", "week", "until", "level", "numbers", "message"}
        assert flag["level"] in {"note", "review", "alert"}
        assert flag["until"] is None or flag["until"] >= flag["week"]


@pytest.mark.parametrize("word", ["predict", "will injure", "injury", " safe", "cause "])
def test_no_flag_claims_what_a_log_cannot_know(sample_store: Path, capsys: pytest.CaptureFixture, word: str):
    main(["flags", "--store", str(sample_store)])
    assert word not in capsys.readouterr().out.lower()


def test_a_date_with_two_readings_is_asked_about(run, tmp_path: Path):
    path = tmp_path / "us.csv"
    path.write_text("Date,Athlete,Exercise,Load (kg),Reps\n03/04/2026,Ida,Curl,8,10\n")
    status, out, err = run("import", str(path))
    assert status == 1 and out == "" and "--day-first" in err and "us.csv" in err
    assert run("import", str(path), "--month-first")[0] == 0


def test_undo(run, log: Path):
    run("import", str(log))
    assert "96 sets went" in run("undo", "1")[1]
    status, _, err = run("undo", "1")
    assert status == 1 and "undone already" in err


def test_an_undo_says_what_stays_and_why(run, log: Path, tmp_path: Path):
    run("import", str(log))
    longer = tmp_path / "longer.csv"
    longer.write_text(log.read_text() + "2026-03-28,Ida,Squat,1,80,5\n")
    run("import", str(longer))
    assert "0 sets went. What another import holds as well stays, under import 2 (96 sets)" in run("undo", "1")[1]


def test_ctrl_c_closes_the_dashboard_in_words(tmp_path: Path):
    program = subprocess.Popen([sys.executable, "-m", "dashboard.command.main", "open", "--no-browser", "--store", str(tmp_path / "s.duckdb")],
                               stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    address = re.search(r"http://\S+", program.stdout.readline())[0]
    for _ in range(200):
        try:
            urlopen(f"{address}/_stcore/health", timeout=1).close()
            break
        except OSError:
            time.sleep(0.1)
    program.send_signal(signal.SIGINT)
    out, err = program.communicate(timeout=30)
    assert (program.returncode, "The dashboard is closed." in out, "fault" in err) == (0, True, False), err


def test_no_name_of_a_log_commands_the_terminal(run, tmp_path: Path):
    """ECMA-48 (ISO 6429): a terminal obeys what begins with ESC or, in its eight-bit form, CSI (9B)."""
    path = tmp_path / "odd.csv"
    path.write_text(TEXT.splitlines()[0] + "\n2026-03-02,Ida,\x1b[2JBench \x9b31mthing,1,60,5\n", "utf-8")
    status, out, err = run("import", str(path))
    assert (status, err) == (0, "") and "\\u001b[2jbench \\u009b31mthing" in out.lower() and "\x1b" not in out and "\x9b" not in out
    waiting = json.loads(run("import", str(path), "--json", store="other.duckdb")[1])["unmatched"]
    assert "\x9b31m" in waiting[0]["name"]


def test_the_level_changes_the_bands(run, log: Path):
    run("import", str(log))
    assert run("athlete", "Ida", "--level", "beginner")[0] == 0
    review = json.loads(run("review", "--json")[1])
    assert {p["band_high"] for p in review["parts"]} == {12.0, 8.0}


def test_the_equation_can_be_chosen(run, log: Path):
    """8 repetitions with 2 in reserve at 60 kg: 80 kg by the default (Brzycki and Epley meet at 10), 60 x 10^0.10 by Lombardi."""
    run("import", str(log))
    value = lambda: next(s["best_value"] for s in json.loads(run("review", "--json")[1])["strength"] if s.get("exercise") == "barbell_bench_press")  # noqa: E731
    assert value() == pytest.approx(80)
    assert run("athlete", "Ida", "--equation", "lombardi")[0] == 0
    assert value() == pytest.approx(60 * 10**0.10, abs=1e-3)
    assert run("athlete", "Ida", "--equation", "guess")[0] == 2


def test_the_command_offers_every_equation():
    assert set(EQUATIONS) == set(one_rep_max.EQUATIONS)


def test_focus_can_be_said_in_the_coach_s_words(run, log: Path):
    run("import", str(log))
    run("athlete", "Ida", "--focus", "lats,rear delt")
    review = json.loads(run("review", "--json")[1])
    assert {p["part"] for p in review["parts"] if p["in_focus"]} == {"lats", "deltoid_spinal"} and review["focus_parts"] == 2
    status, _, err = run("athlete", "Ida", "--focus", "left toe")
    assert status == 1 and "There is no part 'left toe'" in err


@pytest.mark.parametrize(("words", "status", "says"), [
    (("import", "missing.csv"), 1, "no such file"), (("review", "--week", "soon"), 1, "soon"), (("review", "--athlete", "Nobody"), 1, "Nobody"),
    (("undo", "x"), 2, "invalid int"), (("open", "--port", "99999"), 1, "is no port"), (("frobnicate",), 2, "invalid choice"), (("import",), 2, "required"),
    (("import", "x.csv", "--columns", "date"), 1, "FIELD=HEADER")])
def test_refusals_and_wrong_usage(run, log: Path, words: tuple, status: int, says: str):
    run("import", str(log))
    got, out, err = run(*words)
    assert got == status and says in err and "Traceback" not in err and out == ""


def test_several_athletes_have_to_be_named(run, log: Path):
    log.write_text(TEXT + "2026-03-02,Ole,Squat,1,100,5,2\n")
    run("import", str(log))
    status, _, err = run("review")
    assert status == 1 and "Ida, Ole" in err


def test_a_folder_gives_each_file_its_athlete(run, tmp_path: Path):
    folder = tmp_path / "clients"
    folder.mkdir()
    for name in ("Ida", "Ole"):
        (folder / f"{name}.csv").write_text("Date,Exercise,Load (kg),Reps\n2026-03-02,Curl,8,10\n")
    assert json.loads(run("import", str(folder), "--json")[1])["sets_stored"] == 2
    assert "Ida, Ole" in run("review")[2]
