"""The pipeline: files -> what they say (a preview) -> the store, in one transaction.

`understand` reads, recognises, normalises and matches names without touching the store. `keep` writes a preview;
`rehearse` does the same and takes it back, to tell what would happen. `undo` takes an import back whole, `read_again` reads one
again with other answers, `mend` takes rows that were set aside back in and `unmend` takes that back. `correct` and `remove` change a stored set, `merge_athletes`,
`rename_athlete` and `decide` settle names; each is remembered for later files. `erase_athlete` leaves nothing of an athlete.
"""

from etl.importing.again import read_again, undo
from etl.importing.corrections import changes, correct, remove, stored_sets, take_back_change
from etl.importing.decisions import decide, decisions, merge_athletes, rename_athlete, undecide
from etl.importing.erasing import erase_athlete
from etl.importing.mending import file_table, mend, mend_all, mended_rows, unmend, waiting
from etl.importing.write import keep, rehearse
from etl.importing.memory import Known, known
from etl.importing.plan import Answers, Preview, Understood
from etl.importing.preview import understand

__all__ = [
    "Answers", "Known", "Preview", "Understood", "changes", "correct", "decide", "decisions", "erase_athlete", "file_table", "keep", "known",
    "mend", "mend_all", "mended_rows", "merge_athletes", "read_again", "rehearse", "remove", "rename_athlete", "stored_sets", "take_back_change",
    "undecide", "understand", "undo", "unmend", "waiting",
]
