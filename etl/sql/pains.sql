-- sets, days -> the pain notes of some athletes. One row per athlete, day and place, with the highest score of the day.
with noted as (
    select athlete, date, pain_place, pain_score from sets where athlete in (select unnest($athletes::text[])) and pain_place is not null
    union all
    select athlete, date, pain_place, pain_score from days where athlete in (select unnest($athletes::text[])) and pain_place is not null
)
select athlete, date, pain_place, max(pain_score) as pain_score from noted group by athlete, date, pain_place order by athlete, date, pain_place
