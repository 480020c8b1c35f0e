-- `shown_unit` is null until somebody says kg or lb: until then loads are shown in the unit that most of the log is written in. Before, kg stood
-- there for everybody, said or not, so that whoever had kg is asked by their log.
alter table athletes alter column shown_unit drop default;
update athletes set shown_unit = null where shown_unit = 'kg';
