-- The log of incidents. A revision is written once and never changed; the triggers see to it.
-- `incident` holds what lists, counts and filters need of the latest revision: it is derived, and
-- can be made again from `revision`.

create table incident (
    number integer primary key,               -- the running number that people use
    id text not null unique,                  -- ULID
    revision integer not null,                -- the latest one
    occurred_at integer not null,             -- milliseconds since 1970, UTC
    drive text collate nocase,
    class text,
    cause text,
    counted_as text,                          -- confirmed_by, if the incident counts towards its cause
    wrong integer not null                    -- 1 if marked wrong
) strict;

create table revision (
    number integer not null references incident (number),
    revision integer not null,
    recorded_at integer not null,
    occurred_at integer not null,
    drive text,
    class text,
    words text,
    display text,
    moment text,
    readings text,                            -- JSON: [{"what": …, "value": …}]
    walk text,                                -- question=answer;question=answer
    status text not null,
    cause text,
    cause_note text,
    confirmed_by text,
    done text,
    parts text,
    proof text,
    downtime_minutes integer,
    labour_minutes integer,
    who text,
    notes text,
    attachments text,                         -- JSON: ["…"]
    coding_mode text,
    coding_mechanism text,
    coding_cause text,
    coding_activity text,
    wrong text,                               -- the reason, if marked wrong
    knowledge_version text,
    digest integer not null,                  -- over all fields, to find flipped bits
    primary key (number, revision)
) strict, without rowid;

create trigger revision_is_never_edited before update on revision
begin
    select raise(abort, 'a revision is never edited: add the next one');
end;

create trigger revision_is_never_deleted before delete on revision
begin
    select raise(abort, 'a revision is never deleted: mark the incident wrong');
end;

create index incident_by_time on incident (occurred_at);
create index incident_by_class on incident (class, occurred_at);
create index incident_by_drive on incident (drive, occurred_at);
create index incident_by_cause on incident (cause, occurred_at);
create index incident_counts on incident (class, cause, counted_as) where counted_as is not null;

-- The words of the latest revision, under its number. Only the index is kept here, not the texts:
-- they are in `revision`.
create virtual table incident_words using fts5 (
    words, display, cause_note, done, parts, notes, names,
    content = '', contentless_delete = 1,
    tokenize = 'porter unicode61 remove_diacritics 2'
);
