-- A smaller index of words, quicker to fill: one column, and only which incident holds which word.
-- Beside it stand the words as they were written, so that a mistyped one finds its neighbours.

drop table incident_words;

create virtual table incident_text using fts5 (
    words,
    content = '', contentless_delete = 1, detail = none,
    tokenize = 'porter unicode61 remove_diacritics 2'
);

create table word (
    word text not null primary key            -- in small letters
) strict, without rowid;

insert into incident_text (rowid, words)
select i.number, concat_ws(' ', words, display, cause_note, done, parts, notes, i.drive, i.class, i.cause)
from incident i join revision r on r.number = i.number and r.revision = i.revision
where i.wrong = 0;

create virtual table temp.term_of_text using fts5vocab (main, incident_text, row);

insert or ignore into word select term from temp.term_of_text;

drop table temp.term_of_text;
