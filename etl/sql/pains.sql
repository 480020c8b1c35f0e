-- sets, days, notes -> the pain notes of some athletes. One row per athlete, day, place and exercise (null where a row of the log
-- or a note of the whole day says it), with the highest score of the day.
with noted as (
    select athlete, date, pain_place, pain_score, null as exercise from sets where athlete in (select unnest($athletes::text[])) and pain_place is not null
    union all
    select athlete, date, pain_place, pain_score, null as exercise from days where athlete in (select unnest($athletes::text[])) and pain_place is not null
    union all
    select athlete, date, place, score, nullif(subject, '') from notes where athlete in (select unnest($athletes::text[])) and kind = 'pain'
)
select athlete, date, pain_place, max(pain_score) as pain_score, exercise
from noted group by athlete, date, pain_place, exercise order by athlete, date, pain_place, exercise nulls first
