-- The set log, where each row came from, and what was set aside. Grain is stated at each table.

create sequence set_ids;
create sequence import_ids;

-- One row per fact about the store itself.
create table meta (key text primary key, value text not null);
insert into meta values ('stamp', '0');

-- One row per athlete: what a person has said about them.
create table athletes (
    athlete text primary key,
    level text not null default 'intermediate',
    level_said boolean not null default false,
    focus text,
    equipment text,
    assume_warm_ups boolean not null default true,
    equation text not null default 'lower_of_two'
);

-- One row per import: one command or one upload, of one file or many.
create table imports (
    import_id integer primary key,
    made_at timestamp not null,
    rows_read integer not null,
    rows_with_sets integer not null,
    sets_stored integer not null,
    days_stored integer not null,
    already_stored integer not null,
    rows_set_aside integer not null,
    answers text not null,
    files text not null,
    assumed text not null,
    undone boolean not null default false
);

-- One row per set, or per segment of a set.
create table sets (
    set_id bigint not null,
    import_id integer not null,
    identity text not null,
    athlete text not null,
    date date not null,
    time text,
    session text,
    exercise text,
    exercise_as_written text not null,
    name_key text not null,
    modifiers text,
    set_no integer,
    round_no integer,
    segment_no integer,
    kind text not null,
    kind_source text not null,
    side text not null,
    range text not null,
    reps double,
    load_kg double,
    load_estimated boolean,
    hold_s double,
    rpe double,
    rir double,
    limited_by text,
    pain_place text,
    pain_score double,
    body_mass_kg double,
    session_rpe double,
    minutes double,
    rest_s double,
    tempo text,
    note text,
    planned boolean not null default false,
    source text not null,
    source_row integer not null
);

-- One row per file row that holds no set, but a body mass, a session RPE, pain or a note of the day.
create table days (
    import_id integer not null,
    identity text not null,
    athlete text not null,
    date date not null,
    body_mass_kg double,
    session_rpe double,
    minutes double,
    pain_place text,
    pain_score double,
    note text,
    source text not null,
    source_row integer not null
);

-- One row per file row that could not be read, with its text and the reason.
create table set_aside (
    import_id integer not null,
    file text not null,
    row integer not null,
    text text not null,
    reason text not null
);

-- One row per empty cell of a stored set that a later file filled.
create table fills (import_id integer not null, set_id bigint not null, column_name text not null, value text);

-- One row per cell of a later file that differs from the stored one, which stays.
create table differences (
    import_id integer not null, set_id bigint not null, column_name text not null, stored text, in_file text
);

-- One row per exercise name that a person has decided on.
create table name_decisions (
    name_key text primary key, exercise text not null, modifiers text not null default '', made_at timestamp not null
);

-- One row per athlete whose standing must be worked out again, from that week on.
create table stale (athlete text primary key, from_week date not null);
