-- stale, kept_weeks, meta -> what must be worked out. One row per athlete, with the first Monday that is out of date: where
-- the log has changed, where a week that was kept as running has ended since or has its Sunday, or all where the rules have changed.
with found as (
    select athlete, from_week from stale
    union all
    select athlete, week as from_week from kept_weeks where so_far and week + 6 < $today::date
    union all
    -- On its Sunday a running week is reviewed as it stands.
    select athlete, week as from_week from kept_weeks w where so_far and week + 6 = $today::date
        and not exists (select 1 from kept_next n where n.athlete = w.athlete and n.week = w.week)
    union all
    select athlete, min(week) as from_week from kept_weeks
    where not exists (select 1 from meta where key = 'worked_out_with' and value = $worked_out_with)
    group by athlete
)
select athlete, min(from_week)::date as from_week from found group by athlete order by athlete
