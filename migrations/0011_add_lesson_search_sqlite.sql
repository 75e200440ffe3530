-- Lessons are found one by one in the library: their words, and the words that a lesson shares with
-- others. FTS5 is SQLite's own, as in the search over cases; the row id is the id of the lesson.

create virtual table lesson_search using fts5 (
    text, shared,
    tokenize = "unicode61 remove_diacritics 2",
    prefix = '2 3'
);

-- What was written before this step.
insert into lesson_search (rowid, text, shared)
select lessons.id, lessons.text, coalesce(recurring_lessons.text, '')
from lessons left join recurring_lessons on recurring_lessons.id = lessons.recurring_id
where lessons.removed_at is null;

-- The list of signed lessons, the last signed first.
create index lessons_by_signature on lessons (signed_on, id) where signed_by is not null and removed_at is null;
