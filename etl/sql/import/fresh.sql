-- staged, counted -> fresh. One row per set that is new: of each identity as many as the file has more than the store.
-- Rows are numbered only where an identity stands in the store already: numbering all of them is slow.
create or replace temp table fresh as
with known as (
    select st.*, row_number() over (partition by st.identity order by st.source_row) as nth
    from staged st join counted c on c.identity = st.identity
    where c.in_store > 0
)
select st.* from staged st join counted c on c.identity = st.identity where c.in_store = 0
union all by name
select k.* exclude (nth) from known k join counted c on c.identity = k.identity where k.nth > c.in_store
