-- A case can be withdrawn, with a reason, and put back until it is purged. Everything else reads `cases`,
-- which is those that are not withdrawn: no statement has to remember to leave them out.

alter table cases rename to case_records;

alter table case_records add column withdrawn_at text;
-- The name at the time; it stays when the account changes.
alter table case_records add column withdrawn_by text;
alter table case_records add column withdrawn_because text
    constraint case_records_withdrawn_with_reason
    check ((withdrawn_at is null) = (withdrawn_because is null));

create view cases as
select id, code_year, code_number, title, procedure_month, stage, time_zero, situation, narrative, patient_age,
       sex, presentation, egfr, weight_kg, urgency, strategy, discharge, harm, recorded_by, created_at, updated_at
from case_records
where withdrawn_at is null;

create view withdrawn_cases as
select id, code_year, code_number, title, stage, withdrawn_at, withdrawn_by, withdrawn_because
from case_records
where withdrawn_at is not null;

-- The indexes behind lists hold no withdrawn case either.
drop index cases_by_stage;
drop index cases_by_update;
drop index cases_by_recorder;
create index cases_by_stage on case_records (stage, procedure_month, id) where withdrawn_at is null;
create index cases_by_update on case_records (updated_at, id) where withdrawn_at is null;
create index cases_by_recorder on case_records (recorded_by, updated_at, id, stage) where withdrawn_at is null;
create index case_records_withdrawn on case_records (withdrawn_at) where withdrawn_at is not null;

-- What is left of a case that was purged: its code, so that no other gets it, and why and when it went.
create table purged_cases (
    case_id integer primary key,
    code_year integer not null,
    code_number integer not null,
    withdrawn_at text not null,
    withdrawn_by text not null,
    -- The day of the purge.
    purged_on text not null,
    constraint purged_cases_code_unique unique (code_year, code_number)
);
