-- system_loads, asked -> touched. One row per athlete, day and exercise of `asked` in which the kind of a set may have to change: an
-- untagged set with no effort logged lies under the share of the day's top system load, or was taken for a warm-up.
create or replace temp table touched as
select s.athlete, s.date, s.exercise
from system_loads s
where {asked}
group by s.athlete, s.date, s.exercise
having bool_or(s.kind_source = 'assumed' and s.kind <> 'work')
    or min(s.system_kg) filter (where s.kind_source = 'assumed' and s.rpe is null and s.rir is null) < $share * max(s.system_kg)
