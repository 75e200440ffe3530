-- The order, visibility and notes that a presenter gave to the screens of a case. A screen without a
-- row stands where the record puts it.
create table deck_screens (
    case_id integer not null references cases (id) on delete cascade,
    screen text not null,
    position integer not null,
    hidden integer not null default 0,
    -- Null: as the record suggests. The empty text: none.
    notes text,
    primary key (case_id, screen),
    constraint deck_screens_hidden_known check (hidden in (0, 1))
);
