-- What in the words of a case looks like an identifier and is not settled: it holds the case back. Worked out
-- from the case and its dismissals at each save, so that lists and pages need not read the words again.

create table case_findings (
    case_id integer not null references case_records (id) on delete cascade,
    -- The address of a text: event.12, narrative.
    place text not null,
    -- Bytes of the text.
    starts integer not null,
    ends integer not null,
    -- What it may be, in words.
    kind text not null,
    primary key (case_id, place, starts),
    constraint case_findings_lie_in_a_text check (starts >= 0 and ends > starts)
);

-- With what a case was last looked through: the program's finders and the department's list.
create table case_findings_read (
    case_id integer primary key references case_records (id) on delete cascade,
    version text not null
);
create index case_findings_read_by_version on case_findings_read (version, case_id);

-- Words that look like an identifier and are none, with the reason: in one case, or, where no case is named,
-- everywhere. The words themselves are not kept here.
create table dismissed_identifiers (
    id integer primary key,
    case_id integer references case_records (id) on delete cascade,
    words_digest text not null,
    kind text not null,
    because text not null,
    -- The name at the time; it stays when the account changes.
    dismissed_by text not null,
    dismissed_at text not null,
    constraint dismissed_identifiers_once unique (case_id, words_digest)
);

-- The department's own names and the forms of its numbers, as salted digests alone.
create table own_words (
    digest text primary key,
    head text not null,
    sort text not null constraint own_words_sort check (sort in ('person', 'place', 'number'))
);
create table own_words_salt (
    only integer primary key constraint own_words_salt_only_one check (only = 1),
    salt text not null,
    -- Counts up with each change of the list.
    revision integer not null
);
