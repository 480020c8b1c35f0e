-- marked, counted, near -> paired. One row per set of the file that the store already has, beside its stored set_id.
create or replace temp table paired as
with in_file as (
    select m.place, m.identity, row_number() over (partition by m.identity order by m.place) as nth
    from marked m join counted c on c.identity = m.identity
    where c.in_store > 0
),
in_store as (
    select set_id, identity, row_number() over (partition by identity order by set_id) as nth
    from near
    where identity in (select identity from counted where in_store > 0)
)
select f.place, s.set_id
from in_file f join in_store s on s.identity = f.identity and s.nth = f.nth
