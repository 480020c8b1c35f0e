-- sets, days -> the body mass of some athletes. One row per athlete and day on which one was logged.
with logged as (
    select athlete, date, body_mass_kg from sets where athlete in (select unnest($athletes::text[])) and body_mass_kg is not null
    union all
    select athlete, date, body_mass_kg from days where athlete in (select unnest($athletes::text[])) and body_mass_kg is not null
)
select athlete, date, avg(body_mass_kg) as body_mass_kg from logged group by athlete, date order by athlete, date
