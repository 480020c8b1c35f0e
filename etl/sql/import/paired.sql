-- staged, counted, sets -> paired. One row per set of the file that the store already has, beside its stored set_id.
create or replace temp table paired as
with in_file as (
    select st.*, row_number() over (partition by st.identity order by st.source_row) as nth
    from staged st join counted c on c.identity = st.identity
    where c.in_store > 0
),
in_store as (
    select s.set_id, s.identity, row_number() over (partition by s.identity order by s.set_id) as nth
    from sets s
    where s.identity in (select identity from counted where in_store > 0)
)
select f.* exclude (nth), s.set_id as stored_id
from in_file f join in_store s on s.identity = f.identity and s.nth = f.nth
