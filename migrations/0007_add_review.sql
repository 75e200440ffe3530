-- The review of a case: decision points, what reviewers think of them and of the case, the weight
-- of causes, versions of lessons and lessons that recur, what actions answer and how their state went.

create table decisions (
    id integer primary key,
    case_id integer not null references cases (id) on delete cascade,
    key text not null,
    -- What was known is what had happened by this second.
    offset_seconds integer not null,
    question text not null,
    -- The number of an option, from 1.
    chosen integer,
    chosen_by text,
    followed text,
    removed_at text,
    constraint decisions_key_unique unique (case_id, key)
);
create index decisions_by_case on decisions (case_id, offset_seconds, id);

create table decision_options (
    decision_id integer not null references decisions (id) on delete cascade,
    position integer not null,
    text text not null,
    primary key (decision_id, position)
);

create table decision_reasons (
    decision_id integer not null references decisions (id) on delete cascade,
    option_position integer not null,
    side text not null,
    position integer not null,
    text text not null,
    primary key (decision_id, option_position, side, position),
    constraint decision_reasons_side_known check (side in ('for', 'against'))
);

-- What a reviewer would have chosen. Closed to every other reviewer who has not given theirs.
create table option_judgements (
    decision_id integer not null references decisions (id) on delete cascade,
    user_id integer not null references users (id) on delete cascade,
    -- The option in its words, which may be written anew later.
    option_text text not null,
    reason text,
    given_on text not null,
    primary key (decision_id, user_id)
);

-- Judgements of a case, each reviewer's own first, and once more after the discussion. The own
-- one is given once and stays.
create table case_judgements (
    case_id integer not null references cases (id) on delete cascade,
    user_id integer not null references users (id) on delete cascade,
    round text not null,
    avoidability integer not null,
    care integer not null,
    remark text,
    given_on text not null,
    primary key (case_id, user_id, round),
    constraint case_judgements_round_known check (round in ('own', 'after')),
    constraint case_judgements_avoidability_in_range check (avoidability between 1 and 6),
    constraint case_judgements_care_in_range check (care between 1 and 3)
);

alter table causes add column weight text;

create table recurring_lessons (
    id integer primary key,
    text text not null,
    constraint recurring_lessons_text_unique unique (text)
);

alter table lessons add column reference text;
alter table lessons add column decision_id integer references decisions (id) on delete set null;
alter table lessons add column recurring_id integer references recurring_lessons (id) on delete set null;
alter table lessons add column version integer not null default 1;
create index lessons_by_decision on lessons (decision_id);
create index lessons_by_recurring on lessons (recurring_id, case_id);

-- A lesson as it was signed, kept when its words change afterwards.
create table lesson_versions (
    lesson_id integer not null references lessons (id) on delete cascade,
    version integer not null,
    kind text not null,
    text text not null,
    reference text,
    signed_by text not null,
    signed_on text not null,
    primary key (lesson_id, version)
);

alter table actions add column kind text;
alter table actions add column target text;
alter table actions add column for_cause text references cause_leaves (slug);
alter table actions add column for_mechanism text references mechanisms (slug);
create index actions_by_cause on actions (for_cause, case_id);
create index actions_by_mechanism on actions (for_mechanism, case_id);

create table action_states (
    action_id integer not null references actions (id) on delete cascade,
    position integer not null,
    state text not null,
    due text not null,
    -- The moment, in UTC.
    written_at text not null,
    primary key (action_id, position),
    constraint action_states_state_known check (state in ('open', 'done', 'dropped'))
);
