-- The overview's rates are worked out again when a case is withdrawn or put back. How a trigger is written is
-- SQLite's own.

create trigger rates_change_with_case_withdrawn after update of withdrawn_at on case_records
when old.withdrawn_at is not new.withdrawn_at
begin update rates_version set version = version + 1; end;
