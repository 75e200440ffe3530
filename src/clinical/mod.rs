//! The trade's definitions, computed and explained.
//!
//! [`Facts`] go in, [`Finding`]s come out: a grade with the clause that decided it; not met, with
//! the clause; or not decidable, with what is missing. A missing input is never read as "no" or as
//! zero. Where sources clash, the rules on offer have names and a department takes one ([`Choices`]).
//!
//! One file holds one definition with its rule, its boundaries and its sources, and
//! [`DEFINITIONS`] lists them all; pages, summary and export read that list. For peer review and
//! teaching: nothing here diagnoses, and local protocol and licensed judgement decide.

pub mod answer;
pub mod choices;
pub mod definition;
pub mod facts;
pub mod finding;
mod look;
pub mod quantities;
pub mod words;

pub use answer::{Answer, Judgement};
pub use definition::{Definition, Section, Source, Standing};
pub use choices::{Choices, Chosen, Question};
pub use facts::{Facts, Family, Input, Kind, Sample, Subject};
pub use finding::{Finding, Grade, Used, Verdict};
