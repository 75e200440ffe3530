-- What protects signing in: when each account and each session was last used, and from what kind of browser;
-- a second factor with its recovery codes; the step between a right password and a right code.

-- When the account last signed in; null while nobody ever has.
alter table users add column signed_in_at text;
update users set signed_in_at = created_at
where password_hash is not null
   or exists (select 1 from sessions where sessions.user_id = users.id)
   or exists (select 1 from sign_in_links where sign_in_links.user_id = users.id and used_at is not null);

alter table sessions add column last_used_at text;
-- In rough words, such as "Firefox on Linux"; empty when it did not say.
alter table sessions add column browser text;
-- The role when its secret was given out: when the account has another now, the secret is changed.
alter table sessions add column role text;
update sessions set last_used_at = created_at, browser = '',
    role = (select role from users where users.id = sessions.user_id);

create index sign_in_links_by_user on sign_in_links (user_id);

create table second_factors (
    user_id integer primary key references users (id) on delete cascade,
    secret text not null,
    -- Null until a first code has shown that the person has the secret.
    confirmed_at text,
    -- The time step of the last code that was accepted: no code of it or of an earlier one is accepted again.
    last_step integer not null
);

create table recovery_codes (
    code_digest text primary key,
    user_id integer not null references users (id) on delete cascade,
    used_at text
);
create index recovery_codes_by_user on recovery_codes (user_id);

-- Somebody whose password or link was right and whose code is still to come.
create table sign_in_steps (
    token_digest text primary key,
    user_id integer not null references users (id) on delete cascade,
    began_at text not null
);
create index sign_in_steps_by_user on sign_in_steps (user_id);
