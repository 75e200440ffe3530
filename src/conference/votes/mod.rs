//! Votes of the room at a decision point: a question, two to six options, and how many chose each.
//!
//! A poll is anonymous. It counts hands that the presenter types, and at most one vote from each
//! [`Device`], of which only a digest is kept that is another in every poll. The same decision can be
//! asked twice, before and after it is discussed; the latest poll of a [`Phase`] is the one that
//! counts, see [`that_counts`].

mod ballot;
mod code;
mod device;
mod poll;
mod told;

pub mod store;

pub use ballot::{Ballot, BallotError, CountError, HandCounts, Hands, MOST_OPTIONS, Position};
pub use code::{PollCode, PollCodeError};
pub use device::{Device, DeviceDigest};
pub use poll::{Poll, Slip, Tally, that_counts};
pub use told::in_words;

use crate::quantity::words;

words!(
    /// When the room answers: before the decision is discussed, or after.
    Phase, "a phase of a vote", {
        Before = "before", "Before the discussion";
        After = "after", "After the discussion";
    }
);
