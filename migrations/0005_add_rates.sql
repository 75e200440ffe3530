-- What the rates need beside cases and procedures at risk: what a case is counted under, how
-- long each harm took, when an action was done, which
-- months a chart is judged against, and the operators that only the quality lead sees.

-- What is true of a case: `any` of each, and features by which cases are told apart. A feature
-- that the case does not speak of has no row.
create table case_traits (
    case_id integer not null references cases (id) on delete cascade,
    trait text not null,
    holds integer not null,
    primary key (case_id, trait),
    constraint case_traits_holds_known check (holds in (0, 1))
);

-- How long a harm took, in seconds; null where the case does not say.
create table complication_times (
    complication_id integer primary key references complications (id) on delete cascade,
    recognised_after integer,
    -- From flow lost to flow restored; while `restored` is 0, at least so long.
    without_flow integer,
    restored integer,
    constraint complication_times_flow_whole check ((without_flow is null) = (restored is null))
);

alter table actions add column done_on text;

-- The months that a chart is judged against, when somebody set them: an explicit, dated act with a
-- reason. The last row of a subject holds; the earlier ones stay to be read.
create table baselines (
    id integer primary key,
    kind text not null,
    subject text not null,
    from_month text not null,
    to_month text not null,
    reason text not null,
    -- The name at the time; it stays when the account changes.
    set_by text not null,
    set_on text not null,
    constraint baselines_kind_known check (kind in ('whole', 'branch', 'mechanism'))
);
create index baselines_by_subject on baselines (kind, subject, id);

-- Pseudonyms, never names. They stand in no case, no case file and no report.
create table operators (
    id integer primary key,
    pseudonym text not null,
    ended integer not null default 0,
    constraint operators_pseudonym_unique unique (pseudonym)
);

create table operator_procedures (
    month text not null,
    operator_id integer not null references operators (id) on delete cascade,
    procedures integer not null,
    primary key (month, operator_id),
    constraint operator_procedures_not_negative check (procedures between 0 and 10000)
);

create table case_operators (
    case_id integer primary key references cases (id) on delete cascade,
    operator_id integer not null references operators (id) on delete cascade
);
create index case_operators_by_operator on case_operators (operator_id);
