"""The words by which a person says which column is which: on the command line and on the page."""

from __future__ import annotations

import pytest

from dashboard.command.main import main
from dashboard.sentences.fields import FIELD_WORDS
from dashboard.sentences.imports import ON_THE_PAGE, on_the_page
from etl.columns import FIELDS, recognise
from etl.importing import Answers, Known, understand
from etl.importing.memory import Kept, shape_of
from etl.read import read_table


@pytest.mark.parametrize("command", ["import", "again"])
def test_help_lists_every_word(command: str, capsys):
    with pytest.raises(SystemExit):
        main([command, "--help"])
    said = {tuple(line.split(maxsplit=1)) for line in capsys.readouterr().out.splitlines()}
    assert {(field, FIELD_WORDS[field]) for field in FIELDS} <= said


def test_the_page_has_words_of_its_own_for_each():
    assert set(FIELD_WORDS) == set(FIELDS) and len(set(FIELD_WORDS.values())) == len(FIELDS)


def assumed(now: bool) -> list[str]:
    known = Known(shapes={shape_of(["Date", "Exercise", "Reps", "Brzl"]): Kept(columns={"load": "Brzl"}, unit="lb", now=now)})
    return understand([("log.csv", b"Date,Exercise,Reps,Brzl\n2026-03-02,Squat,5,100\n")], Answers(athlete="Ida"), known=known).assumed


def test_what_was_chosen_on_the_page_is_not_said_of_an_earlier_file():
    assert 'columns read as you chose: "Brzl" as the load' in assumed(True)
    assert any("columns read as was said of an earlier file" in text for text in assumed(False))


def test_no_id_of_a_field_is_said_to_people():
    shape = shape_of(["Date", "Exercise", "Reps", "Round"])
    known = Known(shapes={shape: Kept(columns={"round_no": "-"}, now=True)})
    (file,) = understand([("log.csv", b"Date,Exercise,Reps,Round\n2026-03-02,Squat,5,many\n")], Answers(athlete="Ida"), known=known).files
    assert 'columns read as you chose: no column as the number of the round' in file.normal.assumed
    reasons = [c.reason for header in ("Round", "RIR") for c in recognise(read_table(f"date,exercise,reps,{header}\n2026-03-02,Squat,5,many\n".encode(), "log.csv"))]
    assert any("named for the number of the round" in reason for reason in reasons) and any("named for the repetitions in reserve" in reason for reason in reasons)
    assert not any(field in text for field in FIELDS if "_" in field for text in (*reasons, *file.normal.assumed))


def test_on_the_page_no_option_of_the_command_is_named():
    lost = understand([("log.csv", b"Date,Exercise,Reps,Brzl\n2026-03-02,Squat,many,100\n")], Answers(athlete="Ida")).assumed
    bare = understand([("log.csv", b"Date,Exercise,Reps,Brzl\n2026-03-02,Squat,5,100\n")], Answers(athlete="Ida")).assumed
    said = [text for text in (*assumed(False), *lost, *bare) if any(option in text for option in ON_THE_PAGE)]
    assert len(said) == 4 and not any("--" in on_the_page(text) for text in said)
