"""The populations whose weekly sets are known, and what is measured in each."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np

from tests.calibration import bounds
from tests.calibration import load_figures as of
from tests.calibration.load_figures import SPIKES, Loads
from tests.calibration.plans import Training, Truth, plan_sets, truth
from tests.calibration.population import Found, Point, Result, athlete_rng, name_of, worked_out
from tests.calibration.strength_cases import Run

WARM, WEEKS = 16, 56
SIZES = (1.3, 1.5, 2.0)
AWAY = 20
RAMP = {False: (0.70, 0.85), True: (0.50, 0.70, 0.80, 0.90)}  # Caterisano 2019, by a short and a long absence
PART, BODY = True, False
WEEKLY = 20.0  # %: the noise of a part's weeks
ALERTS = "limits on each week's load, with usual and noise known, that find as many doubled weeks; parts that go up and down independently"
KNOWS = "a limit on the week's load, with usual and noise known, at as many false spikes"


def steady(run: Run) -> Found:
    loads, truths = _worked_out(run, "load_steady", Training(WEEKS))
    weeks = np.arange(WARM, WEEKS)
    part, whole = (of.flags_a_year(loads, weeks, SPIKES, kind) for kind in (PART, BODY))
    spread = {kind: of.spread(loads, truths, weeks, kind) for kind in (PART, BODY)}
    jumped = _worked_out(run, "load_jumps", Training(60, jump_sizes=SIZES, jump_weeks=(20, 37, 54)))
    alerted = [of.jump_found(*jumped, 2.0, kind, kinds).value for kind, kinds in ((PART, ("large_spike",)), (BODY, SPIKES))]
    fewest = bounds.alert_weeks(2.0, alerted, [spread[PART].value, spread[BODY].value], [of.judged_parts(loads, weeks), 1])
    return [Result("load_whole_spikes", whole), Result("load_alert_weeks", of.alert_weeks(loads, weeks), fewest, ALERTS), Result("load_part_spikes", part),
            Result("load_part_noise", spread[PART]), Result("load_whole_noise", spread[BODY]), *_jumps(jumped, part.value, whole.value, spread),
            *_lasting(run, part.value, whole.value, spread)]


def _jumps(jumped: tuple[Loads, dict[str, Truth]], part_false: float, whole_false: float, spread: dict) -> Found:
    """Three single weeks of more, far apart."""
    loads, truths = jumped
    found: Found = []
    for label, size in (("30", 1.3), ("half", 1.5), ("double", 2.0)):
        for kind, word, false in ((PART, "part", part_false), (BODY, "whole", whole_false)):
            figure = of.jump_found(loads, truths, size, kind)
            bound = bounds.week_found(size, spread[kind].value, max(false, 0.02))
            found += [Result(f"load_{label}_{word}", figure, bound, KNOWS),
                      Point("jumps", "part" if kind else "whole body", round(100 * (size - 1)), "% more", figure)]
    return found


def _lasting(run: Run, part_false: float, whole_false: float, spread: dict) -> Found:
    loads, _ = _worked_out(run, "load_lasting", Training(36, lasting=24))
    also = (*SPIKES, "session_spike", "climb")
    return [Result(f"load_lasting_{word}", of.found_within(loads, 24, 3, kind), bounds.lasting_found(1.5, 3, spread[kind].value, max(false, 0.02)),
                   "the best sum of one to three weeks, with usual and noise known, at as many false spikes",
                   f"with session spikes and climbs {of.found_within(loads, 24, 3, kind, also).value:.0f} %")
            for word, kind, false in (("part", PART, part_false), ("whole", BODY, whole_false))]


def straight_back(run: Run) -> Found:
    loads, truths = _worked_out(run, "load_straight", Training(AWAY + 10, away=AWAY))
    by_length = "; ".join(f"{n} weeks off {of.returns_noted(loads, truths, AWAY, 2, PART, (n,)).value:.0f} %" for n in (2, 3, 4))
    bound = np.mean([bounds.straight_noted(RAMP[n >= 4], WEEKLY, 20) for n in (2, 3, 4)])
    return [Result("load_straight", of.returns_noted(loads, truths, AWAY, 2, PART), float(bound), "limits on both weeks' loads, with usual and noise known, "
                   "that note one ramp week in five", by_length),
            Result("load_straight_whole", of.returns_noted(loads, truths, AWAY, 2, BODY)),
            Result("load_straight_first", of.returns_noted(loads, truths, AWAY, 1, PART))]


def ramp(run: Run) -> Found:
    loads, truths = _worked_out(run, "load_ramp", Training(AWAY + 10, away=AWAY, back=RAMP))
    return [Result("load_ramp", of.ramp_notes(loads, truths, AWAY, RAMP), note="weeks of the ramp, at 20 % weekly noise")]


def missed(run: Run) -> Found:
    loads, _ = _worked_out(run, "load_missed", Training(WEEKS, missed=0.10))
    return [Result("load_missed", of.return_flags_a_year(loads, np.arange(WARM, WEEKS)), note="weeks of all parts and the whole body, for an athlete")]


def _worked_out(run: Run, name: str, kind: Training) -> tuple[Loads, dict[str, Truth]]:
    truths = {name_of(i): truth(kind, athlete_rng(run.seed, name + " truth", i)) for i in range(run.athletes)}
    store: Path = worked_out(run.folder, name, lambda athlete, rng: plan_sets(kind, athlete, truths[athlete], rng), kind.level, run.athletes, run.seed)
    return Loads(store), truths


CASES: dict[str, Callable[[Run], Found]] = {"load_steady": steady, "load_straight": straight_back, "load_ramp": ramp, "load_missed": missed}
