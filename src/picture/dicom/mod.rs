//! DICOM (PS3.5, PS3.10): a still or a run, read to its pixels and to what it held beside them.
//!
//! The file is walked by the parser of dicom-rs, token by token: nothing is set aside for what a length says before
//! the bytes are there, and a nest of sequences goes no deeper than [`walk`] allows. Of the whole header only what the
//! pixels need is read; the values of attributes that identify somebody are not.

mod confidential;
mod frame;
mod rle;
mod walk;

pub use confidential::{Held, Sort, basic_profile};
pub use frame::Run;

use super::{Beside, Refused};

/// What a file says of writing burnt into its pixels (Burned In Annotation, 0028,0301).
#[derive(Debug, Default, Clone, Copy, PartialEq, Eq)]
pub enum BurntSays {
    /// There is some.
    Yes,
    /// There is none. Files are wrong about that.
    No,
    /// Nothing.
    #[default]
    Silent,
}

/// How the tube stood (Positioner Primary and Secondary Angle, 0018,1510 and 0018,1511), in degrees.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Angles {
    /// Towards the patient's left (LAO) positive, towards the right (RAO) negative.
    pub rotation: i16,
    /// Towards the head positive, towards the feet negative.
    pub tilt: i16,
}

/// Reads a DICOM file.
///
/// # Errors
/// Why it is not taken.
pub(super) fn read(bytes: &[u8]) -> Result<(Run, Beside), Refused> {
    let walked = walk::walk(bytes)?;
    let beside = Beside {
        kind: "DICOM",
        metadata: Vec::new(),
        identifying: walked.seen.held(),
        private: walked.seen.private(),
        burnt: walked.fields.burnt(),
        often_burnt: walked.fields.often_burnt(),
        angles: walked.fields.angles(),
    };
    Ok((Run::of(&walked.fields, walked.pixels, bytes)?, beside))
}
