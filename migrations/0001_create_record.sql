-- The whole record of the first version: accounts, vocabularies, cases and what hangs on them,
-- procedures at risk, conferences. Standard types and named constraints only.

create table users (
    id integer primary key,
    name text not null,
    role text not null,
    password_hash text,
    ended_at text,
    created_at text not null,
    constraint users_name_unique unique (name),
    constraint users_role_known check (role in ('fellow', 'attending', 'quality-lead', 'reader'))
);

create table sessions (
    token_digest text primary key,
    -- A session ends with its account.
    user_id integer not null references users (id) on delete cascade,
    created_at text not null,
    expires_at text not null
);
create index sessions_by_user on sessions (user_id);

create table sign_in_links (
    token_digest text primary key,
    user_id integer not null references users (id) on delete cascade,
    reusable integer not null,
    expires_at text not null,
    used_at text
);

create table strata (
    slug text primary key,
    label text not null,
    definition text not null,
    position integer not null
);

create table mechanism_branches (
    slug text primary key,
    label text not null,
    definition text not null,
    position integer not null
);

create table mechanisms (
    slug text primary key,
    branch text not null references mechanism_branches (slug),
    label text not null,
    definition text not null,
    example text not null,
    -- Everyday words that find the leaf, separated by semicolons.
    words text not null,
    at_risk text not null references strata (slug),
    role text not null,
    own integer not null,
    retired integer not null,
    position integer not null,
    constraint mechanisms_role_known check (role in ('primary', 'contributory'))
);

create table cause_branches (
    slug text primary key,
    label text not null,
    definition text not null,
    position integer not null
);

create table cause_leaves (
    slug text primary key,
    branch text not null references cause_branches (slug),
    label text not null,
    definition text not null,
    example text not null,
    words text not null,
    london_protocol text not null,
    icps text not null,
    own integer not null,
    retired integer not null,
    position integer not null
);

create table cases (
    id integer primary key,
    code_year integer not null,
    code_number integer not null,
    title text not null,
    procedure_month text not null,
    stage text not null,
    time_zero text,
    situation text,
    narrative text,
    -- Years; 90 stands for "90 or older".
    patient_age integer,
    sex text,
    presentation text,
    egfr integer,
    weight_kg integer,
    urgency text,
    strategy text,
    discharge text,
    harm text,
    recorded_by integer references users (id) on delete set null,
    created_at text not null,
    updated_at text not null,
    constraint cases_code_unique unique (code_year, code_number),
    constraint cases_month_form check (length(procedure_month) = 7),
    constraint cases_stage_known check (stage in ('recorded', 'in-preparation', 'ready', 'presented', 'closed')),
    constraint cases_age_in_range check (patient_age between 18 and 90),
    constraint cases_egfr_in_range check (egfr between 1 and 200),
    constraint cases_weight_in_range check (weight_kg between 25 and 300)
);
-- Unique, so that a complication can point to its case and month together.
create unique index cases_by_month on cases (procedure_month, id);
create index cases_by_stage on cases (stage, procedure_month, id);
create index cases_by_update on cases (updated_at, id);
create index cases_by_recorder on cases (recorded_by, updated_at, id, stage);

create table case_history_terms (
    case_id integer not null references cases (id) on delete cascade,
    position integer not null,
    term text not null,
    primary key (case_id, position)
);

create table case_accesses (
    case_id integer not null references cases (id) on delete cascade,
    position integer not null,
    access text not null,
    primary key (case_id, position)
);

create table lesions (
    id integer primary key,
    case_id integer not null references cases (id) on delete cascade,
    segment text not null,
    calcification text,
    tortuosity text,
    medina text,
    cto integer not null,
    ostial integer not null,
    length_hundredths_mm integer,
    reference_hundredths_mm integer,
    -- Set while the row is taken out and can still be put back.
    removed_at text
);
create index lesions_by_case on lesions (case_id);
create index lesions_by_segment on lesions (segment, case_id);

create table events (
    id integer primary key,
    case_id integer not null references cases (id) on delete cascade,
    key text not null,
    offset_seconds integer not null,
    certainty text not null,
    within_minutes integer,
    kind text not null,
    segment text,
    flow integer,
    systolic integer,
    diastolic integer,
    heart_rate integer,
    device text,
    text text,
    removed_at text,
    constraint events_key_unique unique (case_id, key),
    constraint events_certainty_known check (certainty in ('exact', 'within', 'order')),
    constraint events_within_in_range check ((certainty = 'within') = (within_minutes is not null)),
    constraint events_flow_in_range check (flow between 0 and 3),
    constraint events_pressure_whole check ((systolic is null) = (diastolic is null))
);
create index events_by_case on events (case_id, offset_seconds, id);
create index events_by_segment on events (segment, case_id);

create table complications (
    id integer primary key,
    case_id integer not null,
    -- The month of the case, so that rates are counted from one index; the key below keeps it so.
    procedure_month text not null,
    key text not null,
    mechanism text not null references mechanisms (slug),
    segment text,
    began_event integer references events (id) on delete set null,
    recognised_event integer references events (id) on delete set null,
    controlled_event integer references events (id) on delete set null,
    dissection text,
    perforation text,
    worst_flow integer,
    -- The harm that led to this one; when that row goes, this becomes an index harm.
    consequence_of integer references complications (id) on delete set null,
    removed_at text,
    constraint complications_month_of_case foreign key (case_id, procedure_month)
        references cases (id, procedure_month) on update cascade on delete cascade,
    constraint complications_key_unique unique (case_id, key),
    constraint complications_flow_in_range check (worst_flow between 0 and 3),
    constraint complications_not_of_itself check (consequence_of <> id)
);
create index complications_by_case on complications (case_id);
-- These two answer the counts behind the rates by themselves, without a look at the rows.
create index complications_by_month on complications (removed_at, procedure_month, mechanism, case_id);
create index complications_by_mechanism on complications (mechanism, removed_at, procedure_month, case_id);
create index complications_by_segment on complications (segment, case_id);
create index complications_by_began on complications (began_event);
create index complications_by_recognised on complications (recognised_event);
create index complications_by_controlled on complications (controlled_event);
create index complications_by_parent on complications (consequence_of);

create table causes (
    id integer primary key,
    case_id integer not null references cases (id) on delete cascade,
    cause text not null references cause_leaves (slug),
    statement text not null,
    removed_at text
);
create index causes_by_case on causes (case_id);
create index causes_by_leaf on causes (cause, case_id);

create table cause_events (
    cause_id integer not null references causes (id) on delete cascade,
    event_id integer not null references events (id) on delete cascade,
    position integer not null,
    primary key (cause_id, event_id)
);
create index cause_events_by_event on cause_events (event_id);

create table lessons (
    id integer primary key,
    case_id integer not null references cases (id) on delete cascade,
    kind text not null,
    text text not null,
    event_id integer references events (id) on delete set null,
    signed_by_user integer references users (id) on delete set null,
    -- The name at the time of signing; it stays when the account changes.
    signed_by text,
    signed_on text,
    removed_at text,
    constraint lessons_signature_whole check ((signed_by is null) = (signed_on is null))
);
create index lessons_by_case on lessons (case_id);
create index lessons_by_event on lessons (event_id);
-- Few of the many: what an attending is asked to sign.
create index lessons_unsigned on lessons (id) where signed_by is null and removed_at is null;

create table actions (
    id integer primary key,
    case_id integer not null references cases (id) on delete cascade,
    what text not null,
    owner text not null,
    due text not null,
    strength text not null,
    measure text,
    state text not null,
    removed_at text,
    constraint actions_strength_known check (strength in ('stronger', 'intermediate', 'weaker')),
    constraint actions_state_known check (state in ('open', 'done', 'dropped'))
);
create index actions_by_case on actions (case_id);
create index actions_by_state on actions (state, due);

create table procedures_at_risk (
    month text not null,
    stratum text not null references strata (slug),
    procedures integer not null,
    primary key (month, stratum),
    constraint procedures_at_risk_not_negative check (procedures between 0 and 100000)
);

create table conferences (
    id integer primary key,
    held_on text not null,
    title text not null,
    constraint conferences_day_unique unique (held_on)
);

create table conference_cases (
    conference_id integer not null references conferences (id) on delete cascade,
    case_id integer not null references cases (id) on delete cascade,
    position integer not null,
    primary key (conference_id, case_id)
);
create index conference_cases_by_case on conference_cases (case_id);

create table settings (
    name text primary key,
    value text not null
);
