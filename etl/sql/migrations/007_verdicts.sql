-- What a verdict's week knows beside its rate. `one_more_week`: this look alone rules out a gain worth having, the one
-- before did not. `band_offset`: how much higher sets of 6-10 repetitions read than sets of 1-5, in %, with one standard
-- error. `window_weeks`: over how many weeks a part was looked at.

alter table kept_strength add column one_more_week boolean;
alter table kept_strength add column band_offset double;
alter table kept_strength add column band_offset_se double;
alter table kept_part_strength add column one_more_week boolean;
alter table kept_part_strength add column window_weeks double;
