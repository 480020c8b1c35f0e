-- fresh, staged, near, sets -> corrections. One row per new set of the file that stands in the place of a stored one (same
-- athlete, date, exercise, set, round and segment number and side) which the file no longer holds: the file may correct it.
create or replace temp table corrections as
with gone as (
    select s.athlete, s.date, s.name_key, s.side, s.planned, s.set_no, s.round_no, s.segment_no
    from near n join sets s on s.set_id = n.set_id
    where n.identity not in (select identity from counted) and s.set_no is not null
)
select distinct f.place
from fresh f
join staged t on t.place = f.place
join gone s
    on s.athlete = t.athlete and s.date = t.date and s.name_key = t.name_key and s.side = t.side and s.planned = t.planned
    and s.set_no = t.set_no and coalesce(s.round_no, 0) = coalesce(t.round_no, 0) and coalesce(s.segment_no, 0) = coalesce(t.segment_no, 0)
