-- Stills of a case. What is said of them is the record and has a history; their pixels have none, so that pixels
-- which are erased are gone.

create table pictures (
    id integer primary key,
    case_id integer not null references case_records (id) on delete cascade,
    -- The event that it shows; none when it belongs to no moment.
    event_id integer references events (id) on delete set null,
    caption text,
    -- What it shows, for a reader who does not see it.
    shows text not null,
    -- Degrees: towards the patient's left positive, towards the head positive.
    rotation integer,
    tilt integer,
    width integer not null,
    height integer not null,
    -- SHA-256 of the PNG.
    digest text not null,
    -- Who looked at exactly these pixels and found nothing that names anybody: the name at the time.
    confirmed_by text not null,
    confirmed_on text not null,
    removed_at text,
    constraint pictures_view_whole check ((rotation is null) = (tilt is null)),
    constraint pictures_size check (width between 1 and 1600 and height between 1 and 1600)
);
create index pictures_by_case on pictures (case_id);
create index pictures_by_event on pictures (event_id);
create index pictures_by_digest on pictures (digest);

create table picture_bytes (
    digest text primary key,
    -- A PNG that Relook wrote itself: header, pixels, end.
    png blob not null
);
