//! Pictures: a file that somebody brings becomes pixels, and pixels become a PNG that holds nothing else.
//!
//! Nothing of a file passes but its pixels: no name, no date, no metadata, no thumbnail, nothing that stands before or
//! behind the picture. What a file is, its first bytes say, never its name. Sizes are read from the header and refused
//! before anything is set aside for them.
//!
//! - [`read`]: a file to a [`Source`], with what it held beside its pixels;
//! - [`pixels`]: pixels, made smaller, burnt out;
//! - [`png`], [`jpeg`], [`dicom`]: the three kinds of file;
//! - [`bare`]: a picture file without what it says beside its picture;
//! - [`burnt_in`]: a look for writing at the edges of a picture.

pub mod bare;
pub mod burnt_in;
pub mod dicom;
mod jpeg;
pub mod pixels;
mod png;
mod refused;
mod sample;

use std::panic::{AssertUnwindSafe, catch_unwind};

pub use burnt_in::{Zone, burnt_in};
pub use dicom::{Angles, BurntSays, Held, Run};
pub use pixels::{Channels, Pixels, Rectangle, RectangleError};
pub use png::encode;
pub use refused::Refused;
pub use sample::angiogram;

/// The most bytes of a PNG or a JPEG.
pub const STILL_BYTES: usize = 8 * 1024 * 1024;
/// The most bytes of a DICOM file, which may hold a whole run.
pub const RUN_BYTES: usize = 64 * 1024 * 1024;
/// The most pixels in a line, and the most lines.
pub const SIDE: u32 = 4096;
/// The most frames of a run.
pub const FRAMES: u32 = 2000;
/// The longer side of a picture that is kept, in pixels; a larger one is made smaller.
pub const KEPT_SIDE: u32 = 1600;

/// A file that was read.
#[derive(Debug)]
pub struct Brought {
    /// Its picture, or its run of pictures.
    pub source: Source,
    /// What it held beside the pixels, none of which is kept.
    pub beside: Beside,
}

/// The pixels of a file.
#[derive(Debug)]
pub enum Source {
    /// One picture, not larger than what is kept.
    Still(Pixels),
    /// Frames, each decoded when it is asked for.
    Run(Box<Run>),
}

impl Source {
    /// How many frames there are, at least one.
    #[must_use]
    pub fn frames(&self) -> u32 {
        match self {
            Self::Still(_) => 1,
            Self::Run(run) => run.frames(),
        }
    }

    /// A frame, from 0, not larger than what is kept.
    ///
    /// # Errors
    /// When there is no such frame, or it is damaged.
    pub fn frame(&self, number: u32) -> Result<Pixels, Refused> {
        match self {
            Self::Still(pixels) if number == 0 => Ok(pixels.clone()),
            Self::Still(_) => Err(Refused::NoFrame(number.saturating_add(1))),
            Self::Run(run) => guarded("DICOM", || run.frame(number)).map(Pixels::shrunk),
        }
    }

    /// How many bytes it holds in memory.
    #[must_use]
    pub fn bytes(&self) -> usize {
        match self {
            Self::Still(pixels) => pixels.data().len(),
            Self::Run(run) => run.bytes(),
        }
    }
}

/// What a file held beside its pixels.
#[derive(Debug, Default, Clone, PartialEq, Eq)]
pub struct Beside {
    /// What it is.
    pub kind: &'static str,
    /// Kinds of metadata of a PNG or a JPEG: `EXIF`, `a comment`.
    pub metadata: Vec<&'static str>,
    /// Attributes of a DICOM file that identify somebody.
    pub identifying: Vec<Held>,
    /// How many private attributes a DICOM file held, which may be anything.
    pub private: usize,
    /// What a DICOM file says of writing burnt into its pixels.
    pub burnt: BurntSays,
    /// Whether the file is of a kind that often has writing in its pixels, and which: `a secondary capture`.
    pub often_burnt: Option<&'static str>,
    /// How the tube stood.
    pub angles: Option<Angles>,
}

/// Reads a file. What it is, its first bytes say.
///
/// # Errors
/// Why it is not taken, in a sentence that says what to do.
pub fn read(bytes: Vec<u8>) -> Result<Brought, Refused> {
    let (kind, most): (Kind, usize) = match kind_of(&bytes)? {
        Kind::Dicom => (Kind::Dicom, RUN_BYTES),
        still => (still, STILL_BYTES),
    };
    if bytes.len() > most {
        return Err(Refused::Bytes { kind: kind.name(), most: most / 1024 / 1024 });
    }
    match kind {
        Kind::Png => {
            let (pixels, metadata) = guarded("PNG", || png::decode(&bytes))?;
            Ok(still(kind, pixels, metadata))
        }
        Kind::Jpeg => {
            let (pixels, metadata) = guarded("JPEG", || jpeg::decode(&bytes))?;
            Ok(still(kind, pixels, metadata))
        }
        Kind::Dicom => {
            let (run, beside) = guarded("DICOM", || dicom::read(&bytes))?;
            drop(bytes);
            Ok(Brought { source: Source::Run(Box::new(run)), beside })
        }
    }
}

fn still(kind: Kind, pixels: Pixels, metadata: Vec<&'static str>) -> Brought {
    Brought {
        source: Source::Still(pixels.shrunk()),
        beside: Beside { kind: kind.name(), metadata, ..Beside::default() },
    }
}

/// Runs a reader. Libraries that read files of strangers may find a case that they did not think of; that is a
/// damaged file then, and nothing else.
fn guarded<T>(kind: &'static str, read: impl FnOnce() -> Result<T, Refused>) -> Result<T, Refused> {
    catch_unwind(AssertUnwindSafe(read)).unwrap_or(Err(Refused::Damaged(kind)))
}

/// A kind of file that is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Png,
    Jpeg,
    Dicom,
}

impl Kind {
    const fn name(self) -> &'static str {
        match self {
            Self::Png => "PNG",
            Self::Jpeg => "JPEG",
            Self::Dicom => "DICOM",
        }
    }
}

/// What a file is, by its first bytes.
fn kind_of(bytes: &[u8]) -> Result<Kind, Refused> {
    /// First bytes of what is often brought instead.
    const OTHERS: [(&[u8], &str); 11] = [
        (b"GIF8", "a GIF"),
        (b"%PDF", "a PDF"),
        (b"PK\x03\x04", "a ZIP or an office document"),
        (b"BM", "a BMP"),
        (b"II*\0", "a TIFF"),
        (b"MM\0*", "a TIFF"),
        (b"RIFF", "a WebP or a film"),
        (b"\0\0\0\x0cjP  ", "a JPEG 2000"),
        (b"\xff\x4f\xff\x51", "a JPEG 2000"),
        (b"\x1f\x8b", "a packed file"),
        (b"\x1a\x45\xdf\xa3", "a film"),
    ];
    if bytes.is_empty() {
        return Err(Refused::Empty);
    }
    if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        return Ok(Kind::Png);
    }
    if bytes.starts_with(b"\xff\xd8\xff") {
        return Ok(Kind::Jpeg);
    }
    if bytes.get(128..132) == Some(b"DICM") {
        return Ok(Kind::Dicom);
    }
    if let Some((_, name)) = OTHERS.iter().find(|(start, _)| bytes.starts_with(start)) {
        return Err(Refused::Kind(format!("It is {name}.")));
    }
    if bytes.get(4..8) == Some(b"ftyp") {
        return Err(Refused::Kind("It is a film, or a picture of a telephone’s own format.".to_owned()));
    }
    let start = String::from_utf8_lossy(&bytes[..bytes.len().min(512)]).trim_start().to_lowercase();
    if start.contains("<svg") || start.starts_with("<?xml") {
        return Err(Refused::Kind("It is a drawing or a text in XML.".to_owned()));
    }
    if start.starts_with('<') {
        return Err(Refused::Kind("It is a web page.".to_owned()));
    }
    Err(Refused::Kind(
        "A DICOM file has its name after 128 bytes: export it as a file of its own.".to_owned(),
    ))
}

/// Whether a size may be read.
fn check_size(width: u32, height: u32) -> Result<(), Refused> {
    if width == 0 || height == 0 {
        return Err(Refused::NoSize);
    }
    if width > SIDE || height > SIDE {
        return Err(Refused::Size { width, height });
    }
    Ok(())
}

#[cfg(test)]
mod tests;
