-- What the room answered at a decision point of a case, before and after it was discussed: a question
-- with two to six options, hands counted in the room, and one vote from each phone.

create table polls (
    id integer primary key,
    case_id integer not null references cases (id) on delete cascade,
    -- The decision point inside its case; the words are kept as the room saw them.
    decision_key text not null,
    phase text not null,
    question text not null,
    -- What phones open; never given twice.
    code text not null,
    opened_at text not null,
    closed_at text,
    constraint polls_phase_known check (phase in ('before', 'after')),
    constraint polls_code_unique unique (code)
);
-- The latest of a decision and a phase is the one that counts; the former ones stay to be read.
create index polls_by_case on polls (case_id, decision_key, phase, id);
-- Opening again waits until the former is closed.
create unique index polls_one_open on polls (case_id, decision_key, phase) where closed_at is null;

create table poll_options (
    poll_id integer not null references polls (id) on delete cascade,
    position integer not null,
    text text not null,
    hands integer not null default 0,
    primary key (poll_id, position),
    constraint poll_options_two_to_six check (position between 1 and 6),
    constraint poll_options_hands_counted check (hands between 0 and 999)
);

-- A device is a digest that is another in every poll, so that nobody can be followed from one to the next.
create table poll_votes (
    poll_id integer not null,
    device_digest text not null,
    position integer not null,
    primary key (poll_id, device_digest),
    constraint poll_votes_for_an_option foreign key (poll_id, position)
        references poll_options (poll_id, position) on delete cascade
);
create index poll_votes_by_option on poll_votes (poll_id, position);
