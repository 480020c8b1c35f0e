"""What a command writes: one JSON object, or a file that was not there before."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TextIO

from etl.refusal import Refusal


def json_text(report: Any) -> str:
    """One JSON object. A number that is none (NaN) is no JSON and is a fault of the caller."""
    return json.dumps(report, ensure_ascii=False, allow_nan=False)


@contextmanager
def new_file(path: Path) -> Iterator[TextIO]:
    """A new CSV file to write to. The mark at its beginning tells spreadsheets that it is UTF-8. Refusal where there is a file already."""
    try:
        with path.open("x", encoding="utf-8-sig", newline="") as out:
            yield out
    except FileExistsError:
        raise Refusal("There is a file of that name already", str(path), "Name another one: nothing is written over.") from None
    except OSError as error:
        raise Refusal(f"The file cannot be written: {error.strerror}", str(path), "Check the folder, and try again.") from error
