//! JPEG (ITU-T T.81, annex B): a row of segments, each behind its marker, and scans of packed pixels.

use crate::picture::jpeg::{end_of_scan, orientation_of};

/// JFIF 1.02, 5: version, unit and density; then the size of a thumbnail.
const JFIF: &[u8] = b"JFIF\0";
/// ICC.1:2022, B.4.
const PROFILE: &[u8] = b"ICC_PROFILE\0";
/// ITU-T T.872, 6.5.3: how its colours are made; 12 bytes.
const ADOBE: &[u8] = b"Adobe";

pub(super) fn bare(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut kept = vec![0xff, 0xd8];
    let mut at = 2;
    let (mut has_frame, mut has_scan, mut has_orientation) = (false, false, false);
    loop {
        if *bytes.get(at)? != 0xff {
            return None;
        }
        let marker = *bytes.get(at + 1)?;
        at += 1;
        if marker == 0xff {
            continue;
        }
        at += 1;
        if marker == 0xd9 {
            kept.extend_from_slice(&[0xff, 0xd9]);
            // Further pictures, and whatever else, may stand behind the end.
            return (has_frame && has_scan).then_some(kept);
        }
        if marker == 0x01 || (0xd0..=0xd8).contains(&marker) {
            continue;
        }
        let length = usize::from(u16::from_be_bytes(bytes.get(at..at + 2)?.try_into().ok()?));
        let content = bytes.get(at + 2..at.checked_add(length)?)?;
        match marker {
            // Frames, tables, the head of a scan.
            0xc0..=0xcf | 0xda..=0xdf => add(&mut kept, marker, content),
            // Without its thumbnail.
            0xe0 if content.starts_with(JFIF) && content.len() >= 14 => {
                add(&mut kept, marker, &[&content[..12], &[0, 0]].concat());
            }
            // The first alone counts.
            0xe1 if !has_orientation => {
                let orientation = content.strip_prefix(b"Exif\0\0").and_then(orientation_of);
                if let Some(turned @ 2..=8) = orientation {
                    add(&mut kept, marker, &held_so(turned));
                    has_orientation = true;
                }
            }
            0xe2 if content.starts_with(PROFILE) => add(&mut kept, marker, content),
            0xee if content.starts_with(ADOBE) => add(&mut kept, marker, content.get(..12)?),
            _ => {}
        }
        has_frame |= matches!(marker, 0xc0..=0xc3 | 0xc5..=0xc7 | 0xc9..=0xcb | 0xcd..=0xcf);
        at += length;
        if marker == 0xda {
            let end = end_of_scan(bytes, at)?;
            kept.extend_from_slice(&bytes[at..end]);
            at = end;
            has_scan = true;
        }
    }
}

fn add(kept: &mut Vec<u8>, marker: u8, content: &[u8]) {
    // No longer than the segment that it comes from, but for `held_so`, which is short.
    let length = u16::try_from(content.len() + 2).unwrap_or(u16::MAX);
    kept.extend_from_slice(&[0xff, marker]);
    kept.extend_from_slice(&length.to_be_bytes());
    kept.extend_from_slice(content);
}

/// EXIF that says how the camera was held (tag 0x0112) and nothing else: else the picture would lie on its side.
fn held_so(orientation: u8) -> Vec<u8> {
    let mut exif = b"Exif\0\0MM\0\x2a\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0".to_vec();
    exif.extend_from_slice(&[orientation, 0, 0, 0, 0, 0, 0]);
    exif
}
