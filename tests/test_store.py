"""The store: private, whole after a kill, honest when it is held or is no store."""

from __future__ import annotations

import os
import signal
import stat
import subprocess
import sys
import time
from pathlib import Path

import duckdb
import pytest

from etl.refusal import Refusal
from etl.store import connection, instance, reading, sources, stamp, writing


def test_only_the_owner_can_read_it(tmp_path: Path):
    path = tmp_path / "s.duckdb"
    with writing(path):
        pass
    sources.keep(path, b"text")
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(sources.folder(path).stat().st_mode) == 0o700


def test_source_bytes_come_back_as_they_were(tmp_path: Path):
    path = tmp_path / "s.duckdb"
    sha256 = sources.keep(path, b"Date,Reps\r\n")
    assert sources.read(path, sha256) == b"Date,Reps\r\n"
    with pytest.raises(Refusal, match="missing"):
        sources.read(path, "ef" * 32)


def test_a_failed_change_is_rolled_back(tmp_path: Path):
    path = tmp_path / "s.duckdb"
    with reading(path):
        pass
    before = stamp(path)
    with pytest.raises(ZeroDivisionError), writing(path) as con:
        con.execute("insert into athletes (athlete) values ('Ida')")
        raise ZeroDivisionError
    with reading(path) as con:
        assert con.execute("select count(*) from athletes").fetchall() == [(0,)]
    assert stamp(path) == before


def test_the_stamp_changes_with_every_change(tmp_path: Path):
    path = tmp_path / "s.duckdb"
    with writing(path):
        pass
    first = stamp(path)
    with writing(path):
        pass
    assert stamp(path) != first


def test_a_page_cannot_touch_files_through_sql(tmp_path: Path):
    (tmp_path / "secret.csv").write_text("a\n1\n")
    with reading(tmp_path / "s.duckdb") as con, pytest.raises(duckdb.Error):
        con.execute(f"select * from read_csv('{tmp_path / 'secret.csv'}')").fetchall()


def test_a_page_cannot_have_the_files_opened_to_it(tmp_path: Path):
    for text in ("set enable_external_access = true", "set allowed_paths = ['/']", f"attach '{tmp_path / 'other.duckdb'}'"):
        with reading(tmp_path / "s.duckdb") as con, pytest.raises(duckdb.Error):
            con.execute(text)


def test_between_two_uses_another_program_can_have_the_store(tmp_path: Path):
    path = tmp_path / "s.duckdb"
    for _ in range(2):
        with writing(path) as con:
            con.execute("update athletes set level = level")
        with reading(path):
            pass
        other = "import duckdb, sys; print(duckdb.connect(sys.argv[1]).execute('select count(*) from sets').fetchall())"
        done = subprocess.run([sys.executable, "-c", other, str(path)], capture_output=True, text=True, check=False)
        assert done.stdout == "[(0,)]\n", done.stderr


def test_readers_at_one_time_share_the_store_and_the_last_lets_go(tmp_path: Path):
    path = tmp_path / "s.duckdb"
    with reading(path) as first:
        with reading(path) as second:
            assert second.execute("select count(*) from sets").fetchall() == [(0,)]
        assert first.execute("select count(*) from sets").fetchall() == [(0,)]
    with writing(path) as con:
        con.execute("insert into athletes (athlete) values ('Ida')")
    assert not path.with_name("s.duckdb.wal").exists()


def test_two_stores_in_turn_and_at_one_time_stay_apart(tmp_path: Path):
    here, there = tmp_path / "here.duckdb", tmp_path / "it's there.duckdb"
    for path, name in ((here, "Ida"), (there, "Oskar")):
        with writing(path) as con:
            con.execute("insert into athletes (athlete) values (?)", [name])
    with reading(here) as one, reading(there) as two:
        assert one.execute("select athlete from athletes").fetchall() == [("Ida",)]
        assert two.execute("select athlete from athletes").fetchall() == [("Oskar",)]


def test_a_store_behind_a_link_is_the_same_store(tmp_path: Path):
    (tmp_path / "folder").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "folder", target_is_directory=True)
    with writing(tmp_path / "link" / "s.duckdb") as con:
        con.execute("insert into athletes (athlete) values ('Ida')")
    with reading(tmp_path / "folder" / "s.duckdb") as con:
        assert con.execute("select athlete from athletes").fetchall() == [("Ida",)]


def test_a_store_that_cannot_be_closed_in_good_order_is_whole_at_the_next_opening(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    path = tmp_path / "s.duckdb"

    def refuse(self: instance.Instance, con: duckdb.DuckDBPyConnection) -> None:
        con.close()
        raise duckdb.IOException("no room left")

    monkeypatch.setattr(instance.Instance, "leave", refuse)
    with writing(path) as con:
        con.execute("insert into athletes (athlete) values ('Ida')")
    monkeypatch.undo()
    with reading(path) as con:
        assert con.execute("select athlete from athletes").fetchall() == [("Ida",)]


def test_what_did_not_fit_into_memory_leaves_no_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    path = tmp_path / "s.duckdb"
    with reading(path):
        pass
    monkeypatch.setitem(instance.CONFIG, "memory_limit", "100MB")
    monkeypatch.setattr(instance, "_RUNNING", {})
    with reading(path) as con:
        con.execute("create temp table large as select i, hash(i)::text as t from range(6000000) r(i)")
        assert [f.name for f in tmp_path.iterdir() if f.name != path.name] == ["s.duckdb.tmp"]
    assert [f.name for f in tmp_path.iterdir()] == [path.name]
    with reading(path) as con:
        assert con.execute("select count(*) from sets").fetchall() == [(0,)]


def test_a_file_that_is_no_store_is_refused_in_words(tmp_path: Path):
    path = tmp_path / "s.duckdb"
    path.write_bytes(b"not a database, but more than nothing at all" * 100)
    with pytest.raises(Refusal, match="cannot be opened as a store"), reading(path):
        pass


def test_a_store_whose_first_program_died_at_its_first_step_is_made_anew(tmp_path: Path):
    """A store is made table by table; the table of the steps made is there before it holds one."""
    store = tmp_path / "s.duckdb"
    with duckdb.connect(str(store)) as con:
        con.execute("create table migrations (version integer primary key, name text, made_at timestamp)")
    with reading(store) as con:
        assert con.execute("select count(*) from sets").fetchall() == [(0,)]


def test_a_newer_store_is_refused_in_words(tmp_path: Path):
    path = tmp_path / "s.duckdb"
    with writing(path) as con:
        con.execute("insert into migrations values (999, 'from the future', now()::timestamp)")
    connection._READY.clear()
    with pytest.raises(Refusal, match="newer version"), reading(path):
        pass


HOLDER = """
import duckdb, sys, time
con = duckdb.connect(sys.argv[1])
print("held", flush=True)
time.sleep(60)
"""


def test_a_store_that_another_program_holds_says_which(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    path = tmp_path / "s.duckdb"
    with reading(path):
        pass
    monkeypatch.setattr(connection, "PATIENCE_S", 0.3)
    holder = subprocess.Popen([sys.executable, "-c", HOLDER, str(path)], stdout=subprocess.PIPE)
    try:
        assert holder.stdout.readline()
        with pytest.raises(Refusal, match=str(holder.pid)), reading(path):
            pass
    finally:
        holder.kill()
        holder.wait()


IMPORT = """
import sys
from datetime import date
from etl.importing import Answers, keep, understand
rows = "".join(f"2026-03-{1 + i % 28:02},Ida,Curl,{1 + i},8,10\\n" for i in range(20000))
preview = understand([("big.csv", ("Date,Athlete,Exercise,Set,Load (kg),Reps\\n" + rows).encode())], Answers(), today=date(2026, 11, 1))
print("ready", flush=True)
keep(sys.argv[1], preview)
print("kept", flush=True)
"""


@pytest.mark.parametrize("delay_s", [0.0, 0.1, 0.25, 0.5])
def test_a_kill_in_the_middle_leaves_all_or_nothing(tmp_path: Path, delay_s: float):
    path = tmp_path / "s.duckdb"
    with reading(path):
        pass
    program = subprocess.Popen([sys.executable, "-c", IMPORT, str(path)], stdout=subprocess.PIPE)
    assert program.stdout.readline() == b"ready\n"
    time.sleep(delay_s)
    os.kill(program.pid, signal.SIGKILL)
    program.wait()
    with reading(path) as con:
        sets, imports = con.execute("select (select count(*) from sets), (select count(*) from imports)").fetchall()[0]
    assert (sets, imports) in {(0, 0), (20000, 1)}
