"""The fast path for large files: it gives what the careful path gives, and what it stores is what was read and kept."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from datetime import date
from pathlib import Path

import duckdb
import pytest
from hypothesis import HealthCheck, event, example, given, settings
from hypothesis import strategies as st

from etl.fast import blocks
from etl.importing import Answers, Understood, keep, known, mend, understand, undo
from etl.refusal import Refusal
from etl.store import adding, reading, sources
from tests.both_paths import assert_same, in_order, took_fast

TODAY = date(2026, 11, 1)
HEAD = "Date,Athlete,Exercise,Set,Reps,Load,Unit,RIR,Note\n"
PLAIN = "2026-03-{day:02},Ida,Bench press,{n},8,{load},kg,2,\n"


@pytest.fixture(autouse=True)
def small_blocks(monkeypatch: pytest.MonkeyPatch):
    """Every file is large, and cut into many blocks."""
    monkeypatch.setattr(blocks, "FAST_BYTES", 0)
    monkeypatch.setattr(blocks, "BLOCK_BYTES", 300)


def log(rows: int, head: str = HEAD) -> str:
    return head + "".join(PLAIN.format(day=1 + i % 28, n=1 + i % 5, load=50 + i % 40) for i in range(rows))


def one(path: Path, answers: Answers = Answers()) -> Understood:
    return understand([(path.name, path)], answers, today=TODAY).files[0]


def ways(tmp_path: Path, text: bytes, answers: Answers = Answers()) -> tuple[Understood, Understood]:
    """The same bytes by the fast path, where it takes them, and by the careful one."""
    path = tmp_path / "log.csv"
    path.write_bytes(text)
    return one(path, answers), understand([(path.name, text)], answers, today=TODAY).files[0]


# --- the two paths ---------------------------------------------------------------------------------------------------------

DATES = {"iso": st.dates(date(2025, 1, 1), date(2026, 10, 1)).map(str),
         "day first": st.dates(date(2025, 1, 1), date(2026, 10, 1)).map(lambda d: d.strftime("%d/%m/%Y")),
         "named": st.dates(date(2025, 1, 1), date(2026, 10, 1)).map(lambda d: d.strftime("%-d %B %Y, 18:30"))}
USUAL = {
    "Athlete": st.sampled_from(("Ida", "Ole", " Ida ", "Mina")),
    "Exercise": st.sampled_from((
        "Bench press", "bench press", "DB curl", "Push-up", "Kitchen table pull", "Squat", "Left dumbbell row", '"Curl, dumbbell"')),
    "Set": st.sampled_from(("1", "2", "3", "W", "Set 4", "")),
    "Reps": st.sampled_from(("8", "10", "5", "12 reps", "7.5")),
    "Load": st.sampled_from(("60", "62.5", "62,5", "20 kg", "45lb", "BW", "BW+10", "0", "", "~30", "1250,5")),
    "Unit": st.sampled_from(("kg", "lb", "")), "RIR": st.sampled_from(("0", "1", "2", "", "-", "1.5")),
    "RPE": st.sampled_from(("8", "8.5", "", "@9")), "Side": st.sampled_from(("", "left", "right", "both")),
    "Time": st.sampled_from(("18:30", "6:15 pm", "", "-")), "Session": st.sampled_from(("", "Legs", "-", "  Push ")),
    "Body weight (kg)": st.sampled_from(("", "80", "81.5")),
    "Note": st.sampled_from(("", "easy", "left elbow 4/10", "knee hurts a bit", "no pain", '"slow, paused"', '"a ""good"" one"', " - ", "8 left")),
    "Planned": st.sampled_from(("", "no", "yes")), "Gym": st.sampled_from(("", "home")),
}
ODD = st.sampled_from((
    "many", "6000", "-5", "3x10", "10/side", "2026-02-31", "1/2/2026", "each", "red band", "total", "Exercise", "45s", "20 per side", "8-10",
    'half"way', '"open', "", "-", "a,b", "2999-01-01", "\u00a0", "8 @8", "2 x 20", "1.250,5", "Reps"))


@st.composite
def logs(draw: st.DrawFn) -> bytes:
    """A file of mostly plain rows, some odd ones, in one of many layouts."""
    fields = ["Date", "Exercise", "Reps", *draw(st.lists(st.sampled_from(sorted(set(USUAL) - {"Exercise", "Reps"})), unique=True, max_size=8))]
    delimiter, end = draw(st.sampled_from((",", ";", "\t"))), draw(st.sampled_from(("\n", "\r\n")))
    day = DATES[draw(st.sampled_from(sorted(DATES)))]
    lines = [delimiter.join(fields)]
    for _ in range(draw(st.integers(10, 30))):
        cells = [draw(day if f == "Date" else USUAL[f]) for f in fields]
        if "Date" in fields and delimiter == "," and "," in cells[0]:
            cells[0] = f'"{cells[0]}"'
        if draw(st.integers(0, 9)) == 0:
            cells[draw(st.integers(0, len(cells) - 1))] = draw(ODD)
        if draw(st.integers(0, 30)) == 0:
            cells = cells[:draw(st.integers(0, len(cells)))]
        lines.append(delimiter.join(cells))
    text = end.join(lines) + draw(st.sampled_from(("", end, end + end)))
    return (b"\xef\xbb\xbf" if draw(st.booleans()) else b"") + text.encode()


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(logs(), st.sampled_from((Answers(athlete="Ida"), Answers(), Answers(athlete="Ida", unit="lb", day_first=True))))
@example(log(30).encode(), Answers())
@example((log(30) + "2026-02-31,Ida,Curl,1,8,20,kg,2,\n,,,,,,,,\n\n2026-03-01,Ida,Plank,1,45s,,,,\n").encode(), Answers())
@example(("Date,Exercise,Reps,Load,Body weight (kg),Gym,Athlete\n2026-03-02,Curl,8,62,5,80,,Ida\n" + "2026-03-03,Curl,8,60,80,,Ida\n" * 20).encode(), Answers(athlete="Ida"))
def test_both_paths_give_the_same(tmp_path_factory: pytest.TempPathFactory, text: bytes, answers: Answers):
    fast, careful = ways(tmp_path_factory.mktemp("both"), text, answers)
    event("fast" if took_fast(fast) else "careful")
    assert_same(fast, careful)


ROWS_APART = (
    "2026-02-31,Ida,Bench press,1,8,60,kg,2,", "2026-03-02,Ida,Bench press,1,many,60,kg,2,",
    ",Ida,Bench press,1,8,60,kg,2,", "2026-03-02,Ida,,1,8,60,kg,2,",
    "2026-03-02,Ida,Plank,1,45s,,,,", "2026-03-02,Ida,Curl,1,10/side,8,kg,,", "2026-03-02,Ida,Curl,1,3x10,8,kg,,",
    "2026-03-02,Ida,Curl,1,10,red band,,,",
    "2026-03-02,Ida,Curl", "2026-03-02,Ida,Curl,1,10,8,kg,2,a note, with a comma", '2026-03-02,Ida,Curl,1,10,8,kg,2,6" box', ",,,,,,,,", "",
    "2999-01-01,Ida,Curl,1,10,8,kg,2,", "2026-03-02,,Curl,1,10,8,kg,2,", "Date,Athlete,Exercise,Set,Reps,Load,Unit,RIR,Note",
    "2026-03-02,Ida,Curl,1,10,9999,kg,2,",
    "2026-03-02,Ida,Curl,x,10,8,kg,2,", "2026-03-02,Ida,Curl,1,10,8,stone,2,", "2026-03-02,Ida,Curl,1,10,20 per side,kg,2,")


@pytest.mark.parametrize("row", ROWS_APART)
def test_a_row_that_is_not_plain_is_read_by_the_careful_path(tmp_path: Path, row: str):
    """The rest of the file still goes the fast way, and the row keeps its physical line and its place."""
    lines = log(40).splitlines()
    text = "\n".join([*lines[:21], row, *lines[21:]]) + "\n"
    fast, careful = ways(tmp_path, text.encode())
    assert took_fast(fast)
    assert_same(fast, careful)


@pytest.mark.parametrize("text", [
    log(30).replace("kg,2,\n", 'kg,2,"over\ntwo lines"\n', 1), log(30).replace("\n", "\r"), log(30).replace("Ida", "Andr\u00e9").encode("cp1252"),
    HEAD + "2026-03-02,Ida,Curl,1,many,8,kg,2,\n" * 30, log(30).replace("2026-03-01,Ida", "2026-03-01,I\0da"), HEAD, "",
    log(12).replace("Ida", '"Ida', 1)])
def test_what_the_fast_path_leaves_the_careful_path_reads_or_refuses(tmp_path: Path, text: str | bytes):
    fast, careful = ways(tmp_path, text if isinstance(text, bytes) else text.encode())
    assert not took_fast(fast)
    assert_same(fast, careful)


@pytest.mark.parametrize("dates", [
    ("3/4/2026", "5/6/2026"), ("13/4/2026", "5/6/2026"), ("3/4/2026", "4/4/2026", "5/4/2026", "1/5/2026"), ("1/5/2026", "1/6/2026", "2/7/2026")])
def test_the_order_of_dates_is_decided_over_the_whole_file(tmp_path: Path, dates: tuple[str, ...]):
    rows = "".join(f"{d},Ida,Curl,{n},8,10,kg,2,\n" for d in dates for n in range(1, 9))
    assert_same(*ways(tmp_path, (HEAD + rows).encode()))


DAYS = [f"2026-03-{1 + n % 28:02}" for n in range(40)]


@pytest.mark.parametrize(("header", "rows", "fast"), [
    ("Sets", [f"{DAYS[n // 3]},Bench press,8,{1 + n % 3}" for n in range(40)], True),  # numbered
    ("Sets", [f"{DAYS[n]},Bench press,8,3" for n in range(40)], False),  # counted
    ("Rounds", [f"{DAYS[n]},Bench press,8,3" for n in range(40)], False), ("Plan", [f"{DAYS[n // 2]},Bench press,8,{'' if n % 2 else '3x8'}" for n in range(40)], False),
    ("Weight (st)", [f"{DAYS[n]},Bench press,8,{8 + n % 4}" for n in range(40)], True), ("Body weight", [f"{DAYS[n]},Bench press,8,11 st {n % 14} lb" for n in range(40)], True),
    ("Load (%)", [f"{DAYS[n]},Bench press,8,{70 + n % 4}" for n in range(40)], True),
    ("Load (N)", [f"{DAYS[n]},Bench press,8,{70 + n % 4}" for n in range(40)], False), ("Load (N)", [f"{DAYS[n]},Bench press,8,{70 + n % 4} kg" for n in range(40)], True),
    ("Note", [f"{DAYS[n]},Bench press,{'60 8 8 8' if n == 20 else 8}," for n in range(40)], True),
    ("Note", [f"{DAYS[n][-2:]} Jan,Bench press,8," for n in range(40)], False), ("Year", [f"{DAYS[n][-2:]} Jan,Bench press,8,2026" for n in range(40)], False),
    ("Note", [f"{'9 Jan' if n == 20 else DAYS[n]},Bench press,8," for n in range(40)], True), ("Note", ["Mon 3/2/2026,Bench press,8,", "Wed 3/4/2026,Bench press,8,"] * 20, True)])
def test_columns_that_are_read_by_how_they_run_are_so_on_both_paths(tmp_path: Path, header: str, rows: list[str], fast: bool):
    text = "\n".join([f"Date,Exercise,Reps,{header}", *rows]) + "\n"
    both = ways(tmp_path, text.encode(), Answers(athlete="Ida", year=2026 if " Jan" in rows[0] and header == "Note" else None))
    assert took_fast(both[0]) is fast
    assert_same(*both)


# --- in the store ----------------------------------------------------------------------------------------------------------

MIXED = "".join([log(40), *(row + "\n" for row in ROWS_APART[:8]), PLAIN.format(day=30, n=1, load=20)])
STORED = ("select * exclude (set_id, import_id), row_number() over (order by set_id) from sets order by set_id",
          "select * from set_aside order by row",
          "select * exclude made_at from imports", "select * from stale", "select * from athletes")


def stored(store: Path, source: bytes | Path) -> tuple[dict, list]:
    report = keep(store, understand([("log.csv", source)], Answers(), today=TODAY))
    with reading(store) as con:
        return report, [con.execute(sql).fetchall() for sql in STORED]


def test_both_paths_store_the_same_and_report_the_same(tmp_path: Path):
    path = tmp_path / "log.csv"
    path.write_text(MIXED)
    fast, careful = stored(tmp_path / "f.duckdb", path), stored(tmp_path / "c.duckdb", MIXED.encode())
    assert fast[0] | {"assumed": sorted(fast[0]["assumed"])} == careful[0] | {"assumed": sorted(careful[0]["assumed"])}
    for sql, one, other in zip(STORED, fast[1], careful[1], strict=True):
        assert "imports" in sql or one == other


def test_a_file_again_and_a_longer_one_store_only_what_is_new(tmp_path: Path):
    store, path = tmp_path / "s.duckdb", tmp_path / "log.csv"
    path.write_text(MIXED)
    first = stored(store, path)[0]
    assert stored(store, path)[0]["sets_stored"] == 0
    path.write_text(MIXED + PLAIN.format(day=31, n=1, load=20) * 2)
    longer = stored(store, path)[0]
    assert (longer["sets_stored"], longer["already_stored"]) == (2, first["sets_stored"])
    assert undo(store, first["import"]).sets == 0
    with reading(store) as con:
        assert con.execute("select count(*), count(distinct set_id) from sets").fetchall() == [(first["sets_stored"] + 2,) * 2]


def test_a_row_that_was_left_out_stays_out_when_it_has_become_plain(tmp_path: Path):
    """A row with a date to come waits, and is left out. Once the day has passed, nothing tells it from the rows around it."""
    store, path = tmp_path / "s.duckdb", tmp_path / "log.csv"
    to_come = PLAIN.format(day=1, n=1, load=300).replace("2026-03", "2026-12")
    path.write_text(log(100) + to_come)
    report = keep(store, understand([("log.csv", path)], Answers(), known=known(store), today=TODAY))
    (waits,) = report["set_aside"]
    assert mend(store, report["import"], "log.csv", {waits["row"]: None})["left_out"] == 1
    path.write_text(log(120) + to_come + to_come.replace(",300,", ",80,"))
    later = understand([("log.csv", path)], Answers(), known=known(store), today=date(2027, 1, 1))
    assert took_fast(later.files[0]) and later.files[0].left_out == 1
    assert keep(store, later)["set_aside"] == []
    with reading(store) as con:
        assert con.execute("select load_kg from sets where date > '2026-11-01'").fetchall() == [(80.0,)]


def test_the_kept_copy_is_the_file(tmp_path: Path):
    store, path = tmp_path / "s.duckdb", tmp_path / "log.csv"
    path.write_text(MIXED)
    preview = understand([("log.csv", path)], Answers(), today=TODAY)
    keep(store, preview)
    assert sources.read(store, preview.files[0].sha256) == path.read_bytes()


# --- what goes wrong -------------------------------------------------------------------------------------------------------


def test_a_file_that_changes_while_it_is_read_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    store, path = tmp_path / "s.duckdb", tmp_path / "log.csv"
    path.write_text(log(60))
    usual = blocks.Source._more

    def more(self, size):
        if self.read and not more.done:
            more.done = True
            with path.open("a") as file:
                file.write(PLAIN.format(day=3, n=9, load=99))
        return usual(self, size)

    more.done = False
    monkeypatch.setattr(blocks.Source, "_more", more)
    with pytest.raises(Refusal, match="changed while it was read"):
        keep(store, understand([("log.csv", path)], Answers(), today=TODAY))
    assert not store.exists() and not sources.names(store)


def test_a_file_that_is_not_there_is_refused(tmp_path: Path):
    assert "no such file" in str(one(tmp_path / "absent.csv").refusal)


def test_a_full_disk_for_the_copy_leaves_the_store_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    store, path = tmp_path / "s.duckdb", tmp_path / "log.csv"
    path.write_text(MIXED)
    preview = understand([("log.csv", path)], Answers(), today=TODAY)
    with reading(store):
        pass

    def full(self, out):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("etl.packed.Packed.write_to", full)
    with pytest.raises(Refusal, match="copy of the file cannot be kept"):
        keep(store, preview)
    assert not list(sources.folder(store).iterdir())
    with reading(store) as con:
        assert con.execute("select (select count(*) from sets), (select count(*) from imports)").fetchall() == [(0, 0)]


def test_a_full_disk_for_the_store_leaves_it_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    store, path = tmp_path / "s.duckdb", tmp_path / "log.csv"
    path.write_text(MIXED)
    stored(store, (log(5)).encode())
    before = stored(store, (log(5)).encode())[1]
    usual = adding._insert

    def full(con, *rest):
        usual(con, *rest)
        raise duckdb.IOException("IO Error: Could not write all bytes to file: No space left on device")

    monkeypatch.setattr(adding, "_insert", full)
    with pytest.raises(Refusal, match="cannot be written.*as it was.*No space left"):
        keep(store, understand([("log.csv", path)], Answers(), today=TODAY))
    with reading(store) as con:
        assert [con.execute(sql).fetchall() for sql in STORED] == before
    assert len(sources.names(store)) == 1


def test_some_rows_are_shown_alike(tmp_path: Path):
    """Also what columns of their own say of time and session, and a time in the date's cell."""
    head = "Date,Time,Session,Athlete,Exercise,Set,Reps,Load\n"
    fast, careful = ways(tmp_path, (head + "2026-03-02 07:10,,A,Ida,Bench press,1,8,60\n2026-03-02,18:30,,Ida,Bench press,2,8,60\n" * 30).encode())
    assert took_fast(fast)
    columns = list(careful.normal.sets.columns)
    assert in_order(fast.sets_of([3, 2]), columns) == in_order(careful.sets_of([2, 3]), columns)


def test_a_refused_import_keeps_no_copy(tmp_path: Path):
    store, path = tmp_path / "s.duckdb", tmp_path / "log.csv"
    path.write_text(log(40))
    preview = understand([("log.csv", path)], Answers(), today=TODAY)
    with pytest.raises(ZeroDivisionError):
        keep(store, preview, lambda share, text: 1 // 0)
    assert sources.names(store) == []


IMPORT = """
import sys
from datetime import date
from pathlib import Path
from etl.fast import blocks
from etl.importing import Answers, keep, understand
blocks.FAST_BYTES = 0
print("ready", flush=True)
keep(Path(sys.argv[1]), understand([("big.csv", Path(sys.argv[2]))], Answers(), today=date(2026, 11, 1)))
"""


def test_a_kill_at_any_moment_leaves_all_or_nothing(tmp_path: Path):
    """Twenty moments, spread at random over what an import takes; then an import into the same store still works."""
    path, moments = tmp_path / "big.csv", random.Random(7)
    path.write_text(log(60_000))

    def start(store: Path) -> tuple[subprocess.Popen, float]:
        program = subprocess.Popen([sys.executable, "-c", IMPORT, str(store), str(path)], stdout=subprocess.PIPE)
        assert program.stdout.readline() == b"ready\n"
        return program, time.monotonic()

    program, began = start(tmp_path / "whole.duckdb")
    assert program.wait() == 0
    takes = time.monotonic() - began
    seen = set()
    for number in range(20):
        store = tmp_path / f"{number}.duckdb"
        program, began = start(store)
        time.sleep(moments.uniform(0, 1.1) * takes)
        os.kill(program.pid, signal.SIGKILL)
        program.wait()
        with reading(store) as con:
            found = con.execute("select (select count(*) from sets), (select count(*) from imports), (select count(*) from stale)").fetchall()[0]
        assert found in {(0, 0, 0), (60_000, 1, 1)}
        seen.add(found)
    assert (0, 0, 0) in seen
    program, _ = start(store)
    assert program.wait() == 0
    with reading(store) as con:
        assert con.execute("select count(*) from sets").fetchall() == [(60_000,)]
