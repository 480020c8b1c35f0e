-- system_loads, touched -> kinds. One row per set whose kind nobody logged, of the touched days, with the kind it is taken
-- for: a warm-up where it stands before the day's top set of its exercise, under a share of that set's system load, with no
-- effort logged.
create or replace temp table kinds as
with of_day as (
    select
        -- some files are written newest first: set numbers, where there are any, say the order
        row_number() over (
            partition by s.athlete, s.date, s.exercise
            order by coalesce(s.time, ''), coalesce(s.round_no, 0), coalesce(s.set_no, 0), s.set_id
        ) as place,
        s.set_id, s.athlete, s.date, s.exercise, s.kind_source, s.rpe, s.rir, s.system_kg
    from system_loads s
    join touched t on t.athlete = s.athlete and t.date = s.date and t.exercise = s.exercise
),
top as (
    select athlete, date, exercise, max(system_kg) as top_kg from of_day group by athlete, date, exercise
),
first_top as (
    select d.athlete, d.date, d.exercise, t.top_kg, min(d.place) as top_place
    from of_day d join top t on t.athlete = d.athlete and t.date = d.date and t.exercise = d.exercise
    where d.system_kg = t.top_kg
    group by d.athlete, d.date, d.exercise, t.top_kg
)
select
    d.set_id,
    case
        when a.assume_warm_ups and d.place < f.top_place and d.system_kg < $share * f.top_kg and d.rpe is null and d.rir is null
        then 'warm_up' else 'work'
    end as kind
from of_day d
join first_top f on f.athlete = d.athlete and f.date = d.date and f.exercise = d.exercise
join athletes a on a.athlete = d.athlete
where d.kind_source = 'assumed'
