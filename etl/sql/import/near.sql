-- sets, people -> near. One row per stored set that the file may hold again: of one of its athletes, between its first and last
-- day of that athlete, with the identity that says which sets are the same set.
create or replace temp table near as
select s.set_id, {identity} as identity
from sets s join people p on p.athlete = s.athlete and s.date between p.first and p.last
where s.date between (select min(first) from people) and (select max(last) from people)
