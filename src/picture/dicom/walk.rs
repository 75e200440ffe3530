//! The way through a DICOM file: from its first token to its last, or to what is wrong with it.

use std::collections::BTreeMap;
use std::io::Cursor;
use std::ops::Range;

use dicom_core::header::{DataElementHeader, Header};
use dicom_core::{Tag, VR};
use dicom_parser::StatefulDecode;
use dicom_parser::dataset::LazyDataToken;
use dicom_parser::dataset::lazy_read::LazyDataSetReader;
use dicom_transfer_syntax_registry::entries::{
    EXPLICIT_VR_BIG_ENDIAN, EXPLICIT_VR_LITTLE_ENDIAN, IMPLICIT_VR_LITTLE_ENDIAN,
};

use super::confidential::Seen;
use super::{Angles, BurntSays};
use crate::picture::Refused;

/// How deep sequences may stand in each other. Files of angiography need three.
const DEPTH: usize = 32;
/// The most bytes of a value that the pixels need: several numbers as text.
const VALUE: u32 = 256;
/// After preamble and `DICM`.
const META: usize = 132;

const DAMAGED: Refused = Refused::Damaged("DICOM file");

/// How the pixels are packed (PS3.5 Annex A).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Packing {
    /// As they are.
    Plain,
    /// RLE Lossless.
    Rle,
    /// JPEG, with or without loss.
    Jpeg,
}

/// How a file is written.
#[derive(Debug, Clone, Copy)]
pub(super) struct Syntax {
    implicit: bool,
    pub(super) big_endian: bool,
    pub(super) packing: Packing,
}

impl Syntax {
    fn of(uid: &str) -> Result<Self, Refused> {
        let explicit = |packing| Self { implicit: false, big_endian: false, packing };
        let name = match uid {
            "1.2.840.10008.1.2" => return Ok(Self { implicit: true, ..explicit(Packing::Plain) }),
            "1.2.840.10008.1.2.1" | "1.2.840.10008.1.2.1.98" => return Ok(explicit(Packing::Plain)),
            "1.2.840.10008.1.2.2" => return Ok(Self { big_endian: true, ..explicit(Packing::Plain) }),
            "1.2.840.10008.1.2.5" => return Ok(explicit(Packing::Rle)),
            "1.2.840.10008.1.2.4.50"
            | "1.2.840.10008.1.2.4.51"
            | "1.2.840.10008.1.2.4.57"
            | "1.2.840.10008.1.2.4.70" => return Ok(explicit(Packing::Jpeg)),
            "1.2.840.10008.1.2.1.99" => "a deflated data set",
            "1.2.840.10008.1.2.4.80" | "1.2.840.10008.1.2.4.81" => "JPEG-LS",
            "1.2.840.10008.1.2.4.90"
            | "1.2.840.10008.1.2.4.91"
            | "1.2.840.10008.1.2.4.92"
            | "1.2.840.10008.1.2.4.93" => "JPEG 2000",
            _ if uid.starts_with("1.2.840.10008.1.2.4.1") => "a film (MPEG)",
            _ if uid.starts_with("1.2.840.10008.1.2.4.20") => "HTJ2K",
            _ => "something unknown",
        };
        Err(Refused::Packing(name.to_owned()))
    }
}

/// Where the pixels stand in the file.
#[derive(Debug)]
pub(super) enum Place {
    /// In one piece; whether it is written in words of 16 bits (OW), which a file of the other byte order turns round.
    Plain { place: Range<usize>, in_words: bool },
    /// In pieces; the offsets say which of them begin a frame, when there are any.
    Pieces { offsets: Vec<u32>, pieces: Vec<Range<usize>> },
}

/// The values that the pixels need, as the file holds them.
#[derive(Debug)]
pub(super) struct Fields {
    pub(super) syntax: Syntax,
    values: BTreeMap<Tag, Vec<u8>>,
}

/// Attributes whose values are read: all that the pixels need, and nothing that names anybody.
const NEEDED: [Tag; 20] = [
    Tag(0x0008, 0x0016),
    Tag(0x0008, 0x0060),
    Tag(0x0018, 0x1510),
    Tag(0x0018, 0x1511),
    Tag(0x0028, 0x0002),
    Tag(0x0028, 0x0004),
    Tag(0x0028, 0x0006),
    Tag(0x0028, 0x0008),
    Tag(0x0028, 0x0010),
    Tag(0x0028, 0x0011),
    Tag(0x0028, 0x0100),
    Tag(0x0028, 0x0101),
    Tag(0x0028, 0x0102),
    Tag(0x0028, 0x0103),
    Tag(0x0028, 0x0301),
    Tag(0x0028, 0x1050),
    Tag(0x0028, 0x1051),
    Tag(0x0028, 0x1052),
    Tag(0x0028, 0x1053),
    Tag(0x0002, 0x0010),
];

const PIXELS: Tag = Tag(0x7fe0, 0x0010);

impl Fields {
    /// A number of 16 bits.
    pub(super) fn word(&self, tag: Tag) -> Option<u16> {
        let two: [u8; 2] = self.values.get(&tag)?.get(..2)?.try_into().ok()?;
        Some(if self.syntax.big_endian { u16::from_be_bytes(two) } else { u16::from_le_bytes(two) })
    }

    /// A text, without what fills it up.
    pub(super) fn text(&self, tag: Tag) -> Option<&str> {
        let text = std::str::from_utf8(self.values.get(&tag)?).ok()?;
        Some(text.trim_matches([' ', '\0'])).filter(|text| !text.is_empty())
    }

    /// The first of some numbers that stand as text.
    pub(super) fn number(&self, tag: Tag) -> Option<f64> {
        let number: f64 = self.text(tag)?.split('\\').next()?.trim().parse().ok()?;
        number.is_finite().then_some(number)
    }

    pub(super) fn burnt(&self) -> BurntSays {
        match self.text(Tag(0x0028, 0x0301)) {
            Some("YES") => BurntSays::Yes,
            Some("NO") => BurntSays::No,
            _ => BurntSays::Silent,
        }
    }

    /// Kinds of files that often have writing in their pixels: secondary captures (PS3.4 B.5), ultrasound.
    pub(super) fn often_burnt(&self) -> Option<&'static str> {
        const SECONDARY: &str = "1.2.840.10008.5.1.4.1.1.7";
        let class = self.text(Tag(0x0008, 0x0016)).unwrap_or_default();
        match self.text(Tag(0x0008, 0x0060)) {
            _ if class == SECONDARY || class.starts_with("1.2.840.10008.5.1.4.1.1.7.") => {
                Some("a secondary capture")
            }
            Some("US" | "IVUS") => Some("ultrasound"),
            Some("OT" | "SC" | "DOC") => Some("a picture of a screen or a paper"),
            _ => None,
        }
    }

    pub(super) fn angles(&self) -> Option<Angles> {
        let degrees = |tag: Tag, most: f64| {
            let angle = self.number(tag)?.round();
            #[expect(clippy::cast_possible_truncation, reason = "at most 180")]
            (angle.abs() <= most).then_some(angle as i16)
        };
        let rotation = degrees(Tag(0x0018, 0x1510), 180.0)?;
        Some(Angles { rotation, tilt: degrees(Tag(0x0018, 0x1511), 90.0)? })
    }
}

/// A file that was walked through.
pub(super) struct Walked {
    pub(super) fields: Fields,
    pub(super) seen: Seen,
    pub(super) pixels: Place,
}

/// Walks through a file.
pub(super) fn walk(bytes: &[u8]) -> Result<Walked, Refused> {
    let mut walk = Walk { values: BTreeMap::new(), seen: Seen::default(), pixels: None };
    let explicit = Syntax { implicit: false, big_endian: false, packing: Packing::Plain };
    let start = walk.go(bytes.get(META..).ok_or(DAMAGED)?, META, explicit, true)?;
    let fields = Fields { syntax: explicit, values: walk.values };
    let uid = fields.text(Tag(0x0002, 0x0010)).ok_or(DAMAGED)?;
    let syntax = Syntax::of(uid)?;
    walk.values = BTreeMap::new();
    walk.go(&bytes[start..], start, syntax, false)?;
    let pixels = walk.pixels.ok_or(Refused::NoPicture)?;
    if matches!(pixels, Place::Plain { .. }) != (syntax.packing == Packing::Plain) {
        return Err(DAMAGED);
    }
    Ok(Walked { fields: Fields { syntax, values: walk.values }, seen: walk.seen, pixels })
}

struct Walk {
    values: BTreeMap<Tag, Vec<u8>>,
    seen: Seen,
    pixels: Option<Place>,
}

/// What a token opened and has not closed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Open {
    Sequence,
    Pixels,
    Item,
}

impl Walk {
    /// Walks through a part of the file that begins at `offset`: its first group alone, or all of it. Gives where it
    /// ended.
    fn go(&mut self, bytes: &[u8], offset: usize, syntax: Syntax, meta: bool) -> Result<usize, Refused> {
        let written = match syntax {
            Syntax { implicit: true, .. } => IMPLICIT_VR_LITTLE_ENDIAN.erased(),
            Syntax { big_endian: true, .. } => EXPLICIT_VR_BIG_ENDIAN.erased(),
            _ => EXPLICIT_VR_LITTLE_ENDIAN.erased(),
        };
        let mut reader = LazyDataSetReader::new_with_ts(Cursor::new(bytes), &written).map_err(|_| DAMAGED)?;
        let mut open: Vec<Open> = Vec::new();
        let mut header: Option<DataElementHeader> = None;
        let mut pieces: Vec<Range<usize>> = Vec::new();
        let mut done = 0_usize;
        while let Some(token) = reader.advance() {
            match token.map_err(|_| DAMAGED)? {
                LazyDataToken::ElementHeader(element) => {
                    if meta && element.tag().0 != 0x0002 {
                        return Ok(offset + done);
                    }
                    header = Some(element);
                }
                LazyDataToken::LazyValue { header: of, decoder } => {
                    let header = header.take().unwrap_or(of);
                    let length = header.len.get().ok_or(DAMAGED)?;
                    let start = usize::try_from(decoder.position()).map_err(|_| DAMAGED)?;
                    let end = start.checked_add(length as usize).ok_or(DAMAGED)?;
                    let value = bytes.get(start..end).ok_or(DAMAGED)?;
                    if open.is_empty() {
                        self.take(&header, value, offset + start);
                    }
                    if !value.is_empty() && header.vr() != VR::SQ {
                        self.seen.note(header.tag());
                    }
                    decoder.skip_bytes(length).map_err(|_| DAMAGED)?;
                    done = end;
                }
                LazyDataToken::SequenceStart { tag, .. } => {
                    if meta {
                        return Ok(offset + done);
                    }
                    self.seen.note(tag);
                    push(&mut open, Open::Sequence)?;
                }
                LazyDataToken::PixelSequenceStart => push(&mut open, Open::Pixels)?,
                LazyDataToken::ItemStart { .. } => {
                    if !matches!(open.last(), Some(Open::Sequence | Open::Pixels)) {
                        return Err(DAMAGED);
                    }
                    push(&mut open, Open::Item)?;
                    if open == [Open::Pixels, Open::Item] {
                        pieces.push(0..0);
                    }
                }
                LazyDataToken::LazyItemValue { len, decoder } => {
                    let start = usize::try_from(decoder.position()).map_err(|_| DAMAGED)?;
                    let end = start.checked_add(len as usize).ok_or(DAMAGED)?;
                    if end > bytes.len() {
                        return Err(DAMAGED);
                    }
                    if open == [Open::Pixels, Open::Item]
                        && let Some(piece) = pieces.last_mut()
                    {
                        *piece = offset + start..offset + end;
                    }
                    decoder.skip_bytes(len).map_err(|_| DAMAGED)?;
                    done = end;
                }
                LazyDataToken::ItemEnd => {
                    // An item may end where its length says, or by a mark.
                    if open.pop() != Some(Open::Item) {
                        return Err(DAMAGED);
                    }
                }
                LazyDataToken::SequenceEnd => {
                    let closed = open.pop();
                    if !matches!(closed, Some(Open::Sequence | Open::Pixels)) {
                        return Err(DAMAGED);
                    }
                    if closed == Some(Open::Pixels) && open.is_empty() {
                        self.pixels = Some(self.in_pieces(std::mem::take(&mut pieces), bytes, offset)?);
                    }
                }
                _ => return Err(DAMAGED),
            }
        }
        if open.is_empty() { Ok(offset + done) } else { Err(DAMAGED) }
    }

    /// Takes what the pixels need from a value at the top of the file.
    fn take(&mut self, header: &DataElementHeader, value: &[u8], at: usize) {
        let tag = header.tag();
        if tag == PIXELS && !value.is_empty() {
            self.pixels = Some(Place::Plain { place: at..at + value.len(), in_words: header.vr() == VR::OW });
        } else if NEEDED.contains(&tag) && value.len() <= VALUE as usize {
            self.values.insert(tag, value.to_vec());
        }
    }

    /// The first piece holds the offsets of the frames, or nothing.
    fn in_pieces(
        &self,
        mut pieces: Vec<Range<usize>>,
        bytes: &[u8],
        offset: usize,
    ) -> Result<Place, Refused> {
        if pieces.is_empty() {
            return Err(Refused::NoPicture);
        }
        let table = pieces.remove(0);
        let table = if table.is_empty() { &[][..] } else { &bytes[table.start - offset..table.end - offset] };
        let offsets = table
            .chunks_exact(4)
            .map(|four| u32::from_le_bytes([four[0], four[1], four[2], four[3]]))
            .collect();
        Ok(Place::Pieces { offsets, pieces })
    }
}

fn push(open: &mut Vec<Open>, what: Open) -> Result<(), Refused> {
    if open.len() >= 2 * DEPTH {
        return Err(DAMAGED);
    }
    open.push(what);
    Ok(())
}
