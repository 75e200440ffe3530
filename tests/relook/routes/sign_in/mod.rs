//! Getting in: by password, by link, by code; and being kept out.

mod code;
mod link;
mod password;
mod secrets;
mod session;
mod tries;
