//! RLE Lossless (PS3.5 Annex G): a frame in segments, each a plane of bytes in PackBits.

use crate::picture::Refused;

const DAMAGED: Refused = Refused::Damaged("DICOM file");
/// The header: how many segments, and where each begins.
const HEADER: usize = 64;
/// The most segments that a header can hold.
const SEGMENTS: usize = 15;

/// The planes of a frame, `count` of them, each of `length` bytes.
pub(super) fn planes(frame: &[u8], count: usize, length: usize) -> Result<Vec<Vec<u8>>, Refused> {
    let number = |at: usize| -> Result<usize, Refused> {
        let four: [u8; 4] = frame.get(at..at + 4).and_then(|four| four.try_into().ok()).ok_or(DAMAGED)?;
        usize::try_from(u32::from_le_bytes(four)).map_err(|_| DAMAGED)
    };
    if count > SEGMENTS || number(0)? != count || frame.len() < HEADER {
        return Err(DAMAGED);
    }
    (0..count)
        .map(|segment| {
            let start = number(4 + 4 * segment)?;
            let end = if segment + 1 < count { number(8 + 4 * segment)? } else { frame.len() };
            unpack(frame.get(start..end).filter(|_| start >= HEADER).ok_or(DAMAGED)?, length)
        })
        .collect()
}

/// One segment: a count below 128 is followed by that many bytes and one more; one above by a byte that is repeated.
fn unpack(packed: &[u8], length: usize) -> Result<Vec<u8>, Refused> {
    let mut plain = Vec::with_capacity(length);
    let mut at = 0;
    while plain.len() < length {
        let count = *packed.get(at).ok_or(DAMAGED)?;
        at += 1;
        match count {
            0..=127 => {
                let end = at + usize::from(count) + 1;
                plain.extend_from_slice(packed.get(at..end).ok_or(DAMAGED)?);
                at = end;
            }
            128 => {}
            129.. => {
                let byte = *packed.get(at).ok_or(DAMAGED)?;
                plain.resize(plain.len() + 257 - usize::from(count), byte);
                at += 1;
            }
        }
    }
    plain.truncate(length);
    Ok(plain)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn frame(segments: &[&[u8]]) -> Vec<u8> {
        let mut header = vec![u32::try_from(segments.len()).unwrap()];
        let mut at = 64;
        for segment in segments {
            header.push(at);
            at += u32::try_from(segment.len()).unwrap();
        }
        header.resize(16, 0);
        let mut bytes: Vec<u8> = header.iter().flat_map(|number| number.to_le_bytes()).collect();
        bytes.extend(segments.concat());
        bytes
    }

    /// PS3.5 G.3.1: literal runs, replicate runs, and −128, which is nothing.
    #[test]
    fn literal_and_repeated_runs_are_unpacked() {
        let packed = frame(&[&[0x02, 1, 2, 3, 0x80, 0xfe, 7], &[0xfb, 9]]);
        assert_eq!(planes(&packed, 2, 6).unwrap(), [[1, 2, 3, 7, 7, 7], [9; 6]]);
    }

    #[test]
    fn what_ends_early_or_points_elsewhere_is_damaged() {
        let good = frame(&[&[0x02, 1, 2, 3]]);
        assert!(planes(&good, 1, 3).is_ok());
        assert!(planes(&good, 1, 4).is_err());
        assert!(planes(&good, 2, 3).is_err());
        assert!(planes(&good[..60], 1, 3).is_err());
        let mut elsewhere = good.clone();
        elsewhere[4..8].copy_from_slice(&u32::MAX.to_le_bytes());
        assert!(planes(&elsewhere, 1, 3).is_err());
        elsewhere[4..8].copy_from_slice(&0_u32.to_le_bytes());
        assert!(planes(&elsewhere, 1, 3).is_err());
    }
}
