//! A picture file without what it says beside its picture: no text, no place, no camera, no thumbnail.
//!
//! The packed pixels are copied as they are, so nothing of the look is lost: what stays is what a reader needs to draw
//! the same. Nothing is unpacked, and what comes out is hardly longer than what went in, so a hostile file costs no more
//! than its length.

mod gif;
mod jpeg;
mod png;

#[cfg(test)]
mod tests;

/// A picture file of which only the picture is left.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bare {
    /// How the name of such a file ends.
    pub ending: &'static str,
    /// Its media type.
    pub media_type: &'static str,
    /// The file.
    pub bytes: Vec<u8>,
}

/// The file with nothing but its picture. What it is, its first bytes say: a PNG, a JPEG or a GIF; none for any other,
/// and for one that is not whole.
#[must_use]
pub fn bare(bytes: &[u8]) -> Option<Bare> {
    let (ending, media_type, bytes) = if bytes.starts_with(png::START) {
        ("png", "image/png", png::bare(bytes)?)
    } else if bytes.starts_with(&[0xff, 0xd8, 0xff]) {
        ("jpeg", "image/jpeg", jpeg::bare(bytes)?)
    } else if bytes.starts_with(b"GIF87a") || bytes.starts_with(b"GIF89a") {
        ("gif", "image/gif", gif::bare(bytes)?)
    } else {
        return None;
    };
    Some(Bare { ending, media_type, bytes })
}
