-- The minutes of the latest revision, beside what else lists and counts need of it, so that sums over
-- a large log read the small table only.

alter table incident add column downtime_minutes integer;
alter table incident add column labour_minutes integer;

update incident set (downtime_minutes, labour_minutes) = (
    select r.downtime_minutes, r.labour_minutes from revision r
    where r.number = incident.number and r.revision = incident.revision
);
