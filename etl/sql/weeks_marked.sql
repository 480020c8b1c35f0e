-- marked_weeks -> the weeks of some athletes that a person has marked. One row per athlete and week.
select athlete, week, mark, said_at from marked_weeks where athlete in (select unnest($athletes::text[])) order by athlete, week
