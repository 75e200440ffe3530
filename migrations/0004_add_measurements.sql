-- What the trade's definitions look at: laboratory values, what was observed, doses so far, the
-- first response to a harm; what a person said about response prompts; a department's own lists.

create table labs (
    id integer primary key,
    case_id integer not null references cases (id) on delete cascade,
    test text not null,
    drawn_seconds integer not null,
    -- Nobody knew the result before.
    returned_seconds integer,
    -- A number with its unit, as the hospital gives it.
    value text not null,
    -- The upper reference limit of the assay, with its unit.
    reference_limit text,
    removed_at text,
    constraint labs_test_known check (test in ('troponin', 'ck-mb', 'creatinine', 'haemoglobin', 'platelets'))
);
create index labs_by_case on labs (case_id, drawn_seconds, id);

create table observations (
    id integer primary key,
    case_id integer not null references cases (id) on delete cascade,
    family text not null,
    complication_id integer references complications (id) on delete set null,
    segment text,
    label text,
    removed_at text
);
create index observations_by_case on observations (case_id);
create index observations_by_complication on observations (complication_id);

create table observation_answers (
    observation_id integer not null references observations (id) on delete cascade,
    input text not null,
    value text not null,
    primary key (observation_id, input)
);

-- Contrast and air kerma as the equipment shows them at an event: all that was given so far.
alter table events add column contrast_so_far text;
alter table events add column air_kerma_so_far text;

alter table complications add column responded_event integer references events (id) on delete set null;
create index complications_by_responded on complications (responded_event);

create table prompt_remarks (
    id integer primary key,
    case_id integer not null references cases (id) on delete cascade,
    complication_id integer not null references complications (id) on delete cascade,
    list text not null,
    step text not null,
    -- One of these three: the event where it was done, why it does not apply, the answer to a question.
    event_id integer references events (id) on delete cascade,
    because text,
    answer text,
    constraint prompt_remarks_one_a_step unique (complication_id, list, step),
    constraint prompt_remarks_says_one check (
        (event_id is not null) + (because is not null) + (answer is not null) = 1
    ),
    constraint prompt_remarks_answer_known check (answer in ('yes', 'no'))
);
create index prompt_remarks_by_case on prompt_remarks (case_id);
create index prompt_remarks_by_event on prompt_remarks (event_id);

create table prompt_lists (
    slug text primary key,
    -- The list as a file; its steps, questions, signs and source.
    text text not null,
    retired integer not null
);
