"""A file's cells by field, and the ledger of what is said about its rows."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import pandas as pd

from etl import notation
from etl.columns.column import Column
from etl.columns.headers import UNIT_TOKENS, other_unit, words_of
from etl.shapes import SetRows


UNREAD = 'could not be read ("{cell}"): left empty, the text kept in the note'


class Page:
    """Cells by field, one per set row. A field that the file says nothing of is a column of blanks."""

    def __init__(self, rows: SetRows) -> None:
        self.rows, self.table = rows, rows.table
        self.by_field = {c.field: c for c in reversed(rows.columns) if c.field}
        self.index = pd.RangeIndex(len(rows.origin))
        self.repeats_header = self._repeats_header()

    def has(self, field: str) -> bool:
        return field in self.rows.cells

    def unit(self, field: str) -> str:
        """The unit that the header says, "" for none."""
        return self.by_field[field].unit if field in self.by_field and not self.by_field[field].part else ""

    @property
    def title_unit(self) -> str:
        """The unit that a line above the header says for the whole file ("all weights in lb"), "" for none or both.

        Stones are not looked for: "St" is a street as well.
        """
        said = {UNIT_TOKENS.get(word) for title in self.table.titles for word in words_of(title)} & {"kg", "lb"}
        return said.pop() if len(said) == 1 else ""

    def other_unit(self, *fields: str) -> tuple[str, str]:
        """Header and what stands in the place of its unit and is none, for the first of the fields of which that is so; ("", "") for none."""
        headers = [c.header for field in fields if (c := self.by_field.get(field)) and not c.part]
        return next(((header, said) for header in headers if (said := other_unit(header))), ("", ""))

    def header(self, field: str) -> str:
        return self.by_field[field].header if field in self.by_field else field

    def written(self, field: str) -> pd.Series:
        """Cells as they stand in the file; "" where the row repeats the header or the file says nothing of the field."""
        if not self.has(field):
            return pd.Series("", index=self.index, dtype="str")
        return self.rows.cells[field].mask(self.repeats_header, "")

    def said(self, field: str) -> pd.Series:
        """Cells without the blanks around them; "" where a cell says nothing or only a dash."""
        cells = self.written(field).str.strip()
        return cells.mask(notation.is_blank(cells), "")

    def of_rows(self, values: np.ndarray) -> pd.Series:
        """A value of each row of the file, for each set row."""
        return pd.Series(values[self.rows.origin], index=self.index)

    def _repeats_header(self) -> pd.Series:
        """Rows that are the header over again, as where files were put one behind the other."""
        rows = self.table.rows.iloc[:, :len(self.table.header)]
        same = np.full(len(rows), len(self.table.header) > 0)
        for position, name in enumerate(self.table.header):
            same &= (rows.iloc[:, position].str.strip() == name).to_numpy()
        return self.of_rows(same)


class Ledger:
    """Reasons to set rows aside (the first one stands), text kept in notes, and what was taken for granted."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.reason = pd.Series("", index=page.index, dtype="str")
        self._unread: list[tuple[pd.Series, str, str, bool]] = []
        self.assumed: list[str] = []
        self.unit_unsaid = False

    def set_aside(self, where: pd.Series, reason: str | pd.Series) -> None:
        """reason: one sentence, or one per row."""
        where = where & (self.reason == "")
        self.reason = self.reason.mask(where, reason)

    def set_aside_cell(self, where: pd.Series, field: str, sentence: str) -> None:
        """sentence: with {cell} for what stands in the row's cell of the field."""
        where = where & (self.reason == "")
        cells = self.page.said(field)[where]
        if len(cells):
            self.set_aside(where, cells.map(lambda cell: sentence.format(cell=short(cell))).reindex(where.index, fill_value=""))

    def keep_text(self, where: pd.Series, field: str, sentence: str = UNREAD) -> None:
        """Cells that are not needed for a set and cannot be read: empty in the log, their text kept in the note. sentence: what is said of them."""
        if where.any():
            self._unread.append((where, field, sentence, True))

    def understood(self, where: pd.Series, field: str, sentence: str) -> None:
        """Cells of which something is said and nothing need be kept. sentence: with {cell} for the first of them."""
        if where.any():
            self._unread.append((where, field, sentence, False))

    def rows_of(self, where: pd.Series) -> int:
        """How many rows of the file the set rows come from."""
        return len(np.unique(self.page.rows.origin[where.to_numpy(dtype=bool)]))

    def cells_of(self, where: pd.Series, field: str) -> int:
        """How many cells of the file some set rows' cells of a field are: one cell may stand for several sets or rounds."""
        side_by_side = field in self.page.by_field and self.page.by_field[field].part
        return int(where.sum()) if side_by_side else self.rows_of(where)

    def kept_text(self) -> pd.Series:
        """The kept text of each row that is not set aside; says among `assumed` how many cells it was."""
        kept = pd.Series("", index=self.page.index, dtype="str")
        for where, field, sentence, keep in self._unread:
            where = where & (self.reason == "")
            cells = self.page.said(field)[where]
            if cells.empty:
                continue
            header = self.page.header(field)
            if keep:
                kept = joined(kept, cells.map(lambda cell, header=header: f"{header}: {cell}").reindex(kept.index, fill_value=""))
            self.assumed.append(f'{counted(self.cells_of(where, field), "cell")} of "{header}" {sentence.replace("{cell}", short(cells.iloc[0]))}')
        return kept


def joined(left: pd.Series, right: pd.Series, mark: str = "; ") -> pd.Series:
    """Two columns of text as one, with a mark between them where both say something."""
    between = pd.Series(mark, index=left.index, dtype="str").mask((left == "") | (right == ""), "")
    return left + between + right


def unread(columns: Iterable[Column], rows: pd.DataFrame) -> list[str]:
    """Headers of the columns that are not read and hold something. rows: of the file, as text."""
    return [c.header for c in columns if c.field is None and (rows.iloc[:, c.position] != "").any()]


def quoted(headers: Iterable[str]) -> str:
    """"A", "B"; '' for none."""
    return ", ".join(f'"{header}"' for header in headers)


def counted(count: int, thing: str) -> str:
    return f"{count} {thing}" if count == 1 else f"{count} {thing}s"


def short(cell: str) -> str:
    return cell if len(cell) <= 40 else cell[:39] + "…"
