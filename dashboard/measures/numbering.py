"""Numbers for groups of rows that are alike in several columns."""

from __future__ import annotations

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike, NDArray


# More than any log is long, in days: a group's number times this and a time stand in order of both, as one number.
APART = 10_000_000


def numbered(*columns: ArrayLike) -> NDArray[np.int64]:
    """The number of each row's group, (n,), from 0 in the order in which the groups come. What is missing is alike.

    columns: each (n,).

    >>> numbered(["a", "b", "a", "a"], [1.0, 1.0, np.nan, np.nan]).tolist()
    [0, 1, 2, 2]
    """
    group, *codes = (pd.factorize(column if isinstance(column, pd.Series) else np.asarray(column), use_na_sentinel=False)[0] for column in columns)
    for code in codes:
        group, _ = pd.factorize(group * (code.max(initial=0) + 1) + code)
    return group


def is_first(group: ArrayLike) -> NDArray[np.bool_]:
    """True on the first row of each group, (n,)."""
    return ~pd.Series(np.asarray(group)).duplicated().to_numpy()
