"""Files of which some cannot be read: it is said how these are left out, by the command and on the page."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.page_runs import all_text, unescaped

GOOD = "Date,Exercise,Load (kg),Reps\n2026-03-02,Bench press,60,8\n2026-03-04,Bench press,60,9\n"


@pytest.mark.parametrize(("bad", "says"), [
    (1, "1 of 3 files cannot be read as it is, so nothing was stored. Answer what is asked, or leave it out (name the other files alone, or move this one out of the folder):"),
    (2, "2 of 4 files cannot be read as they are, so nothing was stored. Answer what is asked, or leave them out (name the other files alone, or move these out of the folder):")])
def test_the_command_says_how_and_that_works(run, tmp_path: Path, bad: int, says: str):
    folder = tmp_path / "logs"
    folder.mkdir()
    for name in ("Ida", "Bo"):
        (folder / f"{name}.csv").write_text(GOOD)
    for number in range(bad):
        (folder / f"No{number}.csv").write_text("nothing\n")
    status, _, err = run("import", str(folder))
    assert status == 1 and says in err and "No0.csv" in err
    for number in range(bad):
        (folder / f"No{number}.csv").rename(tmp_path / f"No{number}.csv")
    assert run("import", str(folder))[0] == 0


def test_the_page_says_how_and_nothing_of_it_where_no_other_file_is_left(open_page, store: Path):
    page = open_page(store, "app_pages/data.py")
    page.file_uploader[0].set_value([("Ida.csv", GOOD.encode(), "text/csv"), ("No.csv", b"nothing\n", "text/csv")]).run()
    assert not page.exception
    assert ("1 file of 2 cannot be read so, and files are stored together or not at all. To leave it out, take it off the list of files above "
            "(the cross beside the name).") in unescaped(all_text(page))
    page.file_uploader[0].set_value([("No.csv", b"nothing\n", "text/csv")]).run()
    assert not page.exception and "To leave" not in unescaped(all_text(page))
