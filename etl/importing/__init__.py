"""The pipeline: files -> what they say (a preview) -> the store, in one transaction.

`understand` reads, recognises, normalises and matches names without touching the store. `keep` writes a preview;
`rehearse` does the same and takes it back, to tell what would happen. `undo` takes an import back whole.
"""

from etl.importing.again import undo
from etl.importing.decisions import decide
from etl.importing.write import keep, rehearse
from etl.importing.memory import Known, known
from etl.importing.plan import Answers, Preview, Understood
from etl.importing.preview import understand

__all__ = ["Answers", "Known", "Preview", "Understood", "decide", "keep", "known", "rehearse", "understand", "undo"]
