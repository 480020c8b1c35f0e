-- days -> what rows without sets of some athletes say of a session. One row per such row that has its RPE or its minutes.
select athlete, date, session_rpe, minutes from days
where athlete in (select unnest($athletes::text[])) and (session_rpe is not null or minutes is not null)
order by athlete, date, source_row
