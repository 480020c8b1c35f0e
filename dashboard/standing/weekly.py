"""Weekly sums: what was done, and the dose of every head, part and muscle with its range."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np

from dashboard.measures import balance, dose
from dashboard.measures.gaps import Layoff, layoffs, return_week
from dashboard.measures.load_change import Against, against_usual, deload_weeks, usual_load
from dashboard.standing.body import Body, body, credits_of
from dashboard.standing.log import Log
from etl import tables
from etl.settings import RULES, Rules
from etl.store.marked_weeks import EASY


@dataclass(frozen=True)
class Doses:
    """Doses of one kind of thing (heads, parts or muscles), arrays (weeks, things)."""

    dose: np.ndarray
    low: np.ndarray
    high: np.ndarray
    direct: np.ndarray


@dataclass(frozen=True)
class Counted:
    """Credits of each kind of set that count, (kinds, things): as they are, one tier lower, one higher, and direct ones."""

    now: np.ndarray
    less: np.ndarray
    more: np.ndarray
    direct: np.ndarray


@dataclass(frozen=True)
class Weekly:
    """All weekly sums of a log. whole (weeks,): hard sets, each counted once. against: parts, with the whole body last; heads_usual
    (weeks, heads): what is usual of each head.

    set_parts, set_direct (sets, parts): hard sets of each row of the log. head_credits: what each kind of set counted for heads.
    """

    log: Log
    heads: Doses
    parts: Doses
    muscles: Doses
    whole: np.ndarray
    mean_rir: np.ndarray
    against: Against
    heads_usual: np.ndarray
    deload: np.ndarray
    body_layoffs: list[Layoff]
    part_layoffs: list[list[Layoff]]
    part_days: list[np.ndarray]
    body_days: np.ndarray
    focus: np.ndarray
    set_parts: np.ndarray
    set_direct: np.ndarray
    head_credits: Counted

    @cached_property
    def set_heads(self) -> np.ndarray:
        """Hard sets of each row of the log and head, (sets, heads)."""
        sets = self.log.sets
        return self.head_credits.now[sets["kind_no"].to_numpy()] * sets["hard"].to_numpy()[:, None]


def weekly(log: Log, rules: Rules = RULES) -> Weekly:
    """Add up a log by ISO week."""
    b = body()
    kind, line, hard, day = (log.sets[name].to_numpy() for name in ("kind_no", "line", "hard", "day"))
    sets = dose.sets_of_kinds(hard, kind, line, len(log.kinds), log.weeks)
    of_heads, of_parts, of_muscles = counted_of(log.kinds, rules)
    heads, parts, muscles = (Doses(sets @ c.now, sets @ c.less, sets @ c.more, sets @ c.direct) for c in (of_heads, of_parts, of_muscles))
    whole = np.bincount(line, hard, log.weeks)
    mean_rir = _mean_by(line, log.sets["in_reserve"].to_numpy(), hard, log.weeks)
    set_parts, set_direct = of_parts.now[kind], of_parts.direct[kind]
    for values in (set_parts, set_direct):
        values *= hard[:, None]
    end = int(log.mondays[-1] + 6)
    part_days, body_days = days_of(day, kind, hard, of_parts.now), np.unique(day[hard > 0])
    loads = np.column_stack([parts.dose, whole])
    prior = np.r_[np.full(parts.dose.shape[1], rules.noise_prior_part), rules.noise_prior_body]
    body_gaps = layoffs(body_days, end, rules)
    against = against_usual(loads, prior[None, :], rules)
    marked = log.marked_as(*EASY)
    deload = deload_weeks(whole, mean_rir, rules, marked) & ~np.array([return_week(body_gaps, int(m), rules) is not None for m in log.mondays])
    # Where an easy week was meant, less than usual is one, however much less; what else counts is the same.
    deload |= log.deload_due & (whole <= rules.deload_due_share * against.usual[:, -1])
    deload[log.reviewed :] = False  # a running week has few sets so far, which says nothing before its Sunday
    deload |= marked
    return Weekly(
        log, heads, parts, muscles, whole, mean_rir, against,
        usual_load(heads.dose, rules)[0], deload, body_gaps,
        _layoffs(part_days, end, rules), part_days, body_days, _focus(log, b, of_parts.direct, rules), set_parts, set_direct, of_heads)


def counted_of(kinds: tuple[tuple[str, str], ...], rules: Rules = RULES) -> tuple[Counted, Counted, Counted]:
    """Credits of kinds of sets for heads, for parts and for muscles."""
    return _counted(kinds, rules.credit_counted_min, rules.credit_tiers)


@tables.per_catalogue(maxsize=64)
def _counted(kinds: tuple[tuple[str, str], ...], least: float, tiers: tuple[float, ...]) -> tuple[Counted, Counted, Counted]:
    b, credits, rules = body(), credits_of(kinds), replace(RULES, credit_counted_min=least, credit_tiers=tiers)
    values = dose.counted(credits, rules), dose.one_tier(credits, -1, rules), dose.one_tier(credits, 1, rules), dose.direct(credits).astype(float)
    return Counted(*values), *(Counted(*(dose.pooled(v, groups) for v in values)) for groups in (b.part_heads, b.muscle_heads))


def days_of(day: np.ndarray, kind: np.ndarray, hard: np.ndarray, credits: np.ndarray) -> list[np.ndarray]:
    """The distinct days, ascending, on which sets counted for each thing. day, kind, hard: of each set; credits (kinds, things)."""
    days, at = np.unique(day, return_inverse=True)
    trained = dose.sets_of_kinds(hard > 0, kind, at, len(credits), len(days)) @ (credits > 0) > 0
    return [days[column] for column in trained.T]


def _layoffs(part_days: list[np.ndarray], end: int, rules: Rules) -> list[list[Layoff]]:
    """The layoffs of each part; parts that are trained on the same days have the same ones."""
    distinct = {days.tobytes(): days for days in part_days}
    found = {key: layoffs(days, end, rules) for key, days in distinct.items()}
    return [found[days.tobytes()] for days in part_days]


def _mean_by(line: np.ndarray, value: np.ndarray, weight: np.ndarray, lines: int) -> np.ndarray:
    known = ~np.isnan(value) & (weight > 0)
    count = np.bincount(line[known], minlength=lines)
    total = np.bincount(line[known], value[known], lines)
    return np.divide(total, count, out=np.full(lines, np.nan), where=count > 0)


def _focus(log: Log, b: Body, direct: np.ndarray, rules: Rules) -> np.ndarray:
    """Which parts are in focus in each week, (weeks, parts): those that were named, else the main parts of the
    regions with 4 or more hard sets a week over the last 8 weeks. direct (kinds, parts): direct sets of each kind of set.
    """
    if log.focus_said:
        chosen = np.zeros(len(b.parts), bool)
        chosen[b.part_positions(list(log.focus_said))] = True
        return np.tile(chosen, (log.weeks, 1))
    focus = np.zeros((log.weeks, len(b.parts)), bool)
    line, kind, hard = (log.sets[name].to_numpy() for name in ("line", "kind_no", "hard"))
    for members, main in _regions():
        per_week = np.bincount(line, direct[:, members].max(axis=1)[kind] * hard, log.weeks)
        focus[:, main] = (_mean_of_last(per_week, rules.focus_weeks) >= rules.focus_sets)[:, None]
    return focus


@lru_cache(maxsize=1)
def _regions() -> Sequence[tuple[np.ndarray, np.ndarray]]:
    """Of each region the positions of its parts, and of the main ones among them."""
    parts = body().parts
    region, main = parts["region"].to_numpy(object), (parts["size"] == "main").to_numpy()
    return [(np.flatnonzero(region == name), np.flatnonzero((region == name) & main)) for name in dict.fromkeys(region)]


def _mean_of_last(values: np.ndarray, weeks: int) -> np.ndarray:
    """Mean of each value and those before it, `weeks` of them or as many as there are."""
    total = np.cumsum(values)
    before = np.r_[np.zeros(min(weeks, len(values))), total[:-weeks]]
    return (total - before) / np.minimum(np.arange(1, len(values) + 1), weeks)


def bands(log: Log, rules: Rules = RULES) -> tuple[np.ndarray, np.ndarray]:
    """Low and high end of each part's band, hard sets a week, (parts,) each: as a person set it, else that of the level."""
    by_size = {size: balance.band(size, log.level, rules) for size in ("main", "small")}
    low, high = np.array([log.targets.get(part, by_size[size]) for part, size in _sizes()], float).T
    return low, high


@lru_cache(maxsize=1)
def _sizes() -> tuple[tuple[str, str], ...]:
    """Id and size of each part."""
    parts = body().parts
    return tuple(zip(parts["part_id"], parts["size"], strict=True))


def needs_direct(rules: Rules = RULES) -> np.ndarray:
    """The parts that count as covered with two direct sets only, (parts,)."""
    return body().parts["muscle"].isin(rules.direct_muscles).to_numpy()
