-- sets, days -> one athlete's pain notes. One row per day and place, with the highest score of the day.
with noted as (
    select date, pain_place, pain_score from sets where athlete = $athlete and pain_place is not null
    union all
    select date, pain_place, pain_score from days where athlete = $athlete and pain_place is not null
)
select date, pain_place, max(pain_score) as pain_score from noted group by date, pain_place order by date, pain_place
