-- The history is only ever added to. The one exception is a purge: what a change holds goes, and its
-- digest stays in its place. How a trigger is written is SQLite's own.

create trigger history_revisions_stay before update on history_revisions
begin select raise(abort, 'history_is_only_added_to'); end;
create trigger history_revisions_are_not_deleted before delete on history_revisions
begin select raise(abort, 'history_is_only_added_to'); end;
create trigger history_changes_are_not_deleted before delete on history_changes
begin select raise(abort, 'history_is_only_added_to'); end;
create trigger history_changes_are_only_erased before update on history_changes
when old.erased is not null or new.erased is null or new.fields is not null or new.salt is not null
  or new.id is not old.id or new.revision is not old.revision or new.case_id is not old.case_id
  or new.table_name is not old.table_name or new.row_key is not old.row_key or new.kind is not old.kind
begin select raise(abort, 'history_is_only_added_to'); end;
create trigger history_changes_belong_to_the_next_revision before insert on history_changes
when new.revision is not (select coalesce(max(id), 0) + 1 from history_revisions) or new.erased is not null
begin select raise(abort, 'history_is_only_added_to'); end;
