-- The kept counts follow every change of the record by themselves: what a case adds is taken off before
-- a change of it and put on after, whatever the change was. So a page's cost grows with
-- months and mechanisms, not with cases. How a trigger is written, and a table that is its own index,
-- are SQLite's own.

-- Cases by month, for the whole, each branch and each mechanism, and each of these among the cases
-- of which a trait holds or does not hold. A row that would count 0 may stand with 0.
create table kept_counts (
    trait text not null,
    holds integer not null,
    month text not null,
    kind text not null,
    subject text not null,
    cases integer not null,
    -- In this order a whole series lies together, and grouping by subject needs no sorting.
    primary key (trait, holds, kind, subject, month),
    constraint kept_counts_kind_known check (kind in ('whole', 'branch', 'mechanism')),
    constraint kept_counts_not_negative check (cases >= 0)
) without rowid;
create index kept_counts_by_subject on kept_counts (kind, subject, trait, holds, month, cases);

-- What each case adds to the counts: it counts once for the whole, once for each branch and once for
-- each mechanism, under each of its traits.
create view case_contributions as
select distinct complications.case_id, traits.trait, traits.holds,
       complications.procedure_month as month,
       kinds.kind,
       case kinds.kind
           when 'whole' then ''
           when 'branch' then (select branch from mechanisms where slug = complications.mechanism)
           else complications.mechanism
       end as subject
from complications
join case_traits as traits on traits.case_id = complications.case_id
cross join (select 'whole' as kind union all select 'branch' union all select 'mechanism') as kinds
-- The plus sign has one case found by its number rather than through the index over months.
where +complications.removed_at is null;

create trigger case_is_any after insert on cases
begin insert into case_traits (case_id, trait, holds) values (new.id, 'any', 1); end;

-- Complications. A row never changes its case, and none is written by an upsert: the triggers before would
-- then take off what is not put on again.
create trigger counts_before_complication_added before insert on complications
begin
    update kept_counts set cases = cases - 1
    where (trait, holds, kind, subject, month) in
        (select trait, holds, kind, subject, month from case_contributions where case_id = new.case_id);
end;
create trigger counts_after_complication_added after insert on complications
begin
    insert into kept_counts (trait, holds, month, kind, subject, cases)
    select trait, holds, month, kind, subject, 1 from case_contributions where case_id = new.case_id
    on conflict (trait, holds, kind, subject, month) do update set cases = cases + 1;
end;
create trigger counts_before_complication_changed
before update of case_id, procedure_month, mechanism, removed_at on complications
begin
    update kept_counts set cases = cases - 1
    where (trait, holds, kind, subject, month) in
        (select trait, holds, kind, subject, month from case_contributions where case_id = old.case_id);
end;
create trigger counts_after_complication_changed
after update of case_id, procedure_month, mechanism, removed_at on complications
begin
    insert into kept_counts (trait, holds, month, kind, subject, cases)
    select trait, holds, month, kind, subject, 1 from case_contributions where case_id = new.case_id
    on conflict (trait, holds, kind, subject, month) do update set cases = cases + 1;
end;
create trigger counts_before_complication_removed before delete on complications
begin
    update kept_counts set cases = cases - 1
    where (trait, holds, kind, subject, month) in
        (select trait, holds, kind, subject, month from case_contributions where case_id = old.case_id);
end;
create trigger counts_after_complication_removed after delete on complications
begin
    insert into kept_counts (trait, holds, month, kind, subject, cases)
    select trait, holds, month, kind, subject, 1 from case_contributions where case_id = old.case_id
    on conflict (trait, holds, kind, subject, month) do update set cases = cases + 1;
end;

-- Traits. A row is never changed in place: it goes and another comes.
create trigger counts_after_trait_added after insert on case_traits
begin
    insert into kept_counts (trait, holds, month, kind, subject, cases)
    select trait, holds, month, kind, subject, 1 from case_contributions
    where case_id = new.case_id and trait = new.trait
    on conflict (trait, holds, kind, subject, month) do update set cases = cases + 1;
end;
create trigger counts_before_trait_removed before delete on case_traits
begin
    update kept_counts set cases = cases - 1
    where (trait, holds, kind, subject, month) in
        (select trait, holds, kind, subject, month from case_contributions
         where case_id = old.case_id and trait = old.trait);
end;
create trigger traits_stay_as_they_are before update on case_traits
begin select raise(abort, 'case_traits_never_changed'); end;

-- A mechanism that moves to another branch takes its cases along.
create trigger counts_with_branch_changed after update of branch on mechanisms
when old.branch <> new.branch
begin
    delete from kept_counts where kind = 'branch' and subject in (old.branch, new.branch);
    insert into kept_counts (trait, holds, month, kind, subject, cases)
    select trait, holds, month, kind, subject, count(*) from case_contributions
    where kind = 'branch' and subject in (old.branch, new.branch)
    group by trait, holds, month, kind, subject;
end;

-- What was recorded before this step.
insert into case_traits (case_id, trait, holds) select id, 'any', 1 from cases;
