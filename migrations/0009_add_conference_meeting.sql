-- What a meeting needs beside a day, a name and an agenda: time boxes, roles, notes, who came (by role, never
-- by name), what became of carried-over actions, and that it is over.

alter table conferences add column length_minutes integer not null default 60
    constraint conferences_length_in_range check (length_minutes between 1 and 240);
-- The box of the carried-over actions that open the meeting; null when the meeting begins with a case.
alter table conferences add column carried_minutes integer default 10
    constraint conferences_carried_in_range check (carried_minutes between 1 and 240);
-- Roles are words such as "fellow on call", never names.
alter table conferences add column moderator text;
alter table conferences add column notes text;
alter table conferences add column ended_at text;

alter table conference_cases add column box_minutes integer not null default 25
    constraint conference_cases_box_in_range check (box_minutes between 1 and 240);
alter table conference_cases add column presenter text;
alter table conference_cases add column discussant text;
alter table conference_cases add column notes text;
-- Set while the case is off the agenda and can still be put back, with its box, its roles and its notes.
alter table conference_cases add column removed_at text;

create table conference_attendance (
    conference_id integer not null references conferences (id) on delete cascade,
    role text not null,
    people integer not null,
    primary key (conference_id, role),
    constraint conference_attendance_in_range check (people between 1 and 500)
);

-- What a meeting said of an action of an earlier case. The due day before stays to be read.
create table action_remarks (
    id integer primary key,
    action_id integer not null references actions (id) on delete cascade,
    conference_id integer not null references conferences (id) on delete cascade,
    became text not null,
    text text,
    due_before text not null,
    due_after text,
    done_on text,
    written_on text not null,
    constraint action_remarks_one_a_meeting unique (action_id, conference_id),
    constraint action_remarks_became_known check (became in ('done', 'still-open', 'dropped', 'not-reached')),
    constraint action_remarks_done_has_day check ((became = 'done') = (done_on is not null)),
    constraint action_remarks_open_has_due check ((became = 'still-open') = (due_after is not null)),
    constraint action_remarks_has_reason check ((became in ('still-open', 'dropped')) = (text is not null))
);
create index action_remarks_by_conference on action_remarks (conference_id);

-- The lessons and actions that were written in a meeting, so that its minutes can tell them from earlier ones.
create table conference_lessons (
    conference_id integer not null references conferences (id) on delete cascade,
    lesson_id integer not null references lessons (id) on delete cascade,
    primary key (conference_id, lesson_id)
);
create index conference_lessons_by_lesson on conference_lessons (lesson_id);

create table conference_actions (
    conference_id integer not null references conferences (id) on delete cascade,
    action_id integer not null references actions (id) on delete cascade,
    primary key (conference_id, action_id)
);
create index conference_actions_by_action on conference_actions (action_id);
