//! Why a file is not taken.

use super::{FRAMES, SIDE};

/// Why a file is not taken. Each says what to do.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Refused {
    /// It holds nothing.
    #[error("This file is empty. Choose another.")]
    Empty,
    /// It is something else.
    #[error("This is no PNG, JPEG or DICOM file, whatever its name says. {0}")]
    Kind(String),
    /// It is too large.
    #[error("This {kind} is larger than {most} megabytes. Send a shorter run, or one frame.")]
    Bytes {
        /// What it is.
        kind: &'static str,
        /// The most, in megabytes.
        most: usize,
    },
    /// It says that it has more pixels than are read.
    #[error(
        "This picture says that it has {width} × {height} pixels. At most {SIDE} × {SIDE} are read: make it smaller first."
    )]
    Size {
        /// Pixels in a line.
        width: u32,
        /// Lines.
        height: u32,
    },
    /// It says that it has no pixels.
    #[error("This picture says that it has no width or no height. Export it again.")]
    NoSize,
    /// It ends early, or contradicts itself.
    #[error("This {0} ends early or is damaged. Export it again, and send the whole file.")]
    Damaged(&'static str),
    /// Something follows the picture.
    #[error(
        "Something else follows the picture in this {0}. Open it in a viewer, save it as a new PNG, and send that."
    )]
    MoreBehind(&'static str),
    /// A way of packing that is not read.
    #[error(
        "The pixels of this DICOM file are packed as {0}, which is not read here. Export it uncompressed (Explicit VR Little Endian), or export the frame as a PNG."
    )]
    Packing(String),
    /// A way of coding that is not read.
    #[error(
        "This {kind} is coded in a way that is not read here ({what}). Save it as a plain PNG, and send that."
    )]
    Coding {
        /// What it is.
        kind: &'static str,
        /// The way.
        what: String,
    },
    /// A DICOM file without pixels.
    #[error("This DICOM file holds no picture. Send one of the run or the frame.")]
    NoPicture,
    /// More frames than are read.
    #[error(
        "This DICOM file says that it has {0} frames. At most {FRAMES} are read: send a shorter run, or one frame."
    )]
    Frames(i64),
    /// Fewer pixels than the header says.
    #[error(
        "This DICOM file says that it has {said} frames, and holds fewer. Export it again, and send the whole file."
    )]
    FewerFrames {
        /// What the header says.
        said: u32,
    },
    /// There is no such frame.
    #[error("There is no frame {0} in this run.")]
    NoFrame(u32),
}
