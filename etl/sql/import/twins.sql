-- paired, staged, sets -> twins. One row per set of the file that is stored: what the store and what the file says in the columns
-- that a later file may fill. A session that is only the date stands for one that nobody named.
create or replace temp table twins as
select
    p.set_id, f.athlete, f.date,
    s.time as stored_time, f.time as in_file_time,
    nullif(s.session, s.date::date::text) as stored_session, nullif(f.session, f.date::date::text) as in_file_session,
    s.modifiers as stored_modifiers, f.modifiers as in_file_modifiers,
    s.rpe as stored_rpe, f.rpe as in_file_rpe,
    s.rir as stored_rir, f.rir as in_file_rir,
    s.limited_by as stored_limited_by, f.limited_by as in_file_limited_by,
    s.pain_place as stored_pain_place, f.pain_place as in_file_pain_place,
    s.pain_score as stored_pain_score, f.pain_score as in_file_pain_score,
    s.body_mass_kg as stored_body_mass_kg, f.body_mass_kg as in_file_body_mass_kg,
    s.session_rpe as stored_session_rpe, f.session_rpe as in_file_session_rpe,
    s.minutes as stored_minutes, f.minutes as in_file_minutes,
    s.rest_s as stored_rest_s, f.rest_s as in_file_rest_s,
    s.tempo as stored_tempo, f.tempo as in_file_tempo,
    s.note as stored_note, f.note as in_file_note
from paired p
join staged f on f.place = p.place
join sets s on s.set_id = p.set_id
