//! The history of the record: who changed what and when, in an order that cannot be altered unseen.
//!
//! Every change of a table of the record ([`tracked`]) is written by the database itself, in the
//! transaction that makes it: a trigger writes the old and the new value of each field that changed. When the
//! transaction is committed, its changes are sealed as one *revision*: who, when, through which door, and a
//! digest over all of it and over the revision before. So nothing can be changed, left out or put in
//! between without breaking every digest after it ([`verify`]).
//!
//! A chain cannot show that its end was cut off. For that, a revision's number and digest can be written
//! down elsewhere and held against the chain later; and [`verify`] compares the record with what its
//! history adds up to.

mod author;
mod change;
mod digest;
mod fold;
mod rows_sqlite;
mod tracked;
mod triggers_sqlite;

pub mod store;
pub mod verify;

pub use author::{Author, Door, as_author};
pub use change::{Change, Fields, Kind, Revision};
pub use digest::{BEGINNING, Digest};
pub use fold::{Row, RowName, State, states_at};
pub use rows_sqlite::{TablePlan, bring, let_foreign_keys_wait};
pub use tracked::{Shown, TRACKED, Tracked, UNTRACKED};
pub use triggers_sqlite::{keep, seal_what_was_changed_elsewhere};
