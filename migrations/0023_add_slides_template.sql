-- The department's own slides, of which decks take the master: cleaned, one at most.

create table slides_template (
    id integer primary key constraint slides_template_one check (id = 1),
    -- A presentation without slides, as it was written anew from what was sent.
    package blob not null,
    kept_at text not null
);
