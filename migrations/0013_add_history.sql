-- Who changed what, when, and from what to what: revisions in a chain of digests, and the changes in each.

create table history_revisions (
    id integer primary key,
    -- The moment, in UTC.
    written_at text not null,
    -- No foreign key: the history outlasts the account.
    author_id integer,
    author text not null,
    door text not null,
    note text,
    previous text not null,
    digest text not null,
    constraint history_revisions_door_known
        check (door in ('page', 'command-line', 'program', 'elsewhere'))
);

create table history_changes (
    id integer primary key,
    revision integer not null,
    -- No foreign key: the history outlasts the case.
    case_id integer,
    table_name text not null,
    -- The primary key, as a JSON array.
    row_key text not null,
    kind text not null,
    -- An object of old and new by field. Null once the case was purged; then `erased` stands for it.
    fields text,
    salt text,
    erased text,
    constraint history_changes_kind_known check (kind in ('added', 'changed', 'deleted')),
    constraint history_changes_whole_or_erased check ((fields is null) = (erased is not null))
);
create index history_changes_by_revision on history_changes (revision, id);
create index history_changes_by_case on history_changes (case_id, id);
create index history_changes_by_table on history_changes (table_name, id);
