-- sets, days -> one athlete's body mass. One row per day on which one was logged.
with logged as (
    select date, body_mass_kg from sets where athlete = $athlete and body_mass_kg is not null
    union all
    select date, body_mass_kg from days where athlete = $athlete and body_mass_kg is not null
)
select date, avg(body_mass_kg) as body_mass_kg from logged group by date order by date
