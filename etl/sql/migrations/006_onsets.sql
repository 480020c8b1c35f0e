-- When a plateau or a decline began, as each week's look dated it, and what else differed around it.

-- `measure`: empty for a part. `onset`, `low`, `high`: Mondays, null where unknown; with `high` alone it began before that week.
-- `changes`: JSON, a list of {what, before, after}; `part` beside it where the sets or days are of one.
-- One row per athlete, week and exercise or part with a verdict of plateau or declining.
create table kept_onsets (
    athlete text, week date, subject text, measure text, verdict text, state text, onset date, low date, high date,
    before_pct_week double, after_pct_week double, changes text
);
