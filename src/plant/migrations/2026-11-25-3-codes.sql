-- The code sheet: what the plant's own drives show, and the fault class it stands for. Here too a
-- change is a new revision; a code that was taken off the sheet is marked.

create table code (
    key text not null,                        -- the letters and digits of what is shown
    model text not null collate nocase,
    revision integer not null,
    recorded_at integer not null,             -- milliseconds since 1970, UTC
    shown text not null,
    class text not null,
    note text not null,
    removed integer not null,
    primary key (key, model, revision)
) strict, without rowid;

create trigger code_is_never_edited before update on code
begin
    select raise(abort, 'a revision is never edited: add the next one');
end;

create trigger code_is_never_deleted before delete on code
begin
    select raise(abort, 'a revision is never deleted: add the next one');
end;
