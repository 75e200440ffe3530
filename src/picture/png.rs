//! PNG (ISO/IEC 15948): read to pixels, and pixels written with nothing beside them.

use std::io::Cursor;

use png::{BitDepth, ColorType, Decoder, Encoder, Limits, Transformations};

use super::pixels::{Channels, Pixels};
use super::{Refused, SIDE, check_size};

/// The most bytes that the library may set aside for one picture of the largest size: four channels of 16 bits.
const MEMORY: usize = SIDE as usize * SIDE as usize * 8 + 1024 * 1024;

/// What chunks hold that are no pixels; the standard's names.
const CHUNKS: [(&[u8; 4], &str); 8] = [
    (b"tEXt", "text"),
    (b"zTXt", "text"),
    (b"iTXt", "text"),
    (b"eXIf", "EXIF"),
    (b"tIME", "a time"),
    (b"iCCP", "a colour profile"),
    (b"pHYs", "a resolution"),
    (b"acTL", "further frames"),
];

/// The pixels of a PNG, and what it held beside them.
pub(super) fn decode(bytes: &[u8]) -> Result<(Pixels, Vec<&'static str>), Refused> {
    const DAMAGED: Refused = Refused::Damaged("PNG");
    let beside = look_through(bytes)?;
    let mut decoder = Decoder::new(Cursor::new(bytes));
    decoder.set_limits(Limits { bytes: MEMORY });
    decoder.set_ignore_text_chunk(true);
    decoder.set_ignore_iccp_chunk(true);
    decoder.set_transformations(Transformations::EXPAND | Transformations::STRIP_16);
    let mut reader = decoder.read_info().map_err(|_| DAMAGED)?;
    let (width, height) = reader.info().size();
    check_size(width, height)?;
    let size = reader.output_buffer_size().ok_or(DAMAGED)?;
    if size > MEMORY {
        return Err(Refused::Size { width, height });
    }
    let mut data = vec![0; size];
    let frame = reader.next_frame(&mut data).map_err(|_| DAMAGED)?;
    if (frame.width, frame.height) != (width, height) || frame.bit_depth != BitDepth::Eight {
        return Err(DAMAGED);
    }
    data.truncate(frame.buffer_size());
    let (channels, data) = match frame.color_type {
        ColorType::Grayscale => (Channels::Grey, data),
        ColorType::Rgb => (Channels::Colour, data),
        ColorType::GrayscaleAlpha => (Channels::Grey, on_white(&data, 1)),
        ColorType::Rgba => (Channels::Colour, on_white(&data, 3)),
        ColorType::Indexed => return Err(DAMAGED),
    };
    Ok((Pixels::new(width, height, channels, data).ok_or(DAMAGED)?, beside))
}

/// Pixels with their transparency, as they look on white paper. What was hidden under it is gone.
fn on_white(data: &[u8], colours: usize) -> Vec<u8> {
    let mut opaque = Vec::with_capacity(data.len() / (colours + 1) * colours);
    for pixel in data.chunks_exact(colours + 1) {
        let alpha = u32::from(pixel[colours]);
        for &value in &pixel[..colours] {
            let mixed = (u32::from(value) * alpha + 255 * (255 - alpha) + 127) / 255;
            opaque.push(u8::try_from(mixed).unwrap_or(u8::MAX));
        }
    }
    opaque
}

/// Goes from chunk to chunk: the size is allowed, the file is whole, nothing follows it. Gives what it holds beside
/// its pixels.
fn look_through(bytes: &[u8]) -> Result<Vec<&'static str>, Refused> {
    const DAMAGED: Refused = Refused::Damaged("PNG");
    let number = |at: usize| -> Result<u32, Refused> {
        let four: [u8; 4] = bytes.get(at..at + 4).and_then(|four| four.try_into().ok()).ok_or(DAMAGED)?;
        Ok(u32::from_be_bytes(four))
    };
    if bytes.get(12..16) != Some(b"IHDR") {
        return Err(DAMAGED);
    }
    check_size(number(16)?, number(20)?)?;
    let mut beside = Vec::new();
    let mut at = 8;
    loop {
        let length = number(at)? as usize;
        let kind = bytes.get(at + 4..at + 8).ok_or(DAMAGED)?;
        // Length, kind, content, check sum.
        at = at.checked_add(length).and_then(|end| end.checked_add(12)).ok_or(DAMAGED)?;
        if at > bytes.len() {
            return Err(DAMAGED);
        }
        if let Some((_, words)) = CHUNKS.iter().find(|(name, _)| name.as_slice() == kind)
            && !beside.contains(words)
        {
            beside.push(*words);
        }
        if kind == b"IEND" {
            break;
        }
    }
    if at < bytes.len() { Err(Refused::MoreBehind("PNG")) } else { Ok(beside) }
}

/// The picture as a PNG: a header, the pixels, the end. The same pixels give the same bytes.
///
/// # Errors
/// What the library says; pixels of ours give none.
pub fn encode(pixels: &Pixels) -> Result<Vec<u8>, png::EncodingError> {
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, pixels.width(), pixels.height());
    encoder.set_color(match pixels.channels() {
        Channels::Grey => ColorType::Grayscale,
        Channels::Colour => ColorType::Rgb,
    });
    encoder.set_depth(BitDepth::Eight);
    let mut writer = encoder.write_header()?;
    writer.write_image_data(pixels.data())?;
    writer.finish()?;
    Ok(bytes)
}
