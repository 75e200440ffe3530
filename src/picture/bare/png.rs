//! PNG (ISO/IEC 15948, clause 5): a row of chunks, each with its length, its kind and a check sum.

/// How every PNG begins.
pub(super) const START: &[u8] = b"\x89PNG\r\n\x1a\n";

/// Chunks without which the picture would look different: its pixels, what is clear, its colours, its shape. Text, times,
/// EXIF, further frames and what a program adds of its own are not among them.
const KEPT: [&[u8; 4]; 11] =
    [b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"iCCP", b"sBIT", b"pHYs"];

pub(super) fn bare(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut kept = bytes.get(..START.len())?.to_vec();
    let mut rest = &bytes[START.len()..];
    let mut has_pixels = false;
    let mut is_first = true;
    loop {
        let length: [u8; 4] = rest.get(..4)?.try_into().ok()?;
        let kind = rest.get(4..8)?;
        // Length, kind, content, check sum.
        let end = usize::try_from(u32::from_be_bytes(length)).ok()?.checked_add(12)?;
        let chunk = rest.get(..end)?;
        if is_first != (kind == b"IHDR") {
            return None;
        }
        is_first = false;
        has_pixels |= kind == b"IDAT";
        if KEPT.iter().any(|known| kind == *known) {
            kept.extend_from_slice(chunk);
        } else if kind[0].is_ascii_uppercase() {
            // A chunk that a reader has to know (5.4): the picture is not drawn without it.
            return None;
        }
        if kind == b"IEND" {
            // What stands behind the end is no picture.
            return has_pixels.then_some(kept);
        }
        rest = &rest[end..];
    }
}
