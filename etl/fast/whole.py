"""A large file as a whole: its habits, its plain rows as a table of codes, and the rows that are read by themselves."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
import pandas as pd
import pyarrow as pa
import pyarrow.compute as pc

from etl import notation
from etl.columns import Column
from etl.fast.blocks import Source
from etl.fast.groups import Group, groups_of, layout_of
from etl.fast.parse import MOST_TEXTS, Block, Layout, Unfit, parse
from etl.fast.plain import Values, of_rows, put, values_of
from etl.fast.sayings import merged, sayings
from etl.fast.sets import Decided, set_table
from etl.normalise import Habits, Normal, habits_of
from etl.normalise.amounts import names_unit
from etl.normalise.page import Page
from etl.normalise.rows import SOURCE_HASH
from etl.normalise.years import leave_out_year
from etl.packed import Packed
from etl.read import TextTable
from etl.settings import RULES, Rules
from etl.shapes import unfold

MOST_ODD = 0.2  # [D] share of rows that are read by themselves; of a file with more the careful path reads all
WORKERS = 2  # [D] blocks that are taken apart at a time, beside the one that is hashed and copied
BESIDE = 2  # [D] blocks that wait meanwhile


@dataclass(frozen=True)
class Plan:
    """How one file is to be read. head: its first rows; `columns`: what they were recognised as.

    careful: rows of text, habits -> what they say, as normalised and with their exercises; the careful path's own steps.
    spoken_of: cells of rows that a person mended or left out; `careful` knows which rows they are.
    day_first, athlete: what was said. day_first_before: of an earlier file. other_days: days of the file's athletes that are known, when they are asked for.
    """

    head: TextTable
    columns: tuple[Column, ...]
    careful: Callable[[TextTable, Habits], tuple[Normal, Normal]]
    other_days: Callable[[Collection[str]], Collection[date]]
    today: date
    spoken_of: frozenset[str] = frozenset()
    day_first: bool | None = None
    day_first_before: bool | None = None
    athlete: str | None = None
    rules: Rules = RULES


def read_fast(source: Source, plan: Plan, progress: Callable[[float], None] = lambda share: None) -> tuple[Normal, Packed]:
    """The file's rows as `normalise` and the matching of exercises give them, `sets` as an Arrow table (see `adding.add_sets`);
    and the copy that was made on the way.

    Raises Unfit where the careful path has to read the file, Question as that does, Refusal where the file changed meanwhile.
    """
    groups = groups_of(plan.columns)
    layout = layout_of(plan.columns, groups, plan.head.delimiter, len(plan.head.header))
    blocks = list(_parsed(source, layout, int(plan.head.line_no[0]) - 1, progress))
    packed = source.packed()
    plan = replace(plan, head=replace(plan.head, sha256=packed.sha256))
    texts, places = _joined(blocks, len(groups))
    odd = [record for block in blocks for record in block.odd]
    _refuse_many(len(odd), sum(b.rows for b in blocks))
    habits, assumed = _habits(plan, groups, blocks, texts, places, odd)

    def careful(table: TextTable) -> tuple[Normal, Normal]:
        return plan.careful(table, habits)

    base, values, constant = values_of(plan.head, groups, texts, careful)
    spoken_of = [np.array([all(not c.strip() or c in plan.spoken_of for c in cells) for cells in own], dtype=bool) for own in texts] if plan.spoken_of else []
    note = _passed(plan.columns).get("note")
    plain = [_plain_rows(block, place, values, spoken_of) & ~_tells_of_pain(block, note) for block, place in zip(blocks, places, strict=True)]
    apart = sorted([*odd, *_apart(blocks, plain, groups, layout)])
    apart = [(line, cells) for line, cells in apart if any(cell.strip() for cell in cells)]
    kept = sum(int(p.sum()) for p in plain)
    _refuse_many(len(apart), kept + len(apart))
    rest = _rest(plan, base, apart, habits, careful)
    constant |= {"source": f"{plan.head.name}#{packed.sha256[:SOURCE_HASH]}"}
    table = set_table(blocks, plain, places, Decided(groups, values, constant, _passed(plan.columns)), rest.sets)
    counts = [_count(blocks, plain, places, n, len(t)) for n, t in enumerate(texts)]
    said, unsaid = sayings(base, plan.head, groups, texts, values, counts, _unread(base, layout, blocks), careful)
    return replace(
        rest, sets=table, assumed=merged([assumed, rest.assumed, *said]), rows_read=rest.rows_read + kept,
        rows_with_sets=rest.rows_with_sets + kept, unit_unsaid=rest.unit_unsaid or unsaid), packed


def _parsed(source: Source, layout: Layout, skip: int, progress: Callable[[float], None]) -> Iterator[Block]:
    """Blocks in the order of the file, taken apart beside the reading of the next."""
    waiting: list[Future[Block]] = []
    with ThreadPoolExecutor(WORKERS) as pool:
        try:
            for line, text in source.blocks(skip):
                waiting.append(pool.submit(parse, line, text, layout))
                if len(waiting) > WORKERS + BESIDE:
                    yield waiting.pop(0).result()
                    progress(min(1.0, source.read / max(1, source.size)))
            while waiting:
                yield waiting.pop(0).result()
        finally:
            for one in waiting:
                one.cancel()


def _joined(blocks: Sequence[Block], groups: int) -> tuple[list[list[tuple[str, ...]]], list[list[np.ndarray]]]:
    """The distinct combinations of each group over all blocks, in the order of the file, and for each block where its own stand."""
    all_texts: list[dict[tuple[str, ...], int]] = [{} for _ in range(groups)]
    places = [[np.array([known.setdefault(cells, len(known)) for cells in own], dtype="int64")
               for known, own in zip(all_texts, block.texts, strict=True)] for block in blocks]
    if any(len(known) > MOST_TEXTS for known in all_texts):
        raise Unfit("a column with too many different cells")
    return [list(known) for known in all_texts], places


def _habits(
    plan: Plan, groups: Sequence[Group], blocks: Sequence[Block], texts: Sequence[list[tuple[str, ...]]], places: Sequence[list[np.ndarray]],
    odd: Sequence[tuple[int, list[str]]],
) -> tuple[Habits, list[str]]:
    """What the careful path decides over all rows, from each distinct cell and, for the order of the dates, from how they follow."""
    blank = [""] * len(plan.head.header)
    rows = [blank] + [put(blank, group, cells) for group, combinations in zip(groups, texts, strict=True) for cells in combinations]
    page = Page(unfold(of_rows([*rows, *(cells for _, cells in odd)], plan.head), plan.columns))
    number = next(n for n, g in enumerate(groups) if "date" in g.fields)
    dates = _date_runs(groups[number], number, blocks, texts[number], places, odd)
    if leave_out_year(dates):
        raise Unfit("dates that leave out their year")
    names = {cells[0].strip() for n, g in enumerate(groups) if g.fields == ("athlete",) for cells in texts[n]} or {plan.athlete or ""}

    def said(field: str) -> pd.Series:
        # Blanks are fewer than one row in five here, so that none are carried down.
        return dates if field == "date" else pd.Series([], dtype="str") if field == "exercise" else page.said(field)

    return habits_of(
        said, sum(b.rows for b in blocks) + len(odd), day_first=plan.day_first, day_first_before=plan.day_first_before, latest=None if page.has("planned") else plan.today,
        other_days=_Asked(lambda: plan.other_days(names)), where=f'{plan.head.name}, column "{page.header("date")}"', rules=plan.rules)


def _date_runs(group: Group, number: int, blocks, texts, places, odd) -> pd.Series:
    """The cells of the date in the order of the file, blanks left out: the distinct ones, or, where their order may have to tell
    day from month, one for each run of equal ones.
    """
    column = group.fields.index("date")
    distinct = pd.Series(list(dict.fromkeys(cells[column].strip() for cells in texts)), dtype="str")
    by_day, by_month = (notation.read_dates(distinct, first)["date"] for first in (True, False))
    if not odd and by_day.equals(by_month):
        return distinct[distinct != ""].reset_index(drop=True)
    position = group.positions[column]
    found = [(line, cells[position].strip()) for line, cells in odd if len(cells) > position]
    for block, place in zip(blocks, places, strict=True):
        if block.rows:
            code = place[number][block.codes[number]]
            at = np.flatnonzero(np.r_[True, code[1:] != code[:-1]])
            found += zip(block.lines[at].tolist(), (texts[c][column].strip() for c in code[at]), strict=True)
    cells = pd.Series([cell for _, cell in sorted(found)], dtype="str")
    return cells[(cells != "") & (cells != cells.shift())].reset_index(drop=True)


class _Asked(Collection):
    """A collection that is worked out when somebody looks into it."""

    def __init__(self, ask: Callable[[], Collection]) -> None:
        self._ask, self._known = ask, None

    def _it(self) -> Collection:
        if self._known is None:
            self._known = self._ask()
        return self._known

    def __len__(self) -> int:
        return len(self._it())

    def __iter__(self) -> Iterator:
        return iter(self._it())

    def __contains__(self, item: object) -> bool:
        return item in self._it()


def _plain_rows(block: Block, place: list[np.ndarray], values: Sequence[Values], spoken_of: Sequence[np.ndarray]) -> np.ndarray:
    """True for the rows of a block in which every group is plain, and not every one has cells of rows that a person spoke of."""
    plain = np.ones(block.rows, dtype=bool)
    for code, own, value in zip(block.codes, place, values, strict=True):
        known = value.plain[own]
        if not known.all():
            plain &= known[code]
    if spoken_of:
        plain &= ~np.logical_and.reduce([said[own][code] for code, own, said in zip(block.codes, place, spoken_of, strict=True)])
    return plain


def _tells_of_pain(block: Block, note: int | None) -> np.ndarray:
    """True for the rows of a block whose note has to be read for its pain. note: position of the column, None without one."""
    if note is None or not block.rows:
        return np.zeros(block.rows, dtype=bool)
    column = block.others[note]
    hinted = pc.fill_null(pc.match_substring_regex(column.dictionary, notation.HINT, ignore_case=True), False).to_numpy(zero_copy_only=False)
    texts = column.dictionary.filter(pa.array(hinted)).to_pylist()
    hinted[hinted] = [notation.pain_in(text.strip()) is not None for text in texts]
    return hinted[column.indices.to_numpy(zero_copy_only=False)]


def _apart(blocks: Sequence[Block], plain: Sequence[np.ndarray], groups: Sequence[Group], layout: Layout) -> Iterator[tuple[int, list[str]]]:
    """(physical line, cells) of the rows that are not plain."""
    for block, good in zip(blocks, plain, strict=True):
        at = np.flatnonzero(~good)
        cells = np.full((len(at), layout.width), "", dtype=object)
        for number, group in enumerate(groups):
            own = [block.texts[number][c] for c in block.codes[number][at]]
            for k, position in enumerate(group.positions):
                cells[:, position] = [texts[k] for texts in own]
        for position, column in block.others.items():
            cells[:, position] = column.take(pa.array(at)).to_pylist()
        yield from zip(block.lines[at].tolist(), cells.tolist(), strict=True)


def _rest(plan: Plan, base: list[str], apart: list[tuple[int, list[str]]], habits: Habits, careful) -> Normal:
    """What the careful path makes of the rows that are read by themselves, in the order of the file."""
    position = next((c.position for c in plan.columns if c.field == "athlete"), None)
    named = any(position is None or (len(cells) > position and cells[position].strip() not in ("", plan.head.header[position])) for _, cells in apart)
    # Whose log it is, the plain rows say; a row of theirs stands for them where none of these does.
    lent = [] if named or plan.athlete else [(0, base)]
    table = of_rows([cells for _, cells in [*lent, *apart]], plan.head, np.array([line for line, _ in [*lent, *apart]], dtype="int64"))
    if any(names_unit(cells) for _, cells in apart):
        raise Unfit("a line that names the unit of the other rows")
    # A row that heads those below it speaks of plain rows too.
    if unfold(table, plan.columns).headings.any():
        raise Unfit("rows that head those below them")
    found = careful(table)[1]
    sets = found.sets[found.sets["source_row"] != 0].reset_index(drop=True)
    return replace(found, sets=sets, rows_read=found.rows_read - len(lent), rows_with_sets=found.rows_with_sets - len(lent))


def _unread(base: list[str], layout: Layout, blocks: Sequence[Block]) -> list[str]:
    """A plain row in which every other column of the file says something, if it ever does."""
    row = base.copy()
    for position in layout.others:
        row[position] = next((cell for block in blocks for cell in block.others[position].dictionary.to_pylist() if cell.strip()), "")
    return row


def _passed(columns: Sequence[Column]) -> dict[str, int]:
    return {c.field: c.position for c in columns if c.field in ("note", "session", "tempo")}


def _count(blocks: Sequence[Block], plain: Sequence[np.ndarray], places: Sequence[list[np.ndarray]], number: int, size: int) -> np.ndarray:
    """How many plain rows hold each combination of a group."""
    found = np.zeros(size, dtype="int64")
    for block, good, place in zip(blocks, plain, places, strict=True):
        np.add.at(found, place[number], np.bincount(block.codes[number][good], minlength=len(block.texts[number])))
    return found


def _refuse_many(apart: int, rows: int) -> None:
    if apart > MOST_ODD * rows:
        raise Unfit("most rows are not plain")
