-- sets -> the logs of some athletes. One row per set or segment, by athlete, in the order in which it was done and written.
select
    athlete, date, time, coalesce(session, '') as session, exercise, exercise_as_written, name_key, modifiers, set_no, round_no, segment_no,
    kind, side, range, reps, load_kg, load_estimated, hold_s, rpe, rir, limited_by, pain_place, pain_score,
    session_rpe, minutes, planned, set_id,
    -- a person has said that the catalogue has no such exercise: it is not asked about again
    exercise is null and name_key in (select name_key from name_decisions where exercise = '') as none_of_these
from sets
where athlete in (select unnest($athletes::text[]))
order by athlete, date, coalesce(time, ''), set_id
