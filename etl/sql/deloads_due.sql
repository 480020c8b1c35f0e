-- blocks -> the weeks in which a deload is due, of some athletes. One row per athlete and week, with the block that began last.
select athlete, deload_due as week, aim, starts, ends from blocks
where athlete in (select unnest($athletes::text[])) and deload_due is not null
qualify row_number() over (partition by athlete, deload_due order by starts desc, block_id desc) = 1
order by athlete, week
