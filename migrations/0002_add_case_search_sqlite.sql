-- Full-text search over cases. FTS5 is SQLite's own: this file and case/search_sqlite.rs are the
-- two places that another database would replace. The row id is the id of the case.

create virtual table case_search using fts5 (
    title, story, events, lessons,
    tokenize = "unicode61 remove_diacritics 2",
    prefix = '2 3'
);
