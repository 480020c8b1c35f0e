"""Every threshold that the program uses, in one table: value, unit, mark and where it comes from.

Marks: P published, C convention of the trade, D decided here (chosen by us, usually by simulation).
`RULES` holds the defaults. `Rules.described()` lists them for a page or a reader.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from datetime import date
from types import MappingProxyType
from typing import Any


def _s(value: Any, unit: str, mark: str, source: str) -> Any:
    """A setting: its default with unit, mark and source. A dict becomes a read-only mapping."""
    about = {"unit": unit, "mark": mark, "source": source}
    if isinstance(value, dict):
        frozen = MappingProxyType(value)
        return field(default_factory=lambda: frozen, metadata=about)
    return field(default=value, metadata=about)


SIMULATED = "decided here by simulation of steady and changed training at 20 % weekly noise"
JUDGED = "decided here, by judgement"


@dataclass(frozen=True)
class Rules:
    # --- units ---------------------------------------------------------------------------------------
    pound_kg: float = _s(0.45359237, "kg", "P", "NIST SP 811, appendix B.8: exact by definition")

    bar_kg: float = _s(20.0, "kg", "C", "the men's bar of IWF, Technical and Competition Rules and Regulations; value from memory")
    unit_jump_near: float = _s(0.10, "log of a ratio", "D", JUDGED)

    # --- what a row may hold ---------------------------------------------------------------------------
    reps_max: float = _s(500, "repetitions", "D", JUDGED)
    load_min_kg: float = _s(-200, "kg", "D", JUDGED)
    load_max_kg: float = _s(1000, "kg", "D", JUDGED)
    hold_max_s: float = _s(7200, "s", "D", JUDGED)
    rpe_max: float = _s(10, "RPE", "P", "Zourdos 2016, doi:10.1519/JSC.0000000000001049: the scale's end")
    rir_max: float = _s(20, "repetitions", "D", JUDGED)
    body_mass_min_kg: float = _s(20, "kg", "D", JUDGED)
    body_mass_max_kg: float = _s(400, "kg", "D", JUDGED)
    first_date: date = _s(date(1950, 1, 1), "date", "D", JUDGED)
    carry_down_share: float = _s(1 / 3, "share of rows", "D", JUDGED)

    # --- body mass -------------------------------------------------------------------------------------
    body_mass_days: int = _s(90, "days", "D", JUDGED)

    # --- what counts as a set --------------------------------------------------------------------------
    rir_hard: float = _s(4, "repetitions in reserve", "D", "after Baz-Valle 2021, doi:10.1519/JSC.0000000000002776: sets near failure are the countable unit")
    rpe_hard: float = _s(6, "RPE", "D", "the RPE of four in reserve, Zourdos 2016")
    easy_set: float = _s(0.5, "sets", "D", JUDGED)
    range_long: float = _s(1.0, "sets", "D", "after Wolf 2025, PeerJ 18904: lengthened partials about equal to full range")
    range_short: float = _s(0.5, "sets", "D", JUDGED)
    range_unknown: float = _s(0.75, "sets", "D", JUDGED)
    one_side: float = _s(0.5, "sets", "D", "the mean of a done and a missing side")
    hold_share_of_best: float = _s(0.60, "share of the best hold", "D", JUDGED)
    hold_best_weeks: int = _s(8, "weeks", "D", JUDGED)
    hold_min_s: float = _s(3, "s", "D", JUDGED)
    hold_full_s: float = _s(10, "s", "D", JUDGED)
    warm_up_share: float = _s(0.60, "share of the day's top load", "C", "common practice, no source")

    # --- dose ------------------------------------------------------------------------------------------
    credit_counted_min: float = _s(0.5, "credit", "P", "Pelland 2025, doi:10.1007/s40279-025-02344-w: direct 1, indirect 0.5 per muscle; per head it is decided here")
    credit_tiers: tuple = _s((0.0, 0.25, 0.5, 1.0), "credit", "D", JUDGED)
    band_main: tuple = _s((4.0, 20.0), "hard sets a week", "C", "common practice; about 4 is the least with a detectable effect (Pelland 2025, second-hand)")
    band_main_beginner: tuple = _s((4.0, 12.0), "hard sets a week", "C", "common practice, no source")
    band_small: tuple = _s((2.0, 8.0), "hard sets a week", "C", "common practice, no source")
    direct_needed: float = _s(2, "direct sets a week", "D", "for deltoids, triceps and calves")
    direct_muscles: tuple = _s(("deltoid", "triceps", "calf"), "muscle", "D", JUDGED)
    focus_sets: float = _s(4, "hard sets a week in a region", "D", JUDGED)
    focus_weeks: int = _s(8, "weeks", "D", JUDGED)
    below_weeks: int = _s(4, "complete weeks", "D", JUDGED)

    # --- sides -----------------------------------------------------------------------------------------
    side_pct: float = _s(15, "%", "D", "Impellizzeri 2007, MSSE 39:2044: the measure; the limit is a convention with weak evidence (Parkinson 2021, doi:10.52082/jssm.2021.594)")
    side_sessions: int = _s(3, "sessions", "D", JUDGED)
    side_weeks: int = _s(4, "weeks", "D", JUDGED)

    # --- estimated one-repetition maximum ----------------------------------------------------------------
    reps_near_max: float = _s(10, "repetitions", "P", "Mayhew 1995, J Sports Med Phys Fitness 35:108: Brzycki most accurate up to 10; that sets of more speak where a session has none nearer is decided here by simulation")
    reps_low_band_max: float = _s(5, "repetitions", "D", "bands 1-5 and 6-15: up to 10 repetitions, changing the range shifts an e1RM by 2-8 % between equations")
    reps_band_keeps: float = _s(6, "repetitions", "D", "decided here by simulation: between the two the band stays what it was")
    reps_band_sessions: int = _s(3, "sessions", "D", "decided here by simulation: their middle is in the band, so that a good or a bad day does not choose it")
    reps_estimate_max: float = _s(15, "repetitions", "D", "the seven equations differ by 22 % at 15, by 45 % at 20")
    rir_max_estimate: float = _s(3, "repetitions in reserve", "D", "Halperin 2022, doi:10.1007/s40279-021-01559-x: guesses are nearer close to failure")
    noise_pct: tuple = _s(((8, 3.5), (10, 4.0), (12, 5.5), (15, 9.0)), "%", "D", "Grgic 2020, doi:10.1186/s40798-020-00260-z (CV median 4.2 %), Mitter 2022, doi:10.1371/journal.pone.0268074; growth above 8 repetitions decided here")
    noise_no_effort_extra: float = _s(1.0, "%", "D", JUDGED)
    noise_reps_pct: float = _s(8.0, "%", "D", "3.5 % of a maximum is 1.5 to 2 repetitions of 15 to 25; Mitter 2022 found 1.1 at 70 %")
    noise_hold_pct: float = _s(8.0, "%", "D", JUDGED)

    pain_no_trend: float = _s(4, "of 10", "D", "decided here, by judgement: a set that hurts so much, or that pain ended, is no test of strength")
    effort_usual_of: int = _s(8, "sessions", "D", "decided here, by judgement: of a session and those before it")
    effort_usual_least: int = _s(4, "sessions", "D", "decided here, by judgement: with effort logged in so many of them, one without it is no measure beside them")

    # --- trend and verdict -------------------------------------------------------------------------------
    readiness_sd_pct: float = _s(2.0, "%", "D", "decided here by simulation")
    readiness_weeks: float = _s(1.0, "weeks", "D", "decided here by simulation")
    readiness_reps_pct: float = _s(4.6, "%", "D", "the same share of the noise as of an estimated maximum")
    readiness_hold_pct: float = _s(4.6, "%", "D", "the same share of the noise as of an estimated maximum")
    scale_weeks: int = _s(26, "weeks", "D", "decided here by simulation")
    scale_pseudo_n: float = _s(5, "observations", "D", "decided here by simulation")
    scale_low: float = _s(0.5, "factor", "D", "decided here by simulation")
    scale_high: float = _s(2.5, "factor", "D", "decided here by simulation")
    outlier_z: float = _s(2.0, "standard deviations", "D", "decided here by simulation")
    worthwhile_pct: Mapping[str, float] = _s({"beginner": 0.50, "intermediate": 0.25, "advanced": 0.10}, "% a week", "D", "about half of usual progress; 0.25 % for 8 weeks is the lower end of the worthwhile 2-4 % of Nascimento 2017, doi:10.5114/biolsport.2017.67854")
    window_weeks: Mapping[str, int] = _s({"beginner": 12, "intermediate": 16, "advanced": 16}, "weeks", "D", "decided here by simulation")
    pool_bends: tuple = _s((8, 10, 12), "weeks before a look", "D", "decided here by simulation: where a part's line may bend; the latest that says enough is taken")
    pool_before_weeks: float = _s(8.0, "weeks", "D", "decided here by simulation: of history before a bend")
    pool_se_pct: Mapping[str, float] = _s({"beginner": 0.42, "intermediate": 0.28, "advanced": 0.18}, "% a week", "D", "decided here by simulation: no more false plateaus than one exercise over its whole window")
    pool_se_worths: float = _s(0.42, "times the smallest worthwhile gain", "D", "decided here by simulation: the same, of a part in repetitions and seconds")
    estimates_share: float = _s(2 / 3, "share of the sessions of repetitions", "D", "decided here: with fewer, estimates are the few sets of 15 and less of someone who trains with more, which leaves out the better days, and the exercise and its part are told in repetitions")
    shared_pairs: float = _s(60, "pairs of sessions on one day", "D", "decided here: until the log shows more, exercises share no readiness")
    noisy_windows: Mapping[str, tuple] = _s({"beginner": ((0.0, 11), (1.0, 12)), "intermediate": ((1.3, 20), (1.4, 24)), "advanced": ((1.3, 20), (1.4, 24))}, "scale of the noise: weeks", "D", "decided here by simulation: a series of estimates noisier than usual is looked at over more weeks")
    trend_min_sessions: int = _s(8, "sessions", "D", "decided here by simulation")
    open_weeks: int = _s(8, "weeks without a new best", "D", "decided here: as long an undecided exercise is worth a word; a fact, no verdict")
    trend_min_span: float = _s(0.60, "share of the window", "D", "decided here by simulation")
    z_declining: float = _s(1.6449, "standard errors", "C", "95 % one-sided")
    z_progressing: float = _s(1.2816, "standard errors", "C", "90 % one-sided")
    z_plateau: float = _s(0.8416, "standard errors", "D", "80 % one-sided, decided here by simulation")
    z_interval: float = _s(1.2816, "standard errors", "C", "80 % two-sided")
    reps_series_gain: float = _s(1.0, "repetitions", "D", "smallest worthwhile gain at a fixed load")
    reps_series_weeks: float = _s(4.0, "weeks", "D", "in which that gain is worth while")

    # --- when a trend changed ------------------------------------------------------------------------------
    onset_kept_weeks: int = _s(4, "weeks", "D", "decided here: the weeks of a log that are still looked at")
    onset_weeks: float = _s(40, "weeks of history", "D", "decided here by simulation")
    onset_mass: float = _s(0.75, "probability", "D", "decided here by simulation: the weeks named then hold the truth in 82 to 92 %")
    onset_none_chance: float = _s(0.25, "probability", "D", "that a change lies before the data, before they are seen: decided here by simulation")
    onset_prior_worths: Mapping[str, tuple] = _s({"plateau": (0.0, 1.0, 2.0, 1.0), "declining": (-2.0, 2.0, 2.0, 2.0)}, "times the smallest worthwhile gain: slope after, its SD, fall, its SD", "D", "usual progress is about twice the smallest worthwhile gain; decided here by simulation")
    around_weeks: int = _s(8, "weeks before an onset", "D", JUDGED)
    around_min_weeks: int = _s(3, "weeks on each side of an onset", "D", JUDGED)
    around_named: int = _s(4, "differences", "D", JUDGED)
    around_sets_share: float = _s(0.25, "share of the weekly sets", "D", "about 2.5 SE of the difference of two means of 8 weeks at 20 % weekly noise")
    around_sets: float = _s(2.0, "hard sets a week", "D", "the least that is one set in each of two sessions")
    around_days: float = _s(0.5, "days a week", "D", JUDGED)
    around_rir: float = _s(1.0, "repetitions in reserve", "D", "the usual error of a guess near failure, after Halperin 2022, doi:10.1007/s40279-021-01559-x")
    around_reps: float = _s(2.0, "repetitions", "D", JUDGED)
    around_mass_share: float = _s(0.02, "share of body mass", "D", "about twice its usual daily change of 1 %, from memory")
    around_gap_days: float = _s(7.0, "days", "D", JUDGED)
    around_logged_share: float = _s(0.25, "share of sets", "D", JUDGED)

    # --- gaps and deloads ----------------------------------------------------------------------------------
    layoff_days: int = _s(14, "days", "C", "Caterisano 2019, doi:10.1519/SSC.0000000000000477: a break of two weeks or more (second-hand)")
    layoff_intervals: float = _s(2.5, "usual intervals", "D", JUDGED)
    idle_days: int = _s(21, "days", "D", "after which a strength value says when its exercise was last done")
    layoff_pass_weeks: float = _s(3.0, "weeks", "D", "decided here by simulation")
    deload_share: float = _s(0.60, "share of the median of 4 active weeks", "D", "after Rogerson 2024, doi:10.1186/s40798-024-00691-y")
    deload_rir_up: float = _s(2.0, "repetitions in reserve", "D", JUDGED)
    deload_one_in: int = _s(3, "weeks", "D", JUDGED)
    deload_due_share: float = _s(0.80, "share of usual", "D", "decided here: in a week in which a block has a deload due, up to this much is taken for it")
    deload_to: tuple = _s((0.50, 0.60), "share of usual", "D", "the usual easy week of four to eight; the upper end is what the log itself takes for a deload")

    # --- changes of load -------------------------------------------------------------------------------------
    usual_weeks: int = _s(8, "weeks", "D", SIMULATED)
    active_share: float = _s(0.60, "share of the median", "D", SIMULATED)
    usual_min_weeks: int = _s(4, "active weeks", "D", SIMULATED)
    noise_weeks: int = _s(12, "weeks", "D", SIMULATED)
    noise_floor: float = _s(0.10, "ln(load)", "D", SIMULATED)
    noise_prior_part: float = _s(0.25, "ln(load)", "D", SIMULATED)
    noise_prior_body: float = _s(0.20, "ln(load)", "D", SIMULATED)
    noise_prior_n: float = _s(4, "observations", "D", SIMULATED)
    mad_sd: float = _s(1.4826, "SD per MAD", "P", "normal consistency factor, 1/0.67449")
    step_ratio: float = _s(1.3, "times usual", "D", SIMULATED)
    step_sets_part: float = _s(2, "sets", "D", SIMULATED)
    spike_ratio: float = _s(1.5, "times usual", "D", SIMULATED)
    spike_z: float = _s(2.0, "personal SD", "D", SIMULATED)
    spike_sets_part: float = _s(3, "sets", "D", SIMULATED)
    spike_sets_body: float = _s(8, "sets", "D", SIMULATED)
    large_ratio: float = _s(2.0, "times usual", "D", SIMULATED)
    large_sets_part: float = _s(4, "sets", "D", SIMULATED)
    spike_over_recent: float = _s(1.1, "times the most of 4 weeks", "D", SIMULATED)
    recent_weeks: int = _s(4, "weeks", "D", SIMULATED)
    session_ratio: float = _s(1.5, "times the largest of 30 days", "D", "after Frandsen 2025, doi:10.1136/bjsports-2024-109380 (runners)")
    session_days: int = _s(30, "days", "P", "Frandsen 2025, doi:10.1136/bjsports-2024-109380")
    session_sets_part: float = _s(3, "sets", "D", SIMULATED)
    session_sets_body: float = _s(6, "sets", "D", SIMULATED)
    climb_ratio: float = _s(1.4, "times the 4 active weeks before", "D", SIMULATED)
    climb_weeks: int = _s(4, "active weeks", "D", SIMULATED)
    climb_sets: float = _s(3, "sets", "D", SIMULATED)
    climb_once_weeks: int = _s(8, "weeks", "D", SIMULATED)
    return_long_days: int = _s(28, "days", "D", JUDGED)
    return_new_days: int = _s(84, "days", "D", JUDGED)
    return_short_suggested: tuple = _s((0.70, 0.85), "share of usual", "D", "decided here: milder than Caterisano 2019 (second-hand), whose 50/30/20/10 % reductions hold from two weeks away")
    return_short_raised: tuple = _s((0.92, 1.04), "share of usual", "D", SIMULATED)
    return_long_suggested: tuple = _s((0.50, 0.70, 0.80, 0.90), "share of usual", "P", "the 50/30/20/10 % reductions of Caterisano 2019 (second-hand; one step a week is from memory)")
    return_long_raised: tuple = _s((0.70, 0.92, 1.04, 1.15), "share of usual", "D", SIMULATED)
    new_area_usual: float = _s(2, "sets a week", "D", JUDGED)
    new_area_log_weeks: int = _s(4, "weeks", "D", JUDGED)
    new_area_week: float = _s(6, "sets", "D", JUDGED)
    new_area_session: float = _s(5, "sets", "D", JUDGED)
    new_area_reps: float = _s(60, "repetitions", "D", "after the case of Honda 2017, doi:10.2169/internalmedicine.56.7636 (100 push-ups)")
    first_weeks: int = _s(8, "weeks", "D", JUDGED)
    first_sets: float = _s(3, "hard sets", "D", JUDGED)
    entry_pct: float = _s(20, "%", "D", "ACSM 2009, MSSE 41:687: usual steps are 2-10 %")
    entry_units: tuple = _s((2.2046, 0.4536), "times usual", "P", "pounds read as kilograms and the reverse")
    entry_units_near: float = _s(0.02, "share", "D", JUDGED)
    message_parts: int = _s(3, "parts in one message", "D", JUDGED)
    planned_share: float = _s(1.1, "done of planned", "D", JUDGED)
    acute_days: int = _s(7, "days", "P", "Williams 2017, doi:10.1136/bjsports-2016-096589; raises nothing")
    chronic_days: int = _s(28, "days", "P", "Williams 2017, doi:10.1136/bjsports-2016-096589; raises nothing")
    grip_days_running: int = _s(3, "days", "C", "common practice, no source")

    # --- cautions --------------------------------------------------------------------------------------------
    long_hold_s: float = _s(30, "s", "C", "common practice, no source")
    pain_high: float = _s(5, "of 10", "P", "after the pain-monitoring rule of Silbernagel 2007 (second-hand)")
    pain_days: int = _s(14, "days", "C", "first-aid advice, from memory")

    # --- who needs a look first --------------------------------------------------------------------------------
    away_days: int = _s(7, "days without a set", "C", "common practice, no source: a week without a session")
    away_quantile: float = _s(0.9, "share of the intervals", "D", "decided here, by judgement: with the usual interval before it, one session was missed and the next is late")
    rhythm_days: int = _s(84, "days", "D", "decided here, by judgement: the weeks whose intervals are the usual ones")
    rhythm_least: int = _s(4, "intervals", "D", "decided here, by judgement: with fewer nothing is usual yet")
    stands_weeks: int = _s(4, "weeks", "D", "decided here, by judgement: so long a part stands still or falls before that asks for a look by itself")
    log_old_days: int = _s(7, "days without a set of anybody", "D", "decided here, by judgement: exports are brought in week by week")

    # --- next week ---------------------------------------------------------------------------------------------
    add_sets: tuple = _s((1, 2), "sets", "D", JUDGED)
    next_most: int = _s(5, "changes of one week", "D", "decided here: more are not done, and nobody could tell which of them did what")
    load_step_pct: tuple = _s((2, 10), "%", "P", "ACSM 2009, MSSE 41:687: when one or two repetitions over target")

    # --- the pictures of steps and of weeks ----------------------------------------------------------------------
    step_reserve: float = _s(1, "repetitions in reserve", "D", "the rule of ladders in the catalogue's README: what a step asks is asked with one left over")
    step_stands_days: int = _s(14, "days", "D", "decided here: two steps often share a week, and the highest of these days is the one stood on")
    mist_days: float = _s(28, "days", "D", "decided here: a session this far away has no weight in the mean around a day")
    plan_rows_share: float = _s(0.5, "share of the planned sets", "D", "decided here: where as many were done as well, the plan has rows of its own")
    followed_weeks: int = _s(4, "weeks", "D", "decided here: after a decision, until it is told what followed")

    @classmethod
    def described(cls) -> list[dict[str, Any]]:
        """One dict per setting: name, value, unit, mark (P, C or D), source."""
        return [{"name": f.name, "value": getattr(RULES, f.name), **f.metadata} for f in fields(cls)]


RULES = Rules()
