-- What the keeper of the store changed in the catalogue. The shipped tables stay as they are; these lie over them.
-- meta's row `own` holds a text that is the same for the same exercises and credits; there is none where nothing is changed.

-- Columns as in exercises.csv.
-- One row per exercise that the catalogue lacks.
create table own_exercises (
    exercise_id text primary key, name text not null, movement_pattern text not null, equipment text not null, laterality text not null,
    mode text not null, load_basis text not null, bodymass_share double not null, per_hand text not null, long_end text not null,
    level text not null, inverted text not null, mostly_eccentric text not null, strength_estimate text not null,
    reps_low double, reps_high double, note text not null default '', made_at timestamp not null
);

-- `credit` is 1, 0.5 or 0.25 in place of the shipped one, 0 for none.
-- One row per exercise and head.
create table own_credits (
    exercise_id text not null, head_id text not null, credit double not null, note text not null default '', made_at timestamp not null,
    primary key (exercise_id, head_id)
);

-- The band of a part, hard sets a week, in place of that of the level. `athlete` is '' for everybody.
-- One row per athlete and part.
create table own_targets (
    athlete text not null, part text not null, low double not null, high double not null, note text not null default '',
    made_at timestamp not null
);

-- What a muscle's dose would be with each credit one tier lower or higher.
alter table kept_muscles add column low double;
alter table kept_muscles add column high double;
-- The parts whose order with the weakest one depends on the credits: a JSON list of their ids.
alter table kept_weeks add column weakest_not_distinguishable text;
