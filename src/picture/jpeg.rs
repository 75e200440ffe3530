//! JPEG (ITU-T T.81): read to pixels.

use jpeg_decoder::{ColorTransform, Decoder, PixelFormat};

use super::pixels::{Channels, Pixels};
use super::{Refused, SIDE, check_size};

/// The most bytes that the library may give: four channels of the largest size.
const MEMORY: usize = SIDE as usize * SIDE as usize * 4;

const DAMAGED: Refused = Refused::Damaged("JPEG");

/// The pixels of a JPEG, turned as its camera was held, and what it held beside them.
pub(super) fn decode(bytes: &[u8]) -> Result<(Pixels, Vec<&'static str>), Refused> {
    let shape = look_through(bytes)?;
    if bytes[shape.end..].iter().any(|byte| *byte != 0) {
        return Err(Refused::MoreBehind("JPEG"));
    }
    let mut decoder = Decoder::new(bytes);
    decoder.set_max_decoding_buffer_size(MEMORY);
    let data = decoder.decode().map_err(|error| refused(&error))?;
    let info = decoder.info().ok_or(DAMAGED)?;
    let (channels, data) = match info.pixel_format {
        PixelFormat::L8 => (Channels::Grey, data),
        PixelFormat::RGB24 => (Channels::Colour, data),
        PixelFormat::L16 => (Channels::Grey, upper_bytes(&data, shape.precision)),
        PixelFormat::CMYK32 => (Channels::Colour, inks(&data)),
    };
    let pixels = Pixels::new(info.width.into(), info.height.into(), channels, data).ok_or(DAMAGED)?;
    Ok((turned(pixels, shape.orientation), shape.beside))
}

/// What a frame of a DICOM file gives.
pub(super) enum Samples {
    /// A byte for each sample.
    Bytes(Channels, Vec<u8>),
    /// A number of 16 bits for each sample.
    Words(Vec<u16>),
}

/// The samples of a JPEG that is a frame of a DICOM file, which says how large it is, and whether its colours are
/// red, green and blue as they stand.
pub(super) fn samples(
    bytes: &[u8],
    (width, height): (u32, u32),
    as_they_are: bool,
) -> Result<Samples, Refused> {
    let shape = look_through(bytes)?;
    if (shape.width, shape.height) != (width, height) {
        return Err(Refused::Damaged("DICOM file"));
    }
    let mut decoder = Decoder::new(bytes);
    decoder.set_max_decoding_buffer_size(MEMORY);
    if as_they_are && shape.components == 3 {
        decoder.set_color_transform(ColorTransform::None);
    }
    let data = decoder.decode().map_err(|error| refused(&error))?;
    let info = decoder.info().ok_or(DAMAGED)?;
    match info.pixel_format {
        PixelFormat::L8 => Ok(Samples::Bytes(Channels::Grey, data)),
        PixelFormat::RGB24 => Ok(Samples::Bytes(Channels::Colour, data)),
        PixelFormat::L16 => {
            Ok(Samples::Words(data.chunks_exact(2).map(|two| u16::from_ne_bytes([two[0], two[1]])).collect()))
        }
        PixelFormat::CMYK32 => Err(Refused::Coding { kind: "DICOM file", what: "four inks".to_owned() }),
    }
}

fn refused(error: &jpeg_decoder::Error) -> Refused {
    match error {
        jpeg_decoder::Error::Unsupported(what) => {
            Refused::Coding { kind: "JPEG", what: format!("{what:?}").to_lowercase() }
        }
        _ => DAMAGED,
    }
}

fn upper_bytes(data: &[u8], precision: u8) -> Vec<u8> {
    let shift = u32::from(precision).saturating_sub(8);
    let words = data.chunks_exact(2).map(|two| u16::from_ne_bytes([two[0], two[1]]));
    words.map(|word| u8::try_from(word >> shift).unwrap_or(u8::MAX)).collect()
}

/// Four inks as red, green and blue; the library gives them as light, not as ink.
fn inks(data: &[u8]) -> Vec<u8> {
    let mut colours = Vec::with_capacity(data.len() / 4 * 3);
    for pixel in data.chunks_exact(4) {
        let black = u32::from(pixel[3]);
        colours.extend(pixel[..3].iter().map(|&ink| u8::try_from(u32::from(ink) * black / 255).unwrap_or(0)));
    }
    colours
}

/// What the markers of a JPEG say.
struct Shape {
    width: u32,
    height: u32,
    components: u8,
    precision: u8,
    /// Where the picture ends.
    end: usize,
    /// How the camera was held (EXIF 2.3, 0x0112), 1 to 8.
    orientation: u8,
    beside: Vec<&'static str>,
}

/// Goes from marker to marker: the size is allowed and the file is whole.
fn look_through(bytes: &[u8]) -> Result<Shape, Refused> {
    let byte = |at: usize| bytes.get(at).copied().ok_or(DAMAGED);
    let word = |at: usize| Ok::<_, Refused>(usize::from(byte(at)?) << 8 | usize::from(byte(at + 1)?));
    let mut size: Option<(u32, u32, u8, u8)> = None;
    let mut beside: Vec<&'static str> = Vec::new();
    let mut orientation = 1;
    if bytes.get(..2) != Some(b"\xff\xd8") {
        return Err(DAMAGED);
    }
    let mut at = 2;
    loop {
        if byte(at)? != 0xff {
            return Err(DAMAGED);
        }
        let marker = byte(at + 1)?;
        at += 1;
        if marker == 0xff {
            continue;
        }
        at += 1;
        if marker == 0xd9 {
            break;
        }
        if marker == 0x01 || (0xd0..=0xd7).contains(&marker) {
            continue;
        }
        let length = word(at)?;
        let content = bytes.get(at + 2..at + length.max(2)).ok_or(DAMAGED)?;
        match marker {
            0xc4 | 0xc8 | 0xcc | 0xdb | 0xdd | 0xfe | 0xe0..=0xef | 0xda => {}
            0xc0..=0xc3 if size.is_none() => {
                let [precision, h1, h0, w1, w0, components, ..] = content else { return Err(DAMAGED) };
                let (height, width) = (u16::from_be_bytes([*h1, *h0]), u16::from_be_bytes([*w1, *w0]));
                check_size(width.into(), height.into())?;
                if !matches!(components, 1 | 3 | 4) || !(2..=16).contains(precision) {
                    let what = format!("{components} channels of {precision} bits");
                    return Err(Refused::Coding { kind: "JPEG", what });
                }
                size = Some((width.into(), height.into(), *components, *precision));
            }
            0xc0..=0xcf | 0xde | 0xdf | 0xdc => {
                return Err(Refused::Coding { kind: "JPEG", what: format!("process {marker:02x}") });
            }
            _ => {}
        }
        if let Some(words) = beside_of(marker, content)
            && !beside.contains(&words)
        {
            beside.push(words);
        }
        if marker == 0xe1
            && let Some(exif) = content.strip_prefix(b"Exif\0\0")
        {
            orientation = orientation_of(exif).unwrap_or(1);
        }
        at += length.max(2);
        if marker == 0xda {
            at = end_of_scan(bytes, at).ok_or(DAMAGED)?;
        }
    }
    let (width, height, components, precision) = size.ok_or(DAMAGED)?;
    Ok(Shape { width, height, components, precision, end: at, orientation, beside })
}

/// Where the next marker stands that is none of a scan.
pub(super) fn end_of_scan(bytes: &[u8], from: usize) -> Option<usize> {
    let mut at = from;
    loop {
        at += bytes.get(at..)?.iter().position(|byte| *byte == 0xff)?;
        match bytes.get(at + 1)? {
            0x00 | 0xd0..=0xd7 => at += 2,
            0xff => at += 1,
            _ => return Some(at),
        }
    }
}

/// What a segment holds that is no pixels.
fn beside_of(marker: u8, content: &[u8]) -> Option<&'static str> {
    match marker {
        0xfe => Some("a comment"),
        0xe1 if content.starts_with(b"Exif\0") => Some("EXIF"),
        0xe1 if content.starts_with(b"http://ns.adobe.com/xap/")
            || content.starts_with(b"http://ns.adobe.com/xmp/") =>
        {
            Some("XMP")
        }
        0xe2 if content.starts_with(b"ICC_PROFILE") => Some("a colour profile"),
        0xed => Some("IPTC"),
        0xe0 if content.starts_with(b"JFIF") => None,
        0xee if content.starts_with(b"Adobe") => None,
        0xe0..=0xef => Some("a segment of a program’s own"),
        _ => None,
    }
}

/// How the camera was held, from an EXIF block: tag 0x0112 of its first directory.
pub(super) fn orientation_of(exif: &[u8]) -> Option<u8> {
    let little = match exif.get(..2)? {
        b"II" => true,
        b"MM" => false,
        _ => return None,
    };
    let word = |at: usize| -> Option<usize> {
        let two: [u8; 2] = exif.get(at..at.checked_add(2)?)?.try_into().ok()?;
        Some(usize::from(if little { u16::from_le_bytes(two) } else { u16::from_be_bytes(two) }))
    };
    let long = |at: usize| -> Option<usize> {
        let four: [u8; 4] = exif.get(at..at.checked_add(4)?)?.try_into().ok()?;
        usize::try_from(if little { u32::from_le_bytes(four) } else { u32::from_be_bytes(four) }).ok()
    };
    let directory = long(4)?;
    let rows = (0..word(directory)?).map(|row| directory + 2 + 12 * row);
    // As far as the block reaches, whatever it says of its length.
    let mut tags = rows.map_while(|row| Some((row, word(row)?)));
    let (row, _) = tags.find(|(_, tag)| *tag == 0x0112)?;
    u8::try_from(word(row + 8)?).ok()
}

/// A picture as it looks when the camera is held as it was.
fn turned(pixels: Pixels, orientation: u8) -> Pixels {
    if !(2..=8).contains(&orientation) {
        return pixels;
    }
    let (width, height) = (pixels.width() as usize, pixels.height() as usize);
    let on_its_side = orientation >= 5;
    let (wide, high) = if on_its_side { (height, width) } else { (width, height) };
    let bytes = pixels.channels().bytes();
    let mut data = Vec::with_capacity(pixels.data().len());
    for y in 0..high {
        for x in 0..wide {
            let (column, line) = match orientation {
                2 => (width - 1 - x, y),
                3 => (width - 1 - x, height - 1 - y),
                4 => (x, height - 1 - y),
                5 => (y, x),
                6 => (y, height - 1 - x),
                7 => (width - 1 - y, height - 1 - x),
                _ => (width - 1 - y, x),
            };
            let start = (line * width + column) * bytes;
            data.extend_from_slice(&pixels.data()[start..start + bytes]);
        }
    }
    let (sides, channels) = ((pixels.width(), pixels.height()), pixels.channels());
    let (wide, high) = if on_its_side { (sides.1, sides.0) } else { sides };
    Pixels::new(wide, high, channels, data).unwrap_or(pixels)
}
