-- The register of drives. Here too a change is a new revision, and the latest one is read.

create table drive (
    id text not null collate nocase,
    revision integer not null,
    recorded_at integer not null,             -- milliseconds since 1970, UTC
    name text not null,
    place text not null,
    duty text not null,
    model text not null,
    nameplate text not null,                  -- JSON: {"supply_voltage": "400 V"}
    notes text not null,
    primary key (id, revision)
) strict, without rowid;

create trigger drive_is_never_edited before update on drive
begin
    select raise(abort, 'a revision is never edited: add the next one');
end;

create trigger drive_is_never_deleted before delete on drive
begin
    select raise(abort, 'a revision is never deleted: add the next one');
end;
