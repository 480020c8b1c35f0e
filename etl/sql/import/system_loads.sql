-- sets, days, exercise_loads -> system_loads. One row per set that was done and is no hold, with the load that it moved: for one's own
-- body its share of the athlete's mean body mass and what was added. The mean moves the ratio of two sets by very little.
create or replace temp view system_loads as
with logged as (
    select athlete, body_mass_kg from sets where body_mass_kg is not null
    union all
    select athlete, body_mass_kg from days where body_mass_kg is not null
),
mass as (
    select athlete, avg(body_mass_kg) as body_mass_kg from logged group by athlete
)
select
    s.*,
    case when e.by_body then e.share * m.body_mass_kg + coalesce(s.load_kg, 0) else s.load_kg end as system_kg
from sets s
join exercise_loads e on e.exercise_id = s.exercise
left join mass m on m.athlete = s.athlete
where not s.planned and s.hold_s is null
