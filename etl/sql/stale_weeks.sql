-- stale, kept_weeks -> what must be worked out. One row per athlete, with the first Monday that is out of date: where the
-- log has changed, or where a week that was kept as running has ended since.
with found as (
    select athlete, from_week from stale
    union all
    select athlete, week as from_week from kept_weeks where so_far and week + 6 < $today::date
)
select athlete, min(from_week)::date as from_week from found group by athlete order by athlete
