-- What a person chose on a walk through a case, kept for that person alone.

-- How often a person began; none is once.
create table walks (
    user_id integer not null references users (id) on delete cascade,
    case_id integer not null references cases (id) on delete cascade,
    number integer not null,
    primary key (user_id, case_id),
    constraint walks_number_counts check (number >= 1)
);
create index walks_by_case on walks (case_id);

create table walk_answers (
    user_id integer not null references users (id) on delete cascade,
    case_id integer not null references cases (id) on delete cascade,
    -- The key outlasts a decision that is taken out and put back.
    decision_key text not null,
    -- The walk on which it was given.
    walk integer not null,
    -- The option in its words, which may be written anew later.
    option_text text not null,
    reason text,
    given_on text not null,
    primary key (user_id, case_id, decision_key, walk)
);
create index walk_answers_by_case on walk_answers (case_id);
