"""From files to the store: what is stored, already stored and set aside, and what an import takes back."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from pathlib import Path

import pytest
from sklearn.datasets import load_linnerud

from etl.importing import Answers, decide, keep, known, rehearse, understand, undo
from etl.refusal import Question, Refusal
from tests.logs import ask

HEAD = "Date,Athlete,Exercise,Set,Load (kg),Reps,RIR\n"
TWO = HEAD + "2026-03-02,Ida,Bench press,1,60,8,2\n2026-03-02,Ida,Bench press,2,60,8,1\n"
TODAY = date(2026, 11, 1)


def bring(store: Path, *texts: str | bytes, answers: Answers = Answers(), name: str = "log") -> dict:
    files = [(f"{name}{i}.csv", t.encode() if isinstance(t, str) else t) for i, t in enumerate(texts)]
    return keep(store, understand(files, answers, known=known(store), today=TODAY))


def total(report: dict) -> int:
    """Each row of these files gives one set, so the three fates of the rows add up."""
    return report["sets_stored"] + report["already_stored"] + report["rows_set_aside"] + report["days_stored"]



def test_each_new_set_that_may_correct_a_stored_one_is_counted(store: Path):
    """Three sets in one row of the file are three new sets."""
    head = "Date,Athlete,Exercise,Set 1,Set 2,Set 3\n2026-03-02,Ida,Squat,"
    for name, sets in (("a.csv", "60x5,60x5,60x5"), ("b.csv", "65x5,65x5,65x5")):
        report = keep(store, understand([(name, f"{head}{sets}\n".encode())], Answers(), known=known(store)))
    assert report["look_like_corrections"] == 3


def test_every_row_is_stored_already_stored_or_set_aside(store: Path):
    text = TWO + "2026-02-31,Ida,Bench press,3,60,8,1\n2026-03-02,Ida,Bench press,4,60,many,1\n2026-03-02,Ida,Bench press,5,6000,8,1\n"
    report = bring(store, text)
    assert (report["rows_read"], report["sets_stored"], report["rows_set_aside"]) == (5, 2, 3)
    assert total(report) == report["rows_read"]
    assert [a["row"] for a in report["set_aside"]] == [4, 5, 6]
    assert ask(store, "select count(*) from set_aside") == [(3,)]


def test_the_same_file_again_stores_nothing(store: Path):
    bring(store, TWO)
    again = bring(store, TWO)
    assert (again["sets_stored"], again["already_stored"]) == (0, 2)


def test_three_identical_sets_stay_three_and_a_longer_export_adds_what_is_new(store: Path):
    head, row = "Date,Athlete,Exercise,Load (kg),Reps\n", "2026-03-02,Ida,Push-up,BW,10\n"
    assert bring(store, head + row * 3)["sets_stored"] == 3
    assert bring(store, head + row * 3)["sets_stored"] == 0
    longer = bring(store, head + row * 5 + "2026-03-04,Ida,Push-up,BW,10\n")
    assert (longer["sets_stored"], longer["already_stored"]) == (3, 3)
    assert ask(store, "select date::text, count(*) from sets group by date order by date") == [("2026-03-02", 5), ("2026-03-04", 1)]


def test_a_later_file_fills_what_is_empty_and_lists_what_differs(store: Path):
    bring(store, "Date,Athlete,Exercise,Set,Load (kg),Reps,RIR,Note\n2026-03-02,Ida,Curl,1,8,10,,\n2026-03-02,Ida,Curl,2,8,10,2,slow\n")
    later = bring(store, "Date,Athlete,Exercise,Set,Load (kg),Reps,RIR,Note\n2026-03-02,Ida,Curl,1,8,10,3,easy\n2026-03-02,Ida,Curl,2,8,10,1,\n")
    assert (later["sets_stored"], later["differs"]) == (0, 1)
    assert ask(store, "select set_no, rir, note from sets order by set_no") == [(1, 3.0, "easy"), (2, 2.0, "slow")]
    undo(store, later["import"])
    assert ask(store, "select set_no, rir, note from sets order by set_no") == [(1, None, None), (2, 2.0, "slow")]


def test_undo_takes_an_import_back_whole(store: Path):
    first, second = bring(store, TWO), bring(store, TWO.replace("03-02", "03-09"))
    assert undo(store, second["import"]) == (2, {})
    assert ask(store, "select distinct date::text, import_id from sets") == [("2026-03-02", first["import"])]
    with pytest.raises(Refusal, match="undone already"):
        undo(store, second["import"])
    with pytest.raises(Refusal, match="not in the store"):
        undo(store, 99)


def test_undo_leaves_what_a_later_file_also_held(store: Path):
    """The longer export held the first file's sets too: they were counted as already stored, and stay."""
    first = bring(store, TWO)
    bring(store, TWO + "2026-03-09,Ida,Bench press,1,62.5,8,1\n")
    assert undo(store, first["import"]).sets == 0
    assert ask(store, "select count(*), count(distinct import_id) from sets") == [(3, 1)]


def test_rehearsal_tells_the_same_and_keeps_nothing(store: Path):
    preview = understand([("a.csv", TWO.encode())], Answers(), today=TODAY)
    told = rehearse(store, preview)
    assert ask(store, "select count(*) from sets") == [(0,)]
    kept = keep(store, preview)
    assert {k: v for k, v in told.items() if k != "import"} == {k: v for k, v in kept.items() if k != "import"}


def test_several_athletes_in_one_file(store: Path):
    bring(store, TWO + "2026-03-02,Ole,Squat,1,100,5,2\n")
    assert ask(store, "select athlete, count(*) from sets group by athlete order by athlete") == [("Ida", 2), ("Ole", 1)]


def test_an_ambiguous_date_is_a_question_and_stores_nothing(store: Path):
    text = "Date,Athlete,Exercise,Load (kg),Reps\n03/04/2026,Ida,Curl,8,10\n"
    with pytest.raises(Question, match="--day-first"):
        bring(store, text)
    assert not store.exists() or ask(store, "select count(*) from sets") == [(0,)]
    bring(store, text, answers=Answers(day_first=True))
    assert ask(store, "select date::text from sets") == [("2026-04-03",)]


def test_one_refused_file_keeps_the_others_out(store: Path):
    with pytest.raises(Refusal, match="1 of 2 files"):
        bring(store, TWO, "")


def test_a_decided_name_holds_for_stored_sets_and_for_every_later_file(store: Path):
    text = "Date,Athlete,Exercise,Load (kg),Reps\n2026-03-02,Ida,Kitchen table pull,BW,8\n"
    report = bring(store, text)
    assert report["unmatched"][0]["name"] == "Kitchen table pull" and report["unmatched"][0]["sets"] == 1
    assert decide(store, "kitchen table pull", "inverted_row") == 1
    assert ask(store, "select exercise from sets") == [("inverted_row",)]
    later = bring(store, text.replace("03-02", "03-04"))
    assert later["unmatched"] == [] and ask(store, "select distinct exercise from sets") == [("inverted_row",)]


def test_a_name_that_the_catalogue_does_not_have_is_asked_about_until_that_is_said(store):
    log = "Date,Athlete,Exercise,Load,Reps\n2026-03-02,Ida,Zorble,20,10\n"
    assert [one["name"] for one in bring(store, log)["unmatched"]] == ["Zorble"]
    decide(store, "zorble", "")
    later = bring(store, log.replace("03-02", "03-04"))
    assert later["sets_stored"] == 1 and later["unmatched"] == []


WARM = "Date,Athlete,Exercise,Set,Load (kg),Reps\n2026-03-02,Ida,Squat,1,40,8\n2026-03-02,Ida,Squat,2,70,5\n"


def test_light_untagged_sets_before_the_top_set_are_warm_ups(store: Path):
    """Under 60 % of the day's top load, before it, no effort logged; and the same file again still stores nothing."""
    report = bring(store, WARM + "2026-03-02,Ida,Squat,3,100,5\n2026-03-02,Ida,Squat,4,50,12\n")
    assert ask(store, "select set_no, kind, kind_source from sets order by set_no") == [
        (1, "warm_up", "assumed"), (2, "work", "assumed"), (3, "work", "assumed"), (4, "work", "assumed")]
    assert any(text.startswith("1 light set before") and "is taken as a warm-up" in text for text in report["assumed"])
    assert bring(store, WARM)["sets_stored"] == 0


def test_a_later_heavier_set_makes_the_earlier_one_a_warm_up(store: Path):
    bring(store, WARM)
    assert ask(store, "select set_no, kind from sets order by set_no") == [(1, "warm_up"), (2, "work")]
    bring(store, WARM + "2026-03-02,Ida,Squat,3,120,3\n")
    assert ask(store, "select set_no, kind from sets order by set_no") == [(1, "warm_up"), (2, "warm_up"), (3, "work")]


def test_a_file_written_newest_first_has_the_same_warm_ups(store: Path):
    """Set numbers say the order: light sets after the top set are back-off sets."""
    bring(store, "Date,Athlete,Exercise,Set,Load (kg),Reps\n" + "".join(
        f"2026-03-02,Ida,Squat,{n},{load},5\n" for n, load in ((4, 50), (3, 50), (2, 100), (1, 40))))
    assert ask(store, "select set_no, kind from sets order by set_no") == [(1, "warm_up"), (2, "work"), (3, "work"), (4, "work")]


def test_a_session_that_nobody_named_is_filled_by_a_later_file(store: Path):
    bring(store, "Date,Athlete,Exercise,Session,Load (kg),Reps\n2026-03-02,Ida,Squat,,100,5\n")
    later = bring(store, "Date,Athlete,Exercise,Session,Load (kg),Reps\n2026-03-02,Ida,Squat,Legs,100,5\n")
    assert later["differs"] == 0 and ask(store, "select session from sets") == [("Legs",)]
    undo(store, later["import"])
    assert ask(store, "select session from sets") == [("2026-03-02",)]


def test_a_row_that_two_files_set_aside_stays_listed_when_the_first_is_undone(store: Path):
    first = bring(store, TWO + "2026-02-31,Ida,Curl,3,60,8,1\n")
    bring(store, TWO + "2026-02-31,Ida,Curl,3,60,8,1\n")
    undo(store, first["import"])
    assert ask(store, "select count(*) from set_aside") == [(1,)]


def test_a_row_set_aside_stays_listed_when_the_later_file_brought_only_new_sets(store: Path):
    bad = "2026-02-31,Ida,Curl,3,60,8,1\n"
    first = bring(store, HEAD + bad + "2026-03-02,Ida,Curl,1,8,10,2\n")
    bring(store, HEAD + bad + "2026-03-09,Ida,Curl,1,8,10,2\n")
    undo(store, first["import"])
    assert ask(store, "select count(*) from set_aside") == [(1,)]


def test_effort_or_a_tag_makes_it_a_work_set(store: Path):
    bring(store, WARM.replace("Reps\n", "Reps,RIR,Kind\n").replace(",8\n", ",8,5,\n").replace(",5\n", ",5,,Work\n") + "2026-03-02,Ida,Squat,3,130,3,,Work\n")
    assert ask(store, "select distinct kind from sets") == [("work",)]


def test_a_set_that_a_later_file_corrects_is_said(store: Path):
    bring(store, TWO)
    report = bring(store, TWO.replace(",2,60,8,1", ",2,62.5,8,1"))
    assert (report["sets_stored"], report["already_stored"], report["look_like_corrections"]) == (1, 1, 1)
    assert any("another load" in text for text in report["assumed"])
    assert bring(store, TWO + "2026-03-02,Ida,Bench press,3,60,8,1\n")["look_like_corrections"] == 0


def test_a_session_that_was_kept_in_two_shapes_is_said(store: Path):
    """A count of sets gives no set numbers, so that its sets are others; a spelling gives another name."""
    bring(store, TWO.replace(",1\n", ",2\n"))
    counted = bring(store, "Date,Athlete,Exercise,Sets,Load (kg),Reps,RIR\n2026-03-02,Ida,BB bench press,2,60,8,2\n")
    assert (counted["sets_stored"], counted["look_alike"], counted["look_like_corrections"]) == (2, 2, 0)
    assert any("written down twice" in text for text in counted["assumed"])


@pytest.mark.parametrize("line", ["2026-03-02,Ida,Bench press,3,60,8,1", "2026-03-02,Ida,Squat,1,60,8,2", "2026-03-03,Ida,Bench press,1,60,8,2"])
def test_more_sets_of_a_day_are_no_second_copy_of_it(store: Path, line: str):
    bring(store, TWO)
    assert bring(store, HEAD + line + "\n")["look_alike"] == 0


def test_a_log_without_a_load_column_says_so(store: Path):
    report = bring(store, "Date,Athlete,Exercise,Reps,Brzl\n2026-03-02,Ida,Squat,5,100\n")
    assert any("no column of loads" in text and "--columns" in text for text in report["assumed"])


def test_pounds_in_the_header_are_kilograms_in_the_store(store: Path):
    """25 lb x 0.45359237 kg (NIST SP 811, exact) = 11.33980925 kg."""
    bring(store, "Date,Athlete,Exercise,Weight (lb),Reps\n2026-03-02,Ida,Curl,25,10\n")
    assert ask(store, "select load_kg from sets") == [(pytest.approx(11.33980925, abs=1e-9),)]


def linnerud_rows() -> Iterable[str]:
    """scikit-learn's Linnerud table (20 men: chins, sit-ups, jumps; weight in pounds) as a log of one session a man."""
    data = load_linnerud()
    for man, (counts, body) in enumerate(zip(data.data, data.target, strict=True), 1):
        for name, count in zip(("Chin-up", "Sit-up", "Jump"), counts, strict=True):
            yield f"2026-03-02,Man {man:02},{name},{count:g},{body[0]:g}"


def test_against_the_linnerud_table(store: Path):
    """Open data, printed with scikit-learn: chins mean 9.45, sit-ups 145.55, jumps 70.3, weight 178.6 lb."""
    table = "Date,Athlete,Exercise,Reps,Body weight (lb)\n" + "\n".join(linnerud_rows()) + "\n"
    report = bring(store, table)
    assert (report["rows_read"], report["sets_stored"], report["rows_set_aside"]) == (60, 60, 0)
    means = dict(ask(store, "select exercise_as_written, avg(reps) from sets group by 1"))
    assert means == pytest.approx({"Chin-up": 9.45, "Sit-up": 145.55, "Jump": 70.3})
    (mean_kg,) = ask(store, "select avg(body_mass_kg) from (select distinct athlete, body_mass_kg from sets)")[0]
    assert mean_kg == pytest.approx(178.6 * 0.45359237)
    assert ask(store, "select corr(reps, body_mass_kg) from sets where exercise_as_written = 'Chin-up'")[0][0] == pytest.approx(-0.3897, abs=5e-5)


# --- what an unlucky file must not become ------------------------------------------------------------------------------------


def test_a_pair_on_a_barbell_is_never_one_half(store: Path):
    report = bring(store, "Date,Athlete,Exercise,Load,Reps\n2026-03-02,Ida,Bench press,2x20 kg,8\n2026-03-02,Ida,Bench press,20 kg each hand,8\n"
                          "2026-03-02,Ida,Dumbbell row,20 kg each hand,8\n")
    assert [a["row"] for a in report["set_aside"]] == [2]
    assert ask(store, "select load_kg, load_estimated from sets order by source_row") == [(40.0, True), (20.0, False)]


def test_a_line_of_totals_under_rounds_is_no_round(store: Path):
    report = bring(store, "date,athlete,round,push-ups,goblet squats\n2026-03-02,Ida,1,10,20\n2026-03-02,Ida,2,10,18\n2026-03-02,Ida,total,20,38\n")
    assert report["sets_stored"] == 4 and [a["row"] for a in report["set_aside"]] == [4]


def test_a_file_of_delimiters_alone_is_refused_in_words(store: Path):
    with pytest.raises(Refusal, match="no cell with anything in it"):
        bring(store, ",,,\n,,,\n")


def test_a_second_table_below_the_first_is_refused_with_its_line(store: Path):
    with pytest.raises(Refusal, match="second table") as refused:
        bring(store, HEAD + "2026-03-02,Ida,Bench press,1,60,8,2\nDate,Athlete,Exercise,Set,Reps,Load (lb),RIR\n2026-03-03,Ida,Bench press,1,8,135,2\n")
    assert "line 3" in str(refused.value)


def test_an_unread_column_of_shorthand_is_said_loudly(store: Path):
    report = bring(store, "Date,Athlete,Exercise,Reps,Load (kg),zzz\n2026-03-02,Ida,Bench press,8,60,3x5 @ 65\n")
    assert any(text.startswith("LOOK") and "zzz" in text for text in report["assumed"])


def test_an_answer_for_an_earlier_file_gives_way_to_what_a_file_itself_says(store: Path):
    head = "Date,Exercise,Reps\n"
    bring(store, head + "03/04/2026,Bench press,8\n", answers=Answers(athlete="Ida", day_first=True))
    bring(store, head + "03/25/2026,Bench press,8\n03/04/2026,Bench press,9\n", answers=Answers(athlete="Jon"), name="jon")
    assert ask(store, "select date::text from sets where athlete = 'Jon' order by 1") == [("2026-03-04",), ("2026-03-25",)]
    third = bring(store, head + "05/04/2026,Bench press,8\n", answers=Answers(athlete="Kim"), name="kim")
    assert ask(store, "select date::text from sets where athlete = 'Kim'") == [("2026-04-05",)]
    assert any("earlier file with this header" in text for text in third["assumed"])
