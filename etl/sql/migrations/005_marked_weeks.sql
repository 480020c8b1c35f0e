-- Weeks that a person has marked, what was planned, and what is kept of load beside its flags.

-- `week` is the Monday, `mark` planned_increase or deload.
-- One row per athlete and week that a person has marked.
create table marked_weeks (athlete text not null, week date not null, mark text not null, said_at timestamp not null);

-- True where what stood out was planned: the week is marked so, or the log's plan held about as much.
alter table kept_load add column planned_increase boolean;

-- Numbers that raise nothing, null where they are not defined. `sessions_without_load`: sessions whose RPE or minutes are missing or
-- said in two ways. `monotony_most`: the largest that the week's days with load allow, null where there is no limit.
-- One row per athlete and week.
create table kept_load_columns (
    athlete text, week date, acute_chronic_uncoupled double, acute_chronic_coupled double, acute_chronic_smoothed double,
    session_rpe_load double, sessions_with_load integer, sessions_without_load integer, monotony double, monotony_most double, strain double
);
