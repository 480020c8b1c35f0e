-- What a part's pooled rate is of: `estimates` (estimated maxima, % a week) or `repetitions` (repetitions and seconds at the same load).

alter table kept_part_strength add column measure text;
