//! The pages of cases.

mod downloads;
mod evidence;
mod files;
mod head;
mod identifiers;
mod judgement;
mod known;
mod limits;
mod list;
mod log;
mod markdown;
mod record;
mod response;
mod review;
mod rows;
mod sign;
mod stage;
mod stale;
mod time;
mod walk;
mod wrong;
mod wrong_head;
mod wrong_rows;
