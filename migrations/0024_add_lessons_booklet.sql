-- Which lessons somebody left out of the booklet of their year. All other signed lessons of presented cases are in it.

create table booklet_left_out (
    lesson_id integer primary key references lessons (id) on delete cascade
);
