-- incoming -> staged. One row per set of the file, with the identity that says which sets are the same set.
create or replace temp table staged as
select
    *,
    md5(concat_ws('|',
        athlete, date::text, name_key,
        coalesce(set_no::text, '-'), coalesce(round_no::text, '-'), coalesce(segment_no::text, '-'),
        side, range, kind,
        coalesce(round(reps * 100)::bigint::text, '-'),
        coalesce(round(load_kg * 100)::bigint::text, '-'),
        coalesce(round(hold_s * 10)::bigint::text, '-'),
        planned::text
    )) as identity
from incoming
