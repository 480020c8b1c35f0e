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

-- `cells`: those it has now as JSON, null to leave it out. `file`, `row` and `text`: where it stood, and what it was.
-- One row per row of a file that was mended, by the key of its cells.
create table mended_rows (key text primary key, cells text, made_at timestamp not null, file text not null, row integer not null, text text not null);

-- `given_for`: the import that the answers were given for. They hold from `import_id` on. Null where nothing was said.
-- One row per answers that were given for files with one header.
create table shapes_seen (shape text not null, import_id integer not null, given_for integer not null, columns text, day_first boolean, unit text);

-- One row per erased athlete, as a hash of the name: what stands in kept files up to that import is not read again.
create table erased (name_hash text not null, until_import integer not null);
