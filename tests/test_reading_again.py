"""An import is read again from its kept bytes, with another answer, and others of the same log are settled with it."""

from __future__ import annotations

from pathlib import Path

import pytest

from etl.importing import Answers, erase_athlete, keep, known, large, read_again, understand, undo
from etl.refusal import Refusal
from tests.logs import HEAD, PLAIN, THREE, TODAY, ask, bring


def test_an_import_is_read_again_with_another_answer_under_its_number(store: Path):
    number = bring(store, PLAIN)["import"]
    report = read_again(store, number, Answers(unit="lb"))
    assert (report["import"], report["sets_stored"], report["later"]) == (number, 2, {})
    assert ask(store, "select distinct import_id, round(load_kg, 6) from sets") == [(number, round(20 * 0.45359237, 6))]
    assert ask(store, "select undone, sets_stored from imports") == [(False, 2)]


def test_a_corrected_mapping_holds_for_the_next_file_of_the_same_shape(store: Path):
    number = bring(store, PLAIN)["import"]
    read_again(store, number, Answers(unit="lb"))
    report = bring(store, PLAIN.replace("03-02", "03-09"), name="next.csv")
    assert ask(store, "select distinct round(load_kg, 6) from sets") == [(round(20 * 0.45359237, 6),)]
    assert any("earlier file" in text for text in report["assumed"])


def test_an_import_is_read_again_as_it_was_said_then_not_as_later_ones_were(store: Path):
    """An undo reads the later import once more: an answer for that header which came after it does not change it."""
    first = bring(store, PLAIN)["import"]
    bring(store, PLAIN + "2026-03-04,Ida,Curl,1,20,10\n", name="second.csv")
    bring(store, PLAIN.replace("03-02", "05-04"), Answers(unit="lb"), name="third.csv")
    undo(store, first)
    assert ask(store, "select date::text, load_kg from sets where date < '2026-05-01' order by date, set_no") == [
        ("2026-03-02", 20.0), ("2026-03-02", 20.0), ("2026-03-04", 20.0)]


def test_answers_are_forgotten_with_the_import_they_were_given_for(store: Path):
    number = bring(store, PLAIN, Answers(unit="lb"))["import"]
    undo(store, number)
    bring(store, PLAIN)
    assert ask(store, "select distinct load_kg from sets") == [(20.0,)]


def test_reading_again_does_not_bring_old_answers_over_newer_ones(store: Path):
    first = bring(store, PLAIN, Answers(unit="lb"))["import"]
    bring(store, PLAIN.replace("03-02", "03-09"), Answers(unit="kg"), name="second.csv")
    read_again(store, first, Answers(athlete="Ida"))
    assert [kept.unit for kept in known(store).shapes.values()] == ["kg"]


def test_reading_again_says_what_is_taken_for_a_warm_up(store: Path):
    number = bring(store, "Date,Athlete,Exercise,Set,Load,Reps\n2026-03-02,Ida,Squat,1,40,8\n2026-03-02,Ida,Squat,2,100,5\n")["import"]
    assert any("warm-ups" in text for text in read_again(store, number, Answers(unit="kg"))["assumed"])


def test_a_large_import_is_read_again_as_it_was_read_at_first(store: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """By the fast path, without the rows of an athlete who was erased; an undo leaves imports of others alone."""
    monkeypatch.setattr("etl.fast.blocks.FAST_BYTES", 1)
    path = tmp_path / "gym.csv"
    path.write_text(HEAD + "".join(f"2026-03-{d:02},{who},Bench press,{n},60,8,2,\n" for d in range(1, 15) for who in ("Ole", "Ida") for n in (1, 2)))
    keep(store, understand([("gym.csv", path)], Answers(), known=known(store), today=TODAY))
    erase_athlete(store, "Ole")
    read = []
    monkeypatch.setattr("etl.importing.large.understand_fast", lambda *args, real=large.understand_fast: read.append(args[1]) or real(*args))
    assert read_again(store, 1, Answers(unit="kg"))["sets_stored"] == 28 and read == ["gym.csv"]
    assert ask(store, "select count(*), count(distinct set_id), list(distinct athlete) from sets") == [(28, 28, ["Ida"])]
    other = bring(store, THREE.replace("Ida", "Una"), name="una.csv")["import"]
    bring(store, THREE.replace("Ida", "Una") + "2026-02-31,Una,Bench press,4,60,8,2,\n", name="una2.csv")
    bring(store, THREE.replace("Ida", "Kai") + "2026-02-31,Kai,Bench press,4,60,8,2,\n", name="kai.csv")
    read.clear()
    undo(store, other)
    assert read == ["una2.csv"] and ask(store, "select count(*) from sets where athlete = 'Una'") == [(3,)]
    assert not list(store.parent.glob(".again-*"))


def test_a_later_import_of_the_same_rows_is_settled_and_named(store: Path):
    first = bring(store, PLAIN)["import"]
    second = bring(store, PLAIN, name="again.csv")["import"]
    report = read_again(store, first, Answers(unit="lb"))
    assert report["later"] == {second: 2} and ask(store, "select count(*) from sets") == [(4,)]


def test_a_refused_answer_leaves_the_store_as_it_was(store: Path):
    number = bring(store, PLAIN)["import"]
    before = ask(store, "select * from sets order by set_id")
    with pytest.raises(Refusal):
        read_again(store, number, Answers(columns={"load": "No such header"}))
    assert ask(store, "select * from sets order by set_id") == before and ask(store, "select undone from imports") == [(False,)]


def test_an_older_import_that_stands_keeps_its_sets_when_a_newer_one_is_undone(store: Path):
    for text, name in ((THREE, "a.csv"), (THREE, "b.csv"), (THREE + THREE.removeprefix(HEAD), "c.csv")):
        bring(store, text, name=name)
    undo(store, 1)
    undo(store, 3)
    assert ask(store, "select count(*) from sets") == [(3,)]


ODD = "Date,Exercise,Set,Level,Weight,Reps\n2026-03-{d:02},Curl,1,3,50,10\n2026-03-{d:02},Curl,2,3,50,9\n"
USUAL = "Date,Exercise,Set,Load,Reps\n2026-03-{d:02},Squat,1,60,8\n"
WRONG = Answers(unit="kg", columns={"load": "Level", "body_mass": "Weight"})  # Weight is the load


def folder(store: Path, *files: tuple[str, str], answers: Answers = Answers()) -> int:
    """One import of several files without a column of athletes, as of a folder; its number."""
    named = [(name, text.encode()) for name, text in files]
    return keep(store, understand(named, answers, known=known(store), names_give_athlete=True, today=TODAY))["import"]


def loads(store: Path) -> dict[str, float | None]:
    return dict(ask(store, "select athlete, max(load_kg) from sets group by athlete"))


def test_answers_for_one_file_of_an_import_leave_the_others_as_they_were(store: Path):
    number = folder(store, ("ida.csv", ODD.format(d=2)), ("Kai.csv", ODD.format(d=2)), ("una.csv", USUAL.format(d=2)), answers=Answers(unit="kg"))
    read_again(store, number, WRONG, files=["ida.csv", "Kai.csv"])
    assert loads(store) == {"ida": 3.0, "Kai": 3.0, "una": 60.0}
    report = read_again(store, number, Answers(columns={"load": "weight"}), files=["some/where/IDA.csv"])
    assert report["import"] == number and loads(store) == {"ida": 50.0, "Kai": 3.0, "una": 60.0}
    assert ask(store, "select distinct body_mass_kg from sets where athlete = 'ida'") == [(None,)], "a header named anew is no longer what it was"
    read_again(store, number, Answers(athlete="Ida Kovar", unit="lb"), files=["ida.csv"])
    assert loads(store) == {"Ida Kovar": pytest.approx(50 * 0.45359237), "Kai": 3.0, "una": 60.0}, "what is said later is laid over what was said before"


def test_what_was_said_of_one_file_holds_when_the_import_is_read_again_for_another_reason(store: Path):
    first = folder(store, ("una.csv", USUAL.format(d=2)))
    number = folder(store, ("ida.csv", ODD.format(d=2)), ("kai.csv", ODD.format(d=3)), ("una.csv", USUAL.format(d=2)))
    read_again(store, number, WRONG, files=["kai.csv"])
    before = loads(store)
    undo(store, first)
    assert loads(store) == before == {"ida": 50.0, "kai": 3.0, "una": 60.0}
    read_again(store, number, Answers(unit="lb"))
    pound = 0.45359237
    assert {who: round(kg / pound, 6) for who, kg in loads(store).items()} == {"ida": 50.0, "kai": 3.0, "una": 60.0}
    erase_athlete(store, "kai")
    assert "kai" not in ask(store, "select answers || files from imports where not undone")[0][0]
    read_again(store, number, Answers(unit="kg"))
    assert loads(store) == {"ida": 50.0, "una": 60.0}


def test_an_import_whose_file_says_its_athlete_with_underscores_keeps_what_an_undone_one_held_too(store: Path):
    text = USUAL.format(d=2)
    first = folder(store, ("ida_k.csv", text))
    second = folder(store, ("ida_k.csv", text + USUAL.format(d=4).splitlines()[1] + "\n"))
    assert undo(store, first).held == {second: 1}
    assert ask(store, "select athlete, count(*) from sets group by 1") == [("ida k", 2)]


def test_what_was_said_of_one_file_is_kept_for_its_header_unless_another_file_has_it_too(store: Path):
    number = folder(store, ("ida.csv", ODD.format(d=2)), ("kai.csv", ODD.format(d=2)), ("una.csv", USUAL.format(d=2)))
    read_again(store, number, Answers(unit="lb"), files=["una.csv"])
    assert [kept.unit for kept in known(store).shapes.values()] == ["lb"], "no other file has una's header"
    read_again(store, number, WRONG, files=["kai.csv"])
    assert not any(kept.columns for kept in known(store).shapes.values()), "ida has kai's header, and is read otherwise"
    folder(store, ("ida.csv", ODD.format(d=9)), ("kai.csv", ODD.format(d=9)))
    assert ask(store, "select athlete, max(load_kg) from sets where date = '2026-03-09' group by 1 order by 1") == [("ida", 50.0), ("kai", 50.0)]
    read_again(store, number, WRONG, files=["ida.csv"])
    assert [kept.columns for kept in known(store).shapes.values() if kept.columns] == [WRONG.columns], "now all files of that header are read so"


def test_a_file_that_the_import_lacks_and_answers_that_say_nothing_are_refused(store: Path):
    number = folder(store, ("ida.csv", ODD.format(d=2)), ("una.csv", USUAL.format(d=2)))
    before = ask(store, "select * from sets order by set_id")
    with pytest.raises(Refusal, match="no file 'kai.csv'") as refused:
        read_again(store, number, WRONG, files=["kai.csv"])
    assert "ida.csv, una.csv" in str(refused.value)
    with pytest.raises(Refusal, match="Nothing is said"):
        read_again(store, number, Answers(), files=["ida.csv"])
    assert ask(store, "select * from sets order by set_id") == before


def test_answers_of_an_older_store_are_read(store: Path):
    number = folder(store, ("ida.csv", ODD.format(d=2)), answers=WRONG)
    assert '"files"' not in ask(store, "select answers from imports")[0][0], "as it was written before there were answers for single files"
    read_again(store, number, Answers(unit="kg"))
    assert loads(store) == {"ida": 3.0}
