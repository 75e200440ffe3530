-- The overview says what moved on every visit. This number changes with every row that a rate is
-- made of, so that the usual rates are worked out once for each change and not for each visit.
-- How a trigger is written is SQLite's own.

create table rates_version (
    version integer not null
);
insert into rates_version (version) values (0);

create trigger rates_change_with_case_added after insert on cases
begin update rates_version set version = version + 1; end;
create trigger rates_change_with_case_moved after update of id, procedure_month on cases
when old.procedure_month <> new.procedure_month or old.id <> new.id
begin update rates_version set version = version + 1; end;
create trigger rates_change_with_case_removed after delete on cases
begin update rates_version set version = version + 1; end;

create trigger rates_change_with_complication_added after insert on complications
begin update rates_version set version = version + 1; end;
create trigger rates_change_with_complication_changed
after update of case_id, mechanism, removed_at on complications
begin update rates_version set version = version + 1; end;
create trigger rates_change_with_complication_removed after delete on complications
begin update rates_version set version = version + 1; end;

create trigger rates_change_with_count_added after insert on procedures_at_risk
begin update rates_version set version = version + 1; end;
create trigger rates_change_with_count_changed after update on procedures_at_risk
begin update rates_version set version = version + 1; end;
create trigger rates_change_with_count_removed after delete on procedures_at_risk
begin update rates_version set version = version + 1; end;

create trigger rates_change_with_mechanism_added after insert on mechanisms
begin update rates_version set version = version + 1; end;
create trigger rates_change_with_mechanism_changed after update on mechanisms
begin update rates_version set version = version + 1; end;
