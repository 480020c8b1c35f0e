-- What the two sides were compared by, and how sure the difference is. `measure`: e1rm (estimated maximum), hold (seconds held),
-- load (at equal repetitions) or reps (at one load). `date`: of the session whose values are shown. `difference_low_pct`,
-- `difference_high_pct`: the 80 % interval of the median difference, signed like it: + where the left is weaker.

alter table kept_sides add column measure text;
alter table kept_sides add column date date;
alter table kept_sides add column difference_low_pct double;
alter table kept_sides add column difference_high_pct double;
