-- What a person has put right, kept so that the next export of the same log does not bring the mistake back.

create sequence change_ids;

-- `identity`, `date` and `original` are of the set as it stood before; `changed` holds the new values as JSON, null where the
-- set was removed. `stood`: how many sets of that identity there were beside it.
-- One row per change of one stored set.
create table set_changes (
    change_id integer not null,
    made_at timestamp not null,
    set_id bigint not null,
    athlete text not null,
    date date not null,
    identity text not null,
    original text not null,
    changed text,
    stood integer not null,
    active boolean not null default true
);

-- One row per other spelling of an athlete, in small letters.
create table athlete_spellings (spelling text primary key, written text not null, athlete text not null, made_at timestamp not null);

-- One row per row of a file that was mended: the key of its cells, and the cells it has now as JSON, null to leave it out.
create table mended_rows (key text primary key, cells text, made_at timestamp not null);

-- One row per answer that was given for files with one header: from that import on. Null where nothing was said.
create table shapes_seen (shape text not null, import_id integer not null, columns text, day_first boolean, unit text);

-- One row per erased athlete, as a hash of the name: what stands in kept files up to that import is not read again.
create table erased (name_hash text not null, until_import integer not null);
