-- What was worked out week by week, kept so that a page reads and does not compute.
-- `week` is the Monday. Every row depends only on what was dated up to that week's Sunday.

-- One row per athlete and week.
create table kept_weeks (
    athlete text, week date, so_far boolean, sessions integer, days integer, hard_sets double,
    usual_hard_sets double, repetitions double, tonnage_kg double, hold_s double, planned_sets double,
    effort_logged_share double, mean_rir double, deload boolean, unmatched_sets integer, covered integer,
    focus_parts integer, coverage double, weakest_part text, message text, baseline_weeks integer
);

-- One row per athlete, week and head.
create table kept_heads (
    athlete text, week date, head text, part text, muscle text, dose double, low double, high double,
    direct_sets double, usual double, exercises integer, days integer, share_a double, share_b double, share_c double
);

-- One row per athlete, week and part.
create table kept_parts (
    athlete text, week date, part text, muscle text, dose double, low double, high double, direct_sets double,
    usual double, band_low double, band_high double, status text, in_focus boolean, exercises integer, days integer,
    left_sets double, right_sets double
);

-- One row per athlete, week and muscle.
create table kept_muscles (
    athlete text, week date, muscle text, dose double, effective_heads double, heads integer, not_distinguishable text
);

-- One row per athlete, week and subject (a part or whole_body).
create table kept_load (
    athlete text, week date, subject text, load double, usual double, ratio double, z double, mark text, state text
);

-- One row per athlete, date, exercise and series: the best set of the session.
create table kept_bests (
    athlete text, date date, exercise text, series text, measure text, value double, low double, high double,
    load_kg double, reps double, rir double, hold_s double, counted boolean, note text
);

-- One row per athlete, week and exercise.
create table kept_strength (
    athlete text, week date, exercise text, measure text, series text, e1rm_kg double, low_kg double, high_kg double,
    value double, value_low double, value_high double, rate_pct_week double, rate_low double, rate_high double,
    verdict text, reason text, sessions integer, best_value double, best_since date, fit_from date, fit_to date,
    fit_from_value double, fit_to_value double
);

-- One row per athlete, week and part that any estimated exercise has as its prime mover.
create table kept_part_strength (
    athlete text, week date, part text, rate_pct_week double, rate_low double, rate_high double, verdict text,
    reason text, exercises integer, sessions integer
);

-- One row per episode of a flag. `until` is null while it holds.
create table kept_flags (
    athlete text, kind text, subject text, week date, until date, level text, numbers text, message text
);

-- One row per athlete, week and exercise that was done on both sides.
create table kept_sides (
    athlete text, week date, exercise text, left_value double, right_value double, unit text, difference_pct double,
    weaker text, sessions integer
);

-- One row per athlete, week and change that is suggested for the week after.
create table kept_next (athlete text, week date, position integer, subject text, action text, reason text);

-- One row per athlete, week and caution that applies in that week.
create table kept_cautions (athlete text, week date, topic text, message text);

-- One row per athlete, week, kind and subject that the week's look raised; episodes are made of these.
create table kept_raised (
    athlete text, week date, kind text, subject text, level text, message text, numbers text, rank double
);
