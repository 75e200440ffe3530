//! GIF (87a, 89a): a head, then images and extensions, each a row of blocks of at most 255 bytes.

/// The extension that says how often the pictures run.
const LOOP: &[u8] = b"\x21\xff\x0bNETSCAPE2.0\x03\x01";

pub(super) fn bare(bytes: &[u8]) -> Option<Vec<u8>> {
    let head = 13 + colours(*bytes.get(10)?);
    let mut kept = bytes.get(..head)?.to_vec();
    let mut at = head;
    let mut has_picture = false;
    loop {
        let rest = bytes.get(at..)?;
        match (*rest.first()?, rest.get(1)) {
            // The end; what stands behind it is no picture.
            (0x3b, _) => {
                kept.push(0x3b);
                return has_picture.then_some(kept);
            }
            // An image: its place, its own colours, the size of its codes, its pixels.
            (0x2c, _) => {
                let start = 11 + colours(*rest.get(9)?);
                let length = start + blocks(rest.get(start..)?)?;
                kept.extend_from_slice(&rest[..length]);
                has_picture = true;
                at += length;
            }
            (0x21, Some(label)) => {
                let length = 2 + blocks(&rest[2..])?;
                // How long a picture stays and what of it is clear; how often all of them run. A comment, a text and
                // what a program adds of its own, XMP among it, are not kept.
                if *label == 0xf9 {
                    kept.extend_from_slice(&rest[..length]);
                } else if rest.starts_with(LOOP) {
                    kept.extend_from_slice(LOOP);
                    kept.extend_from_slice(rest.get(LOOP.len()..LOOP.len() + 2)?);
                    kept.push(0);
                }
                at += length;
            }
            _ => return None,
        }
    }
}

/// How many bytes a table of colours takes, by the byte of flags that announces it.
const fn colours(flags: u8) -> usize {
    if flags & 0x80 == 0 { 0 } else { 3 << ((flags & 7) + 1) }
}

/// How many bytes a row of blocks takes, its empty last one among them.
fn blocks(bytes: &[u8]) -> Option<usize> {
    let mut at = 0;
    loop {
        let length = usize::from(*bytes.get(at)?);
        at += 1 + length;
        if length == 0 {
            return Some(at);
        }
    }
}
