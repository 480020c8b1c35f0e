-- marked, counted -> fresh. One row per set that is new, by its place in the file and numbered from 0: of each identity as many
-- as the file has more than the store. Within an identity, rows are numbered only where it is stored: numbering all is slow.
create or replace temp table fresh as
with known as (
    select m.place, c.in_store, row_number() over (partition by m.identity order by m.place) as nth
    from marked m join counted c on c.identity = m.identity
    where c.in_store > 0
),
new as (
    select m.place from marked m join counted c on c.identity = m.identity where c.in_store = 0
    union all
    select place from known where nth > in_store
)
select place, row_number() over (order by place) - 1 as nth from new
