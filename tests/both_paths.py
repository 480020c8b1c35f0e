"""A file by the fast path beside the same file by the careful one."""

from __future__ import annotations

import pandas as pd
import pyarrow as pa

from etl.fast import decoded
from etl.importing import Understood


def took_fast(file: Understood) -> bool:
    return file.normal is not None and isinstance(file.normal.sets, pa.Table)


def in_order(sets: pa.Table | pd.DataFrame, columns: list[str]) -> list[list]:
    """The sets in the file's order as plain values, missing ones None."""
    if isinstance(sets, pa.Table):
        frame = decoded(sets).to_pandas().sort_values("place")
        for own, name in (("own_time", "time"), ("own_session", "session")):
            if own in frame:
                frame[name] = frame[own].astype(object).where(frame[own].notna(), frame[name].astype(object) if name in frame else None)
    else:
        frame = sets
    frame = frame.reindex(columns=columns).astype(object)
    frame["date"] = pd.to_datetime(frame["date"]).dt.date
    return [[None if pd.isna(v) else v for v in row] for row in frame.to_numpy().tolist()]


def assert_same(fast: Understood, careful: Understood) -> None:
    assert str(fast.refusal) == str(careful.refusal)
    if careful.normal is None:
        return
    columns = [c for c in careful.normal.sets.columns]
    assert in_order(fast.normal.sets, columns) == in_order(careful.normal.sets, columns)
    for name in ("days", "set_aside"):
        pd.testing.assert_frame_equal(getattr(fast.normal, name), getattr(careful.normal, name), check_dtype=False)
    for name in ("rows_read", "rows_with_sets", "rows_with_days"):
        assert getattr(fast.normal, name) == getattr(careful.normal, name), name
    assert sorted(fast.normal.assumed) == sorted(careful.normal.assumed)
    assert {m.name: m for m in fast.matches} == {m.name: m for m in careful.matches}
    assert (fast.sha256, fast.columns) == (careful.sha256, careful.columns)
