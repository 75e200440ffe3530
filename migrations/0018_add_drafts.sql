-- What a person typed and has not saved yet: for that person alone, until it is saved, discarded or old.

create table drafts (
    user_id integer not null references users (id) on delete cascade,
    -- Where the form is sent: one draft a form.
    action text not null,
    -- The page that holds the form.
    page text not null,
    title text not null,
    -- Names and values as a form sends them.
    fields text not null,
    written_at text not null,
    primary key (user_id, action)
);
create index drafts_by_time on drafts (user_id, written_at);
create index drafts_by_action on drafts (action);
