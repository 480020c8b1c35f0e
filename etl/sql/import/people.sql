-- incoming or staged -> people. One row per athlete of the file: its first and last day, and the first day that it can change, as a body
-- mass also speaks for the days before it.
create or replace temp table people as
select
    athlete, min(date)::date as first, max(date)::date as last,
    least(min(date)::date, coalesce(min(date) filter (where body_mass_kg is not null)::date - $days::integer, min(date)::date)) as changed
from {rows}
group by athlete
