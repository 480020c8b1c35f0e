"""What the store knows of one athlete, and that nothing of an erased one is left."""

from __future__ import annotations

import stat
from datetime import date
from pathlib import Path

import pytest

from etl.importing import Answers, correct, erase_athlete, keep, known, mend, merge_athletes, read_again, understand, undo, waiting
from etl.refusal import Refusal
from etl.store import sources
from tests.logs import HEAD, ROW, THREE, ask, bring, set_of


def test_the_history_of_one_athlete_only(store: Path):
    bring(store, THREE + "2026-03-04,Ole,Bench press,1,100,5,2,\n2026-03-05,Ida,Bench press,1,80,5,2,\n")
    found = known(store).history("Ida")
    assert found.days == {date(2026, 3, 2), date(2026, 3, 5)} and found.loads == {"barbell_bench_press": 60.0}
    assert known(store).history("Nobody").days == frozenset()


MIXED = HEAD + "2026-03-02,Idunn Vega,Bench press,1,60,8,2,hers\n2026-03-02,Ole,Bench press,1,70,8,2,his\n2026-02-31,Idunn Vega,Squat,1,60,8,2,\n"
HERS = HEAD + "2026-03-09,Idunn Vega,Squat,1,80,5,1,alone\n2026-02-30,Idunn Vega,Squat,1,80,5,1,bad\n"


def test_nothing_of_an_erased_athlete_is_left(store: Path):
    bring(store, MIXED, name="gym.csv")
    own = bring(store, HERS, name="idunn vega.csv")
    mend(store, own["import"], "idunn vega.csv", {3: ["2026-03-10", "Idunn Vega", "Squat", "1", "80", "5", "1", "put right"]})
    correct(store, set_of(store, "athlete = 'Idunn Vega'"), reps=7)
    bring(store, HERS.replace("Idunn Vega", "Idunn V."), name="v.csv")
    merge_athletes(store, "Idunn V.", "Idunn Vega")
    copies = {p.name for p in sources.folder(store).iterdir()}
    report = erase_athlete(store, "idunn vega")
    assert (report["files_deleted"], report["files_kept"]) == (["idunn vega.csv", "v.csv"], ["gym.csv"])
    assert ask(store, "select athlete, count(*) from sets group by 1") == [("Ole", 1)]
    assert ask(store, "select count(*) from set_aside") == [(0,)] and ask(store, "select count(*) from imports") == [(1,)]
    text = store.read_bytes().lower()
    for word in (b"idunn", b"alone", b"put right"):
        assert word not in text
    assert len(copies) == 3 and len(list(sources.folder(store).iterdir())) == 1
    assert not list(store.parent.glob("*.part*")) and not list(store.parent.glob("*.wal"))


ALONE = "Date,Exercise,Set,Load (kg),Reps\n2026-03-02,Squat,1,60,8\n"


def folder(store: Path, *files: tuple[str, str]) -> int:
    named = [(name, text.encode()) for name, text in files]
    return keep(store, understand(named, Answers(), known=known(store), names_give_athlete=True, today=date(2026, 11, 1)))["import"]


def test_a_file_whose_name_says_the_athlete_with_underscores_goes_with_them(store: Path):
    folder(store, ("idunn_vega.csv", ALONE), ("ole.csv", ALONE.replace("60", "70")))
    assert erase_athlete(store, "idunn vega")["files_deleted"] == ["idunn_vega.csv"]
    assert ask(store, "select athlete from sets") == [("ole",)] and len(list(sources.folder(store).iterdir())) == 1
    assert b"idunn" not in store.read_bytes()


def test_an_athlete_whose_file_is_the_same_byte_for_byte_keeps_it(store: Path):
    number = folder(store, ("idunn.csv", ALONE), ("ole.csv", ALONE))
    assert erase_athlete(store, "idunn")["files_kept"] == ["idunn.csv"]
    assert b"idunn" not in store.read_bytes()
    assert read_again(store, number, Answers(unit="kg"))["sets_stored"] == 1 and ask(store, "select athlete from sets") == [("ole",)]


def test_the_store_goes_on_after_an_erasure_and_the_erased_rows_are_not_read_again(store: Path):
    first = bring(store, HEAD + "2026-03-02,Ole,Bench press,1,70,8,2,his\n", name="ole.csv")
    bring(store, MIXED, name="gym.csv")
    before = ask(store, "select max(set_id) from sets")[0][0]
    erase_athlete(store, "Idunn Vega")
    undo(store, first["import"])
    assert ask(store, "select athlete, note from sets") == [("Ole", "his")]
    report = bring(store, HERS, name="anew.csv")
    assert report["sets_stored"] == 1, "what is imported anew is kept"
    assert ask(store, "select min(set_id) > ? from sets where athlete = 'Idunn Vega'".replace("?", str(before))) == [(True,)], "numbers go on"
    with pytest.raises(Refusal, match="no athlete"):
        erase_athlete(store, "Nobody")


@pytest.mark.parametrize("name", ["my-log", "fresh", 'it"s'])
def test_an_athlete_is_erased_whatever_the_store_is_called(tmp_path: Path, name: str):
    store = tmp_path / f"{name}.duckdb"
    bring(store, THREE + ROW.format(n=1, load=60).replace("Ida", "Ole"))
    assert erase_athlete(store, "Ida")["sets"] == 3
    assert ask(store, "select athlete from sets") == [("Ole",)] and b"Ida" not in store.read_bytes()


def test_a_short_name_takes_no_other_rows_with_it(store: Path):
    bring(store, HEAD + "2026-03-02,Al,Squat,1,60,5,,\n2026-03-02,Bo,Calf raise,1,60,xx,,\n2026-03-02,Al,Squat,2,60,xx,,\n2026-03-02,Bo,Squat,1,60,5,,\n")
    erase_athlete(store, "Al")
    assert waiting(store)["text"].tolist() == ["2026-03-02,Bo,Calf raise,1,60,xx,,"]
    assert ask(store, "select rows_set_aside from imports") == [(1,)]


def test_a_copy_that_a_stopped_erasure_left_goes_with_the_next(store: Path, monkeypatch: pytest.MonkeyPatch):
    bring(store, HERS, name="hers.csv")
    bring(store, THREE)
    with monkeypatch.context() as stopped:
        stopped.setattr("etl.store.sources.drop", lambda *_: (_ for _ in ()).throw(KeyboardInterrupt))
        with pytest.raises(KeyboardInterrupt):
            erase_athlete(store, "Idunn Vega")
    erase_athlete(store, "Idunn Vega")
    assert [b"Idunn" in sources.read(store, name) for name in sources.names(store)] == [False]


def test_an_erasure_that_was_stopped_can_be_finished(store: Path, monkeypatch: pytest.MonkeyPatch):
    """After the rows are gone and before the file is written anew: the name may still be in its bytes, and erasing again ends that."""
    bring(store, HERS.replace("Idunn Vega", "Idunn Vega " * 2), name="gym.csv")
    monkeypatch.setattr("etl.store.erase.rewrite", lambda path: None)
    erase_athlete(store, "Idunn Vega Idunn Vega")
    monkeypatch.undo()
    assert erase_athlete(store, "Idunn Vega Idunn Vega")["sets"] == 0
    assert b"idunn" not in store.read_bytes().lower() and stat.S_IMODE(store.stat().st_mode) == 0o600
