//! The frames of a file: where each stands, and its samples turned into what an eye sees.

use std::ops::Range;

use dicom_core::Tag;

use super::rle;
use super::walk::{Fields, Packing, Place};
use crate::picture::jpeg::{self, Samples};
use crate::picture::pixels::{Channels, Pixels};
use crate::picture::{FRAMES, Refused, check_size};

const DAMAGED: Refused = Refused::Damaged("DICOM file");

/// How colours are coded (Photometric Interpretation).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Colours {
    /// 0 is white.
    WhiteFirst,
    /// 0 is black.
    BlackFirst,
    Rgb,
    /// Brightness and two differences, each for every pixel.
    Ybr,
}

/// A window over the values (VOI LUT): what is black, what is white.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Window {
    centre: f64,
    width: f64,
}

/// A still or a run, its frames as the file packed them. Of the rest of the file it holds nothing.
#[derive(Debug)]
pub struct Run {
    width: u32,
    height: u32,
    colours: Colours,
    /// Whether red, green and blue stand in planes of their own.
    planar: bool,
    /// Bytes of a sample, 1 or 2.
    bytes: usize,
    /// Bits that are used, from the lowest.
    bits: u32,
    signed: bool,
    big_endian: bool,
    slope: f64,
    intercept: f64,
    window: Option<Window>,
    packing: Packing,
    data: Vec<u8>,
    frames: Vec<Range<usize>>,
}

impl Run {
    pub(super) fn of(fields: &Fields, place: Place, file: &[u8]) -> Result<Self, Refused> {
        let word = |element| fields.word(Tag(0x0028, element));
        let (height, width) =
            (u32::from(word(0x0010).ok_or(DAMAGED)?), u32::from(word(0x0011).ok_or(DAMAGED)?));
        check_size(width, height)?;
        let said = fields.number(Tag(0x0028, 0x0008)).unwrap_or(1.0);
        #[expect(clippy::cast_possible_truncation, reason = "shown, and compared with 1 to FRAMES before")]
        let frames = said as i64;
        let frames =
            u32::try_from(frames).ok().filter(|n| (1..=FRAMES).contains(n)).ok_or(Refused::Frames(frames))?;
        let (allocated, stored) = (word(0x0100).ok_or(DAMAGED)?, word(0x0101).ok_or(DAMAGED)?);
        let channels = word(0x0002).unwrap_or(1);
        let colours = colours(
            fields.text(Tag(0x0028, 0x0004)).unwrap_or("MONOCHROME2"),
            channels,
            fields.syntax.packing,
        )?;
        let coding = |what: String| Refused::Coding { kind: "DICOM file", what };
        if !matches!(allocated, 8 | 16)
            || stored == 0
            || stored > allocated
            || (channels == 3 && allocated != 8)
        {
            return Err(coding(format!("{channels} × {stored} of {allocated} bits")));
        }
        if word(0x0102).is_some_and(|high| high + 1 != stored) {
            return Err(coding("the highest bit is not the last that is used".to_owned()));
        }
        let window = fields
            .number(Tag(0x0028, 0x1050))
            .zip(fields.number(Tag(0x0028, 0x1051)))
            .filter(|(_, width)| *width >= 1.0)
            .map(|(centre, width)| Window { centre, width });
        let mut run = Self {
            width,
            height,
            colours,
            planar: channels == 3 && word(0x0006) == Some(1),
            bytes: usize::from(allocated / 8),
            bits: u32::from(stored),
            signed: word(0x0103) == Some(1),
            big_endian: fields.syntax.big_endian,
            slope: fields.number(Tag(0x0028, 0x1053)).filter(|slope| *slope != 0.0).unwrap_or(1.0),
            intercept: fields.number(Tag(0x0028, 0x1052)).unwrap_or(0.0),
            window,
            packing: fields.syntax.packing,
            data: Vec::new(),
            frames: Vec::new(),
        };
        run.lay(frames, place, file)?;
        Ok(run)
    }

    /// Takes the bytes of the frames out of the file.
    fn lay(&mut self, count: u32, place: Place, file: &[u8]) -> Result<(), Refused> {
        let few = Refused::FewerFrames { said: count };
        let count = count as usize;
        match place {
            Place::Plain { place: range, in_words } => {
                let size = self.samples() * self.bytes;
                let needed = size.checked_mul(count).ok_or(DAMAGED)?;
                if range.len() < needed {
                    return Err(few);
                }
                if self.big_endian && in_words && self.bytes == 1 {
                    // Two samples of a byte stand in each word, the second first.
                    self.data = file[range]
                        .chunks(2)
                        .flat_map(|two| two.iter().rev().copied())
                        .take(needed)
                        .collect();
                } else {
                    self.data = file[range.start..range.start + needed].to_vec();
                }
                self.frames = (0..count).map(|frame| frame * size..(frame + 1) * size).collect();
            }
            Place::Pieces { offsets, pieces } => {
                let starts = starts(&offsets, &pieces, count, file).ok_or(few)?;
                for (frame, first) in starts.iter().enumerate() {
                    let last = starts.get(frame + 1).copied().unwrap_or(pieces.len());
                    let from = self.data.len();
                    for piece in &pieces[*first..last] {
                        self.data.extend_from_slice(&file[piece.clone()]);
                    }
                    self.frames.push(from..self.data.len());
                }
            }
        }
        Ok(())
    }

    const fn channels(&self) -> Channels {
        match self.colours {
            Colours::WhiteFirst | Colours::BlackFirst => Channels::Grey,
            Colours::Rgb | Colours::Ybr => Channels::Colour,
        }
    }

    /// Samples of a frame.
    fn samples(&self) -> usize {
        self.width as usize * self.height as usize * self.channels().bytes()
    }

    /// How many frames there are, at least one.
    #[must_use]
    pub fn frames(&self) -> u32 {
        u32::try_from(self.frames.len()).unwrap_or(FRAMES)
    }

    /// How many bytes it holds in memory.
    #[must_use]
    pub fn bytes(&self) -> usize {
        self.data.len()
    }

    /// A frame, from 0, as large as it is.
    ///
    /// # Errors
    /// When there is no such frame, or it is damaged.
    pub fn frame(&self, number: u32) -> Result<Pixels, Refused> {
        let range = self.frames.get(number as usize).ok_or(Refused::NoFrame(number.saturating_add(1)))?;
        let packed = &self.data[range.clone()];
        let data = match self.packing {
            Packing::Plain => self.seen(&self.together(packed.to_vec())),
            Packing::Rle => {
                let size = self.width as usize * self.height as usize;
                let planes = rle::planes(packed, self.channels().bytes() * self.bytes, size)?;
                self.seen(&self.woven(&planes))
            }
            Packing::Jpeg => {
                match jpeg::samples(packed, (self.width, self.height), self.colours == Colours::Rgb)? {
                    Samples::Bytes(channels, data) if channels == self.channels() => self.shaded(data),
                    Samples::Bytes(..) => return Err(DAMAGED),
                    Samples::Words(words) => self.windowed(words.into_iter().map(|word| self.value(word))),
                }
            }
        };
        Pixels::new(self.width, self.height, self.channels(), data).ok_or(DAMAGED)
    }

    /// Red, green and blue of each pixel together, where the file has them in planes.
    fn together(&self, data: Vec<u8>) -> Vec<u8> {
        if !self.planar {
            return data;
        }
        let size = data.len() / 3;
        (0..size).flat_map(|pixel| [data[pixel], data[size + pixel], data[2 * size + pixel]]).collect()
    }

    /// Planes of bytes woven into samples: for each channel the upper byte stands first.
    fn woven(&self, planes: &[Vec<u8>]) -> Vec<u8> {
        let size = planes.first().map_or(0, Vec::len);
        let mut data = Vec::with_capacity(size * planes.len());
        for pixel in 0..size {
            for channel in planes.chunks(self.bytes) {
                if self.big_endian {
                    data.extend(channel.iter().map(|plane| plane[pixel]));
                } else {
                    data.extend(channel.iter().rev().map(|plane| plane[pixel]));
                }
            }
        }
        data
    }

    /// Samples as an eye sees them.
    fn seen(&self, data: &[u8]) -> Vec<u8> {
        match (self.colours, self.bytes) {
            (Colours::Rgb, _) => data.to_vec(),
            (Colours::Ybr, _) => data.chunks_exact(3).flat_map(|p| rgb(p[0], p[1], p[2])).collect(),
            (_, 1) => self.shaded(data.to_vec()),
            (_, _) => {
                let words = data.chunks_exact(2).map(|two| match self.big_endian {
                    true => u16::from_be_bytes([two[0], two[1]]),
                    false => u16::from_le_bytes([two[0], two[1]]),
                });
                self.windowed(words.map(|word| self.value(word)))
            }
        }
    }

    /// Grey of one byte. Eight bits are what a screen shows, and stay as they are.
    fn shaded(&self, mut data: Vec<u8>) -> Vec<u8> {
        if self.channels() == Channels::Colour {
            return data;
        }
        if self.bits < 8 || self.signed {
            return self.windowed(data.iter().map(|byte| self.value(u16::from(*byte))));
        }
        if self.colours == Colours::WhiteFirst {
            data.iter_mut().for_each(|byte| *byte = 255 - *byte);
        }
        data
    }

    /// The value of a sample: the bits that are used, with their sign, rescaled (PS3.3 C.11.1).
    fn value(&self, word: u16) -> f64 {
        let used = u32::from(word) & ((1_u32 << self.bits) - 1);
        let negative = self.signed && used >> (self.bits - 1) == 1;
        let value = if negative { f64::from(used) - f64::from(1_u32 << self.bits) } else { f64::from(used) };
        value * self.slope + self.intercept
    }

    /// Values as grey, through the window of the file (PS3.3 C.11.2.1.2.1), or from the least to the greatest.
    fn windowed(&self, values: impl Iterator<Item = f64>) -> Vec<u8> {
        let values: Vec<f64> = values.collect();
        let shade = |part: f64| {
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 255")]
            let grey = (part.clamp(0.0, 1.0) * 255.0).round() as u8;
            if self.colours == Colours::WhiteFirst { 255 - grey } else { grey }
        };
        if let Some(Window { centre, width }) = self.window {
            if width <= 1.0 {
                return values
                    .iter()
                    .map(|value| shade(if *value <= centre - 0.5 { 0.0 } else { 1.0 }))
                    .collect();
            }
            return values
                .iter()
                .map(|value| shade((value - (centre - 0.5)) / (width - 1.0) + 0.5))
                .collect();
        }
        let least = values.iter().copied().fold(f64::INFINITY, f64::min);
        let greatest = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let span = if greatest > least { greatest - least } else { 1.0 };
        values.iter().map(|value| shade((value - least) / span)).collect()
    }
}

fn colours(photometric: &str, channels: u16, packing: Packing) -> Result<Colours, Refused> {
    match (photometric, channels, packing) {
        ("MONOCHROME1", 1, _) => Ok(Colours::WhiteFirst),
        ("MONOCHROME2", 1, _) => Ok(Colours::BlackFirst),
        ("RGB", 3, _) => Ok(Colours::Rgb),
        ("YBR_FULL", 3, _) | ("YBR_FULL_422", 3, Packing::Jpeg) => Ok(Colours::Ybr),
        _ => Err(Refused::Coding {
            kind: "DICOM file",
            what: format!(
                "{} with {channels} samples",
                if photometric.len() <= 16 { photometric } else { "colours" }
            ),
        }),
    }
}

/// Red, green and blue of a brightness and two differences (PS3.3 C.7.6.3.1.2).
fn rgb(y: u8, cb: u8, cr: u8) -> [u8; 3] {
    let (y, cb, cr) = (f64::from(y), f64::from(cb) - 128.0, f64::from(cr) - 128.0);
    [y + 1.402 * cr, y - 0.344_136 * cb - 0.714_136 * cr, y + 1.772 * cb].map(|value| {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 255")]
        let byte = value.round().clamp(0.0, 255.0) as u8;
        byte
    })
}

/// Which piece each frame begins with: one piece a frame, else by the table of offsets, else by how a JPEG begins.
fn starts(offsets: &[u32], pieces: &[Range<usize>], count: usize, file: &[u8]) -> Option<Vec<usize>> {
    if pieces.is_empty() {
        return None;
    }
    if count == 1 {
        return Some(vec![0]);
    }
    if pieces.len() == count {
        return Some((0..count).collect());
    }
    let first = pieces.first()?.start;
    let by_table: Vec<usize> = offsets
        .iter()
        .filter_map(|offset| pieces.iter().position(|piece| piece.start - first == *offset as usize))
        .collect();
    if by_table.len() == count && by_table.is_sorted() && by_table.first() == Some(&0) {
        return Some(by_table);
    }
    let begins = |piece: &Range<usize>| file[piece.clone()].starts_with(b"\xff\xd8\xff");
    let by_start: Vec<usize> =
        pieces.iter().enumerate().filter(|(_, piece)| begins(piece)).map(|(at, _)| at).collect();
    (by_start.len() == count && by_start.first() == Some(&0)).then_some(by_start)
}
