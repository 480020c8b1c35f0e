"""How many written names find their exercise, measured on five lists of spellings.

The words and aliases were settled with the first list in sight. The second, drawn alike, was kept away from it: there precision
was 0.970, until aliases that named another exercise were taken out. The third was written afterwards by someone who had seen
neither lists nor aliases: 0.971 and recall 0.951 at first; what it taught has been taken in as well. The fourth was written in
the same way, later and longer: at first sight 429 of its 438 silent matches were right (0.979), 402 of 429 plain and bare names
were found (0.937), and 58 of the 64 that waited had the right exercise among three suggestions (0.906); grip, stance and side
were right in 424 of 429. What it taught is taken in too, so the figures of these four say how well the lists are covered, not
how well the next list will be.

The fifth is that next list, and says how well it was: written after all this by someone who had seen neither lists nor matcher,
labelled a second time by a reader who saw the names alone (460 of 461 labels alike), and measured once. Nothing was changed for
it: 322 of 323 silent matches right (0.997), 306 of 338 plain and bare names found (0.905), the right exercise among three
suggestions for 62 of the 63 others. When the catalogue grew from 260 to over 500 exercises, many names that had to wait became
exercises. A reader who saw the names and the new catalogue alone labelled the list again: of 461 labels 409 were the same, 47 had
become an exercise that did not exist before, and these 47 were changed; the other 5, about which exercises were not new, were left
as they were. Measured so: 366 of 368 right (0.995), 306 of 338 found (0.905), 61 of 63 among the suggestions. Once it is learnt
from, it says no more than the others do, and a new one has to be written.

class: `plain` (a full name, however it is written), `bare` (a trade name without its equipment), `slip` (typing slips and rare
names), `trap` (names that look like an exercise and are none, or another one). An empty exercise means that the name must wait
for a person.

Labels that were changed afterwards, because the lists disagreed with each other or with the principle beside aliases.csv in
etl/catalogue/README.md:
  now wait (read differently, other heads or other loads): seen Flyes, Curls, Biceps curl, Shrugs, Rows, Chest press; unseen Calf
    raise, Lunges; fourth chest press, seated military press, Lat pulldown - close grip, close grip incline bench, knuckle push-ups.
  now an exercise (it is one with a modifier, as other rows have it): unseen Band assisted chin-ups; later Seated BB OHP; fourth one
    arm lat pulldown.
  an exercise that the catalogue lacked before it grew: in the first four lists 143 names, among them Chest to wall handstand,
    One-arm pull-up, V-sit hold; 70 of them are no traps any more and are plain.
  modifiers as variants.csv, equivalents.csv and name_words.csv write them: pause=yes, grip=mixed, bar_position=high or low and
    laterality=unilateral added where a row of the same kind had them; a tempo is no modifier.
Half a range in a name waits, although two rows of the fourth list give it as a modifier: the range of a set is a column of its
own, which a name does not fill, and a half set must not pass for a whole one. They count as not found.
"""

from collections.abc import Callable
from pathlib import Path

import pandas as pd
import pytest

from etl import tables
from etl.names import Match, Matcher

FOLDER = Path(__file__).parent
LISTS = ("seen", "unseen", "later", "fourth", "fifth")
COMMON = ("plain", "bare")
PRECISION_MIN = 0.99  # [D] a set under the wrong exercise is worse than one question more
RECALL_MIN = 0.90  # [D] of the common spellings that have an exercise
SUGGESTED_MIN = 0.95  # [D] of the names that wait although they have an exercise


def _read(name: str) -> pd.DataFrame:
    """One row per spelling, with its match beside it."""
    spellings = pd.read_csv(FOLDER / f"spellings_{name}.csv", dtype="str", keep_default_na=False)
    return spellings.assign(match=Matcher.from_catalogue().match(spellings["written"]))


def _of(rows: pd.DataFrame, holds: Callable[[Match, object], bool]) -> pd.Series:
    return pd.Series([holds(row.match, row) for row in rows.itertuples()], index=rows.index, dtype="bool")


def _right(match: Match, row) -> bool:
    return match.exercise == row.exercise


def _right_beside(match: Match, row) -> bool:
    return tables.modifier_pairs(match.modifiers) == tables.modifier_pairs(row.modifiers) and match.side == row.side


def _shares(rows: pd.DataFrame) -> dict[str, tuple[int, int]]:
    """Figure -> (how many, of how many)."""
    matched, has = _of(rows, lambda match, row: match.exercise is not None), rows["exercise"] != ""
    right = _of(rows, _right)
    beside = _of(rows, _right_beside)
    suggested = _of(rows, lambda match, row: row.exercise in match.suggestions)
    common, waits = has & rows["class"].isin(COMMON), has & ~matched
    return {
        "precision": (int((matched & right).sum()), int(matched.sum())),
        "recall, common": (int((common & right).sum()), int(common.sum())),
        "recall, all": (int((has & right).sum()), int(has.sum())),
        "suggested": (int((waits & suggested).sum()), int(waits.sum())),
        "grip, stance and side": (int((matched & right & beside).sum()), int((matched & right).sum())),
    }


def _share(part: int, whole: int) -> float:
    return part / whole if whole else 1.0


@pytest.mark.parametrize("name", [pytest.param(name, id=f"list_{name}") for name in LISTS])
def test_names_as_people_write_them(name, capsys):
    rows = _read(name)
    shares = _shares(rows)
    with capsys.disabled():
        print(f"\n{name}, {len(rows)} spellings: " + "; ".join(f"{k} {a}/{b} = {_share(a, b):.3f}" for k, (a, b) in shares.items()))
    wrong = [(row.written, row.match.exercise) for row in rows.itertuples() if row.match.exercise not in (None, row.exercise)]
    assert _share(*shares["precision"]) >= PRECISION_MIN, wrong
    assert _share(*shares["recall, common"]) >= RECALL_MIN
    assert _share(*shares["suggested"]) >= SUGGESTED_MIN


@pytest.mark.parametrize("name", LISTS)
def test_the_lists_name_exercises_and_modifiers_of_the_catalogue(name):
    spellings = pd.read_csv(FOLDER / f"spellings_{name}.csv", dtype="str", keep_default_na=False)
    assert set(spellings["exercise"]) - {""} <= set(tables.exercises()["exercise_id"])
    assert set(spellings["class"]) <= {"plain", "bare", "slip", "trap"}
    assert not spellings["written"].duplicated().any()
