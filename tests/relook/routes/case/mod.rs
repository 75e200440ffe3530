//! The pages of cases.

mod files;
mod head;
mod limits;
mod list;
mod markdown;
mod record;
mod rows;
mod sign;
mod stage;
mod stale;
mod time;
mod wrong;
mod wrong_head;
mod wrong_rows;
