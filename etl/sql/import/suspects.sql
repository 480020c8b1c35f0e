-- sets, asked, exercise_loads -> touched. One row per athlete, day and exercise of `asked` in which the kind of a set may have to
-- change: an untagged set with no effort logged lies under the share of the day's top system load, or was taken for a warm-up.
-- Body mass here is the athlete's mean, as in warm_ups.sql.
create or replace temp table touched as
with logged as (
    select athlete, body_mass_kg from sets where body_mass_kg is not null
    union all
    select athlete, body_mass_kg from days where body_mass_kg is not null
),
mass as (
    select athlete, avg(body_mass_kg) as body_mass_kg from logged group by athlete
),
loaded as (
    select
        s.athlete, s.date, s.exercise,
        s.kind_source = 'assumed' and s.rpe is null and s.rir is null as untagged,
        s.kind_source = 'assumed' and s.kind <> 'work' as taken,
        case when e.by_body then e.share * m.body_mass_kg + coalesce(s.load_kg, 0) else s.load_kg end as system_kg
    from sets s
    join exercise_loads e on e.exercise_id = s.exercise
    left join mass m on m.athlete = s.athlete
    where not s.planned and s.hold_s is null and {asked}
)
select athlete, date, exercise
from loaded
group by athlete, date, exercise
having bool_or(taken) or min(system_kg) filter (where untagged) < $share * max(system_kg)
