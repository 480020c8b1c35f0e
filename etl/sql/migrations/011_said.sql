-- What a person says beside the log: notes, pain and soreness, goals, blocks and decisions; and how an athlete's pages are shown.

create sequence said_ids;

-- `kind`: note, pain or soreness. `subject`: an exercise id, a part id, or '' for the day as a whole. `place` and `score` (0-10): of
-- pain or soreness, null for a note. `private`: never shown to the client, whatever else may be.
-- One row per note.
create table notes (
    note_id integer primary key, athlete text not null, date date not null, kind text not null, subject text not null, text text not null,
    place text, score double, private boolean not null, said_at timestamp not null
);

-- `subject` as in notes. `target`: in `measure` (e1rm in kg, reps, hold in seconds), both null where the goal is only words.
-- One row per goal.
create table goals (
    goal_id integer primary key, athlete text not null, text text not null, due date not null, subject text not null, measure text,
    target double, reached_on date, said_at timestamp not null
);

-- One row per block of training. `deload_due`: the Monday of the week in which a deload is due, or null.
create table blocks (
    block_id integer primary key, athlete text not null, aim text not null, starts date not null, ends date not null, deload_due date,
    said_at timestamp not null
);

-- `subject` as in notes: what the decision is about, so that what followed can be told.
-- One row per decision of the coach.
create table decisions (
    decision_id integer primary key, athlete text not null, date date not null, text text not null, subject text not null, said_at timestamp not null
);

-- `shown_unit`: kg or lb. `loads`: a JSON list of the loads in the house, kg in one hand, null where nothing was said.
-- `shows`: a JSON list of what a client may see beside the training: decisions, notes, pain, body_mass.
alter table athletes add column shown_unit text default 'kg';
alter table athletes add column loads text;
alter table athletes add column shows text default '["decisions"]';
