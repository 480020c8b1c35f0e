"""The populations whose strength follows a known path, and what is measured in each."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path as File

import numpy as np

from tests.calibration import bounds
from tests.calibration.athletes import TOGETHER, Kind, sets_of
from tests.calibration.body_weight import Bodies, body_sets
from tests.calibration.counting import Figure, found_by, ratio
from tests.calibration.curves import MAYHEW
from tests.calibration.kept_verdicts import PARTS, Verdicts, called_at, no_new_best, verdicts
from tests.calibration.paths import Path
from tests.calibration.population import Found, Point, Result, worked_out
from tests.calibration.steady_loads import HOLD_SD, Holds, Repetitions, hold_sets, repetition_sets
from tests.calibration.strength_figures import (
    against_no_new_best, coverage, false_calls, found, found_curve, noise, onset_named, present_covered, verdict_shares, weeks_to_half)
from tests.calibration.variation import Variation

STOP, AFTER = 36, 24
NOISY = Variation(4.8, times=5.0 / 3.5)  # chosen so that the program's estimates vary by 5 % in all
PLATEAU = ("plateau",)
DETECTOR = "a detector that knows level, gain, noise and the path's shape"
EXACT = (80.0, "an interval where noise is known exactly")
KNOWS = f"{DETECTOR}, at the target's false calls"


@dataclass(frozen=True)
class Run:
    folder: File
    athletes: int
    seed: int

    def store(self, name: str, kind: object, make: Callable = sets_of) -> File:
        return worked_out(self.folder, name, lambda athlete, rng: make(kind, athlete, rng), kind.level, self.athletes, self.seed)


def stopping(gain: float, **more: object) -> Kind:
    return Kind(Path(gain, STOP), STOP + AFTER, **more)


def before(v: Verdicts, week: int = STOP) -> np.ndarray:
    return np.arange(v.verdict.shape[1]) < week


def straight(v: Verdicts, gain: float) -> np.ndarray:
    """The true rate of each look whose stretch lies before the stop or after it."""
    return np.where(before(v), gain, np.where(v.begins >= STOP, 0.0, np.nan))


def intermediate_05(run: Run) -> Found:
    store = run.store("intermediate_05", kind := stopping(0.5))
    v = verdicts(store, kind.weeks)
    fewer, once, twice = against_no_new_best(store, v, before(v))
    rule = no_new_best(store, v)
    rule = replace(v, verdict=np.where(rule, "plateau", ""))
    return [
        Result("int_false_05", false_calls(v, before(v), PLATEAU)), Result("int_declining_05", false_calls(v, before(v), ("declining",))),
        Result("int_found_16", found(v, STOP, 16), bounds.stop_found(0.5, 16, 0.30), KNOWS),
        Result("int_found_20", found(v, STOP, 20), bounds.stop_found(0.5, 20, 0.30), KNOWS),
        Result("nobest_fewer", fewer, note="against the form of that rule that calls less often: at two looks running"),
        Result("nobest_false", once, note=f"at two looks running {twice.value:.2f}"),
        Result("cover_one", coverage(v, straight(v, 0.5)), *EXACT, note="gain of 0.5 % a week, and none"),
        Result("cover_value", present_covered(store, kind.path), *EXACT, note="about the truth, up to what the estimates of a series are off by in all"),
        onset_named(store, STOP, "onset_one"),
        Result("noise_total", noise(store, kind.path)),
        *_found_points("one exercise, 0.5 % a week", v), *_found_points("no new best in four weeks", rule), *_share_points(0.5, v)]


def intermediate_10(run: Run) -> Found:
    v = verdicts(run.store("intermediate_10", kind := stopping(1.0)), kind.weeks)
    return [Result("int_false_10", false_calls(v, before(v), PLATEAU)), Result("int_found_16_after_10", found(v, STOP, 16)),
            Result("int_found_20_after_10", found(v, STOP, 20)), *_found_points("one exercise, 1.0 % a week", v), *_share_points(1.0, v)]


def slow(gain: float) -> Callable[[Run], Found]:
    """Steady gains of less, for the shares of weeks in each verdict."""
    def measured(run: Run) -> Found:
        v = verdicts(run.store(f"steady_{round(100 * gain):03d}", kind := Kind(Path(gain), STOP)), kind.weeks)
        return [*_share_points(gain, v), Point("cover", "one exercise", gain, "% a week", coverage(v, np.full(kind.weeks, gain)))]
    return measured


def beginner(run: Run) -> Found:
    v = verdicts(run.store("beginner", kind := stopping(1.0, level="beginner")), kind.weeks)
    return [Result("beg_false_10", false_calls(v, before(v), PLATEAU)),
            Result("beg_found_12", found(v, STOP, 12), bounds.stop_found(1.0, 12, 0.15), KNOWS), *_found_points("beginner, 1.0 % a week", v)]


def advanced(run: Run) -> Found:
    v = verdicts(run.store("advanced", kind := stopping(0.25, level="advanced")), kind.weeks)
    false = false_calls(v, before(v), PLATEAU)
    return [Result("adv_false_025", false),
            *(Result(f"adv_found_{k}", found(v, STOP, k), bounds.stop_found(0.25, k, false.value), "the same detector, at as many false calls") for k in (16, 20)),
            *_found_points("advanced, 0.25 % a week", v)]


def pooled(shared: bool) -> Callable[[Run], Found]:
    name = "shared" if shared else "pooled"

    def measured(run: Run) -> Found:
        store = run.store(name, kind := stopping(0.5, exercises=TOGETHER, shared=shared))
        part, one = verdicts(store, kind.weeks, PARTS), verdicts(store, kind.weeks)
        false, one_false = false_calls(part, before(part), PLATEAU), false_calls(one, before(one), PLATEAU)
        bound = bounds.stop_found(0.5, 10, max(one_false.value, 0.01), exercises=3, shared=shared)
        alike = _as_often(part, one_false.value)
        sooner = _sooner(alike, one)
        label = f"part of three exercises, readiness {'shared' if shared else 'independent'}"
        results = [
            Result(f"{name}_found_10", found(part, STOP, 10), bound, "a detector that knows level, gain, noise and the path's shape, at one exercise's false calls"),
            Result(f"{name}_false", false, note=f"one exercise {one_false.value:.2f}", target_high=None if shared else one_false.value),
            Result(f"{name}_sooner", sooner, note=f"half found after {weeks_to_half(alike, STOP, AFTER):g} and {weeks_to_half(one, STOP, AFTER):g} weeks; "
                   f"by the program's own limit after {weeks_to_half(part, STOP, AFTER):g}, at {false.value:.2f} instead of {one_false.value:.2f} false plateaus a year"),
            Result(f"cover_{name}", coverage(part, straight(part, 0.5)), *EXACT), onset_named(store, STOP, f"{name}_onset", of_parts=True), *_found_points(label, part)]
        return results if shared else [*results, Result("pooled_one_false", one_false), Result("pooled_one_found_10", found(one, STOP, 10))]
    return measured


def deload(run: Run) -> Found:
    v = verdicts(run.store("deload", kind := Kind(Path(0.5), 56, deload_every=6)), kind.weeks)
    return [Result("deload_false", false_calls(v, before(v, 56)), note="plateaus and declines")]


def layoff(run: Run) -> Found:
    v = verdicts(run.store("layoff", kind := Kind(Path(0.5, away=(24, 27), loss=5.0), 56)), kind.weeks)
    trained = np.array([not kind.path.is_away(week) for week in range(kind.weeks)])
    return [Result("layoff_false", false_calls(v, trained), bounds.false_calls(0.5, 16, 75.0), f"{DETECTOR}, where it finds 75 % of stops within 16 weeks",
                   note="plateaus and declines")]


def noisy(run: Run) -> Found:
    store = run.store("noisy", kind := stopping(0.5, variation=NOISY))
    v = verdicts(store, kind.weeks)
    share = found(v, STOP, 16).value
    return [Result("noise5_false", false_calls(v, before(v)), bounds.false_calls(0.5, 16, share, 5.0), f"{DETECTOR}, where it finds as many stops within 16 weeks",
                   note=f"plateaus and declines; found within 16 weeks {share:.0f} %"),
            Result("noise5_total", noise(store, kind.path)), *_found_points("one exercise at noise of 5 %", v)]


def repetitions(run: Run) -> Found:
    kind = Repetitions(start=(14.5, 16.5), weeks_each=3.0, stop=27.0, weeks=27 + AFTER)
    v = verdicts(run.store("repetitions", kind, repetition_sets), kind.weeks, measure="reps")
    truth = _true_rates(kind, v)
    bound = bounds.stop_found(100 * np.log(24 / 23) / 3, 12, 0.30, noise=7.5)
    return [Result("reps_found_12", found(v, 27, 12), bound, f"{KNOWS}; noise of 7.5 %"),
            Result("reps_false", false_calls(v, before(v, 27), PLATEAU)), Result("cover_reps", coverage(v, truth), *EXACT),
            *(Point("found", "repetitions at a fixed load", k, "weeks", f) for k, f in enumerate(found_curve(v, 27, AFTER)))]


def _true_rates(kind: Repetitions, v: Verdicts) -> np.ndarray:
    """% a week over the stretch of each look, of a path that is straight in repetitions; of the middle of the starts."""
    ends = np.arange(kind.weeks) + 1.0
    now, then = (np.mean(kind.start) + kind.level_at(t) for t in (ends, np.minimum(v.begins, ends - 1)))
    rate = 100 * np.log(now / then) / (ends - np.minimum(v.begins, ends - 1))
    return np.where(ends <= kind.stop, rate, np.where(v.begins >= kind.stop, 0.0, np.nan))


def holds(run: Run) -> Found:
    gain = 1.15
    v = verdicts(run.store("holds", kind := Holds(Path(gain, STOP), STOP + AFTER), hold_sets), kind.weeks, measure="hold")
    false = false_calls(v, before(v), PLATEAU)
    return [Result("holds_false", false),
            *(Result(f"holds_found_{k}", found(v, STOP, k), bounds.stop_found(gain, k, 0.30, HOLD_SD), f"{KNOWS}; noise of 8 %") for k in (16, 20)),
            Result("cover_holds", coverage(v, straight(v, gain)), *EXACT), *_found_points("holds, 1.15 % a week", v)]


def repetitions_of_a_part(run: Run) -> Found:
    kind = Repetitions(start=(14.5, 16.5), weeks_each=3.0, stop=27.0, weeks=27 + AFTER, exercises=TOGETHER)
    store = run.store("repetitions_part", kind, repetition_sets)
    part, one = verdicts(store, kind.weeks, PARTS), verdicts(store, kind.weeks, measure="reps")
    one_false = false_calls(one, before(one, 27), PLATEAU)
    return [Result("reps_part_found_10", found(part, 27, 10)),
            Result("reps_part_false", false_calls(part, before(part, 27), PLATEAU), note=f"one exercise {one_false.value:.2f}", target_high=one_false.value),
            Result("reps_one_found_10", found(one, 27, 10)), Result("cover_reps_part", coverage(part, _true_rates(kind, part)), *EXACT)]


def range_change(run: Run) -> Found:
    v = verdicts(run.store("range_change", kind := Kind(Path(0.5), 56, switch=30)), kind.weeks)
    weeks = np.arange(kind.weeks)
    around = (weeks >= 30) & (weeks < 46)
    use = v.given & around & np.isfinite(v.rate)
    error = ratio(np.where(use, v.rate - 0.5, 0).sum(axis=1), use.sum(axis=1), v.athlete)
    given = ratio((v.given & around).sum(axis=1), np.full(len(v.given), around.sum()), v.athlete, 100.0)
    return [Result("range_false", false_calls(v, around), note=f"a verdict is given in {given.value:.0f} % of these weeks"),
            Result("range_steady", false_calls(v, weeks < 30)), Result("range_rate", error)]


def mayhew(run: Run) -> Found:
    store = run.store("mayhew", kind := Kind(Path(0.5), STOP, curve=MAYHEW))
    v = verdicts(store, kind.weeks)
    return [Result("mayhew_false_05", false_calls(v, before(v), PLATEAU), note=f"noise of the estimates {noise(store, kind.path).value:.1f} %")]


def upper(run: Run) -> Found:
    v = verdicts(run.store("upper", kind := stopping(0.5, aim=(8, 12, 1))), kind.weeks)
    return [Result("upper_false_05", false_calls(v, before(v), PLATEAU)), Result("upper_found_16", found(v, STOP, 16), bounds.stop_found(0.5, 16, 0.30), KNOWS),
            Result("cover_upper", coverage(v, straight(v, 0.5)), *EXACT)]


def body(run: Run) -> Found:
    v = verdicts(run.store("body", kind := Bodies(Path(0.5, STOP), STOP + AFTER), body_sets), kind.weeks, measure="per_kg")
    return [Result("body_false", false_calls(v, before(v), PLATEAU)), Result("body_found_16", found(v, STOP, 16), bounds.stop_found(0.5, 16, 0.30), KNOWS), Result("cover_body", coverage(v, straight(v, 0.5)), *EXACT)]


def _as_often(part: Verdicts, false_a_year: float, gain: float = 0.25) -> Verdicts:
    """The part's verdicts by a limit with as many false plateaus as are given; their limit is the program's otherwise."""
    return called_at(part, bounds.first(lambda z: false_calls(called_at(part, z, gain), before(part), PLATEAU).value <= false_a_year), gain)


def _sooner(part: Verdicts, one: Verdicts) -> Figure:
    """Weeks between half found for one exercise and half found for the part, with athletes drawn anew."""
    names = np.unique(part.athlete)
    shares = [np.array([found_by(v.verdict[v.athlete == name], STOP, AFTER).mean(axis=0) for name in names]) for v in (part, one)]

    def gap(chosen: np.ndarray) -> float:
        at = [np.append(share[chosen].mean(axis=0), 1.0) >= 0.5 for share in shares]
        return float(np.argmax(at[1]) - np.argmax(at[0]))

    rng = np.random.default_rng(1)
    drawn = [gap(rng.integers(0, len(names), len(names))) for _ in range(300)]
    return Figure(gap(np.arange(len(names))), *(float(x) for x in np.quantile(drawn, [0.025, 0.975])), len(names))


def _found_points(label: str, v: Verdicts) -> list[Point]:
    return [Point("found", label, k, "weeks", f) for k, f in enumerate(found_curve(v, STOP, AFTER))]


def _share_points(gain: float, v: Verdicts) -> list[Point]:
    return [Point("verdicts", word, gain, "% a week", f) for word, f in verdict_shares(v, before(v)).items()]


CASES: dict[str, Callable[[Run], Found]] = {
    "intermediate_05": intermediate_05, "pooled": pooled(False), "shared": pooled(True), "repetitions": repetitions, "beginner": beginner,
    "noisy": noisy, "layoff": layoff, "deload": deload, "intermediate_10": intermediate_10, "range_change": range_change, "holds": holds, "body": body, "repetitions_part": repetitions_of_a_part,
    "mayhew": mayhew, "upper": upper, "advanced": advanced, "steady_000": slow(0.0), "steady_010": slow(0.10), "steady_025": slow(0.25),
}
