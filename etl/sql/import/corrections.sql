-- fresh, staged, sets -> corrections. One row per new set of the file that stands in the place of a stored one (same athlete,
-- date, exercise, set, round and segment number and side) which the file no longer holds: the file may correct it.
create or replace temp table corrections as
select distinct f.source_row, f.side
from fresh f
join sets s
    on s.athlete = f.athlete and s.date = f.date and s.name_key = f.name_key and s.side = f.side and s.planned = f.planned
    and s.set_no = f.set_no and coalesce(s.round_no, 0) = coalesce(f.round_no, 0) and coalesce(s.segment_no, 0) = coalesce(f.segment_no, 0)
where s.identity not in (select identity from staged)
