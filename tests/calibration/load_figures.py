"""Figures of one population about load: flags a year in steady training, and changes that were flagged."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd

from tests.calibration.counting import WEEKS_A_YEAR, Figure, ratio
from tests.calibration.plans import DRIFT, Truth
from tests.calibration.program import ask

WHOLE = "whole_body"
SPIKES = ("spike", "large_spike")
LEAST_USUAL = 3.0  # hard sets a week of a part that is judged


class Loads:
    """Loads and flags of a store, by athlete, subject and week."""

    def __init__(self, store: Path) -> None:
        self.load = ask(store, "select athlete, subject, week, load, usual from kept_load")
        self.raised = ask(store, "select athlete, subject, week, kind, level from kept_raised")
        self.load["part"] = self.load["subject"] != WHOLE

    def judged(self, weeks: np.ndarray) -> pd.DataFrame:
        """Rows of these weeks whose usual is known and, of a part, at least three sets."""
        rows = self.load[self.load["week"].isin(weeks) & self.load["usual"].notna()]
        return rows[~rows["part"] | (rows["usual"] >= LEAST_USUAL)]

    def flagged(self, rows: pd.DataFrame, kinds: tuple[str, ...]) -> np.ndarray:
        """Whether each row's athlete, subject and week has a flag of one of `kinds`."""
        keys = ["athlete", "subject", "week"]
        flags = self.raised.loc[self.raised["kind"].isin(kinds), keys].drop_duplicates().assign(flag=True)
        return rows[keys].merge(flags, on=keys, how="left")["flag"].notna().to_numpy()


def flags_a_year(loads: Loads, weeks: np.ndarray, kinds: tuple[str, ...], part: bool) -> Figure:
    rows = loads.judged(weeks)
    rows = rows[rows["part"] == part]
    return ratio(loads.flagged(rows, kinds), np.ones(len(rows)), rows["athlete"].to_numpy(), WEEKS_A_YEAR)


def alert_weeks(loads: Loads, weeks: np.ndarray) -> Figure:
    """Weeks a year with at least one alert."""
    whole = loads.judged(weeks).query("subject == @WHOLE")
    alerts = loads.raised[loads.raised["level"] == "alert"][["athlete", "week"]].drop_duplicates().assign(flag=True)
    flag = whole[["athlete", "week"]].merge(alerts, on=["athlete", "week"], how="left")["flag"].notna()
    return ratio(flag.to_numpy(), np.ones(len(whole)), whole["athlete"].to_numpy(), WEEKS_A_YEAR)


def judged_parts(loads: Loads, weeks: np.ndarray) -> float:
    """How many parts are judged in a week, on the mean."""
    rows = loads.judged(weeks)
    return float(rows["part"].sum() / (~rows["part"]).sum())


def jump_found(loads: Loads, truths: dict[str, Truth], size: float, part: bool, kinds: tuple[str, ...] = SPIKES) -> Figure:
    """Share (%) of one-week jumps of a size that are a spike of the subject in that week."""
    week_of = {name: week for name, truth in truths.items() for week, s in truth.jumps.items() if s == size}
    rows = loads.judged(np.array(sorted(set(week_of.values()))))
    rows = rows[(rows["part"] == part) & (rows["week"] == rows["athlete"].map(week_of))]
    return ratio(loads.flagged(rows, kinds), np.ones(len(rows)), rows["athlete"].to_numpy(), 100.0)


def found_within(loads: Loads, first: int, weeks: int, part: bool, kinds: tuple[str, ...] = SPIKES) -> Figure:
    """Share (%) of subjects with a flag in one of `weeks` weeks from `first` on."""
    known = loads.judged(np.array([first]))
    known = known[known["part"] == part]
    return _any_flag(loads, known, {name: range(first, first + weeks) for name in known["athlete"].unique()}, kinds)


def returns_noted(loads: Loads, truths: dict[str, Truth], away: int, weeks: int, part: bool, off: tuple[int, ...] = (2, 3, 4)) -> Figure:
    """Share (%) of subjects noted as back too fast in one of the first `weeks` weeks after the absence."""
    known = loads.judged(np.array([away]))
    known = known[(known["part"] == part) & known["athlete"].map(lambda name: truths[name].weeks_off in off)]
    span = {name: range(away + truths[name].weeks_off, away + truths[name].weeks_off + weeks) for name in known["athlete"].unique()}
    return _any_flag(loads, known, span, ("return",))


def ramp_notes(loads: Loads, truths: dict[str, Truth], away: int, ramp: dict[bool, tuple[float, ...]]) -> Figure:
    """Share (%) of part-weeks of a return as suggested that are noted all the same."""
    known = loads.judged(np.array([away])).query("part")[["athlete", "subject"]]
    first = known["athlete"].map(lambda name: away + truths[name].weeks_off)
    length = known["athlete"].map(lambda name: len(ramp[truths[name].weeks_off >= 4]))
    rows = known.loc[known.index.repeat(length)].reset_index(drop=True)
    rows["week"] = np.concatenate([np.arange(f, f + n) for f, n in zip(first, length, strict=True)])
    return ratio(loads.flagged(rows, ("return",)), np.ones(len(rows)), rows["athlete"].to_numpy(), 100.0)


def return_flags_a_year(loads: Loads, weeks: np.ndarray) -> Figure:
    """Weeks of subjects with a return flag, a year of an athlete."""
    whole = loads.judged(weeks).query("subject == @WHOLE")
    flags = loads.raised[(loads.raised["kind"] == "return") & loads.raised["week"].isin(weeks)]
    count = whole["athlete"].drop_duplicates().map(flags.groupby("athlete").size()).fillna(0)
    years = whole.groupby("athlete").size().reindex(whole["athlete"].drop_duplicates())
    return ratio(count.to_numpy(), years.to_numpy(), years.index.to_numpy(), WEEKS_A_YEAR)


def spread(loads: Loads, truths: dict[str, Truth], weeks: np.ndarray, part: bool) -> Figure:
    """SD (%) of ln(load) from week to week, of weeks that are no deload, the known drift taken off."""
    rows = loads.judged(weeks)
    rows = rows[(rows["part"] == part) & (rows["load"] > 0)]
    rows = rows[[week not in truths[name].deloads for name, week in zip(rows["athlete"], rows["week"], strict=True)]]
    off = np.log(rows["load"]) - rows["week"] * np.log1p(DRIFT)
    off = off - off.groupby([rows["athlete"], rows["subject"]]).transform("mean")
    square = ratio(off**2, np.ones(len(off)), rows["athlete"].to_numpy())
    return Figure(*(100 * float(np.sqrt(x)) for x in (square.value, square.low, square.high)), square.athletes)


def _any_flag(loads: Loads, known: pd.DataFrame, span: dict[str, range], kinds: tuple[str, ...]) -> Figure:
    rows = known[["athlete", "subject"]].assign(week=known["athlete"].map(lambda n: list(span[n]))).explode("week").astype({"week": float})
    hit = rows.assign(hit=loads.flagged(rows.reset_index(drop=True), kinds)).groupby(["athlete", "subject"])["hit"].any().reset_index()
    return ratio(hit["hit"], np.ones(len(hit)), hit["athlete"].to_numpy(), 100.0)


