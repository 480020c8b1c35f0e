-- marked, near -> counted. One row per identity of the file: how often it stands in the file and in the store.
create or replace temp table counted as
with in_file as (
    select identity, count(*) as in_file from marked group by identity
),
in_store as (
    select identity, count(*) as in_store from near where identity in (select identity from in_file) group by identity
)
select f.identity, f.in_file, coalesce(s.in_store, 0) as in_store
from in_file f left join in_store s on s.identity = f.identity
