-- fresh, staged, near, sets -> alike. One row per athlete, day, exercise and side on which the new sets of the file are, number by
-- number, those stored sets which the file does not hold: the same session may have been kept in another shape or spelling.
create or replace temp table alike as
with gone as (
    select s.athlete, s.date, coalesce(s.exercise, s.name_key) as what, s.side, s.planned,
        list_sort(list(concat_ws(' ', coalesce(s.reps::text, '-'), coalesce(round(s.load_kg, 2)::text, '-'), coalesce(s.hold_s::text, '-')))) as done
    from near n join sets s on s.set_id = n.set_id
    where n.identity not in (select identity from counted)
    group by all
),
new as (
    select t.athlete, t.date, coalesce(t.exercise, t.name_key) as what, t.side, t.planned,
        list_sort(list(concat_ws(' ', coalesce(t.reps::text, '-'), coalesce(round(t.load_kg, 2)::text, '-'), coalesce(t.hold_s::text, '-')))) as done
    from fresh f join staged t on t.place = f.place
    where (t.athlete, t.date) in (select (athlete, date) from gone)
    group by all
)
select athlete, date, what, side, planned, len(done) as sets
from new join gone using (athlete, date, what, side, planned, done)
